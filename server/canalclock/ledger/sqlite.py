"""The ledger on SQLite. All of its SQL is here; the tables are in migrations/."""

import sqlite3
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from msgspec import Raw, json

from canalclock.intake import Taken
from canalclock.ledger.chain import (
    FIRST_PREV,
    Break,
    Link,
    breaks,
    entry_digest,
    filing_breaks,
    line_digest,
)
from canalclock.ledger.database import Database, connect
from canalclock.ledger.migrations import migrate
from canalclock.ledger.migrations.tables import LEDGER_MIGRATIONS
from canalclock.ledger.port import (
    Appended,
    DeviceSeqs,
    Entry,
    Head,
    HeadMoved,
    IdReused,
    LedgerNotThere,
    LedgerUnavailable,
    Listener,
    News,
    Recorded,
    Signature,
    Signed,
    SignVisit,
    StoredKit,
    VisitHead,
    gaps_in,
)

FILE = "canalclock.sqlite3"
"""Name of the ledger's file in the data directory."""

Row = tuple[Any, ...]


class SqliteLedger:
    """One clinic's ledger in a file that only this process writes."""

    def __init__(self, database: Database, clinic: str) -> None:
        self.database = database
        self._clinic = clinic
        self._listeners: list[Listener] = []

    async def begin(self, epoch: str, now_ms: int) -> None:
        """Start the clinic's ledger under this epoch, unless it has one."""

        def work(db: sqlite3.Connection) -> None:
            db.execute(
                "INSERT INTO ledger (clinic, epoch, feed, begun_at_ms) VALUES (?, ?, 0, ?) "
                "ON CONFLICT (clinic) DO NOTHING",
                (self._clinic, epoch, now_ms),
            )

        await self.database.write(work)

    async def epoch(self) -> str:
        """The id of this copy of the ledger; a restored one has another."""
        return str(await self._value("SELECT epoch FROM ledger WHERE clinic = ?"))

    async def append(self, visit: str, lines: Sequence[Taken], recorded_at_ms: int) -> Appended:
        """Record lines in the order given; repeated lines keep their first number."""
        work = partial(_append, self._clinic, visit, tuple(lines), recorded_at_ms)
        return await self.database.write(work, lambda appended: self._tell(appended.news))

    async def head(self, visit: str) -> Head:
        """The visit's newest entry."""
        return await self.database.read(partial(_head, self._clinic, visit))

    async def entries(
        self, visit: str, after: int = 0, kinds: frozenset[str] | None = None
    ) -> tuple[Entry, ...]:
        """The visit's entries with a greater number, in order; of the kinds, if given."""
        wanted = None if kinds is None else json.encode(sorted(kinds)).decode()
        rows = await self._rows(
            "SELECT seq, feed, kind, recorded_at_ms, prev, digest, line_digest, line FROM entry "
            "WHERE clinic = ?1 AND visit = ?2 AND seq > ?3 "
            "AND (?4 IS NULL OR kind IN (SELECT value FROM json_each(?4))) ORDER BY seq",
            visit,
            after,
            wanted,
        )
        return tuple(_entry(visit, row) for row in rows)

    async def visits(self) -> tuple[VisitHead, ...]:
        """Every visit, in the order in which they began."""
        rows = await self._rows(
            "SELECT visit, head_seq, head_digest, recorded_at_ms FROM visit "
            "WHERE clinic = ? ORDER BY begun_feed"
        )
        return tuple(
            VisitHead(visit=visit, head=Head(seq=seq, digest=digest), recorded_at_ms=at)
            for visit, seq, digest, at in rows
        )

    async def devices(self, visit: str) -> tuple[DeviceSeqs, ...]:
        """The devices that wrote to the visit, with the gaps in their numbers."""
        return await self.database.read(partial(_devices, self._clinic, visit))

    async def sign(self, command: SignVisit, signed_at_ms: int) -> Signed | HeadMoved:
        """Sign the head that was shown, if it still is the head."""
        news: list[News] = []

        def work(db: sqlite3.Connection) -> Signed | HeadMoved:
            news.clear()
            return _sign(self._clinic, command, signed_at_ms, news, db)

        return await self.database.write(work, lambda _: self._tell(news))

    async def signatures(self, visit: str) -> tuple[Signature, ...]:
        """The visit's signatures, oldest first."""
        return await self.database.read(partial(_signatures, self._clinic, visit))

    async def signed_seqs(self) -> dict[str, int]:
        """The newest signed number of every signed visit."""
        rows = await self._rows(
            "SELECT visit, max(seq) FROM signature WHERE clinic = ? GROUP BY visit"
        )
        return dict(rows)

    async def feed(self) -> int:
        """The newest number of the feed; 0 at first."""
        return int(await self._value("SELECT feed FROM ledger WHERE clinic = ?"))

    async def news_after(self, feed: int, limit: int) -> tuple[News, ...]:
        """At most `limit` news with a greater number, in order and without a gap."""
        rows = await self._rows(
            "SELECT * FROM ("
            "SELECT feed, visit, seq, 0 FROM entry WHERE clinic = ?1 AND feed > ?2 "
            "UNION ALL "
            "SELECT feed, visit, seq, 1 FROM signature WHERE clinic = ?1 AND feed > ?2"
            ") ORDER BY feed LIMIT ?3",
            feed,
            limit,
        )
        return tuple(News(feed=f, visit=v, seq=s, signed=bool(g)) for f, v, s, g in rows)

    async def store_kit(self, kit: StoredKit, document: bytes, stored_at_ms: int) -> None:
        """Keep a kit's document for ever; the same kit again changes nothing."""

        def work(db: sqlite3.Connection) -> None:
            db.execute(
                "INSERT INTO kit (clinic, kit, protocol, version, title, stored_at_ms, document) "
                "VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (clinic, kit) DO NOTHING",
                (
                    self._clinic, kit.kit, kit.protocol, kit.version, kit.title, stored_at_ms,
                    document,
                ),
            )  # fmt: skip

        await self.database.write(work)

    async def kit_document(self, kit: str) -> bytes | None:
        """The document as it was stored."""
        rows = await self._rows("SELECT document FROM kit WHERE clinic = ? AND kit = ?", kit)
        return bytes(rows[0][0]) if rows else None

    async def kits(self) -> tuple[StoredKit, ...]:
        """Every kit, oldest first."""
        rows = await self._rows(
            "SELECT kit, protocol, version, title FROM kit WHERE clinic = ? ORDER BY rowid"
        )
        return tuple(
            StoredKit(kit=kit, protocol=protocol, version=version, title=title)
            for kit, protocol, version, title in rows
        )

    async def verify(self) -> tuple[Break, ...]:
        """Every place where what is stored is not what was recorded."""
        return await self.database.read(partial(_verify, self._clinic))

    def listen(self, listener: Listener) -> None:
        """Be told of every commit, after it, in the order of the feed."""
        self._listeners.append(listener)

    async def close(self) -> None:
        """Finish what was asked, then let go of the file."""
        await self.database.close()

    def _tell(self, news: Sequence[News]) -> None:
        if news:
            for listener in self._listeners:
                listener(news)

    async def _rows(self, sql: str, *values: object) -> list[Row]:
        def work(db: sqlite3.Connection) -> list[Row]:
            return db.execute(sql, (self._clinic, *values)).fetchall()

        return await self.database.read(work)

    async def _value(self, sql: str) -> Any:
        rows = await self._rows(sql)
        if not rows:
            raise LedgerNotThere(f"this store has no ledger for the clinic {self._clinic!r}")
        return rows[0][0]


def prepare(path: Path, now_ms: int) -> list[str]:
    """
    Make or bring up to date the ledger's tables in a file. Call it under the data's lock.

    Returns:
        Names of the migrations that ran.
    """
    connection = connect(path, writes=True)
    try:
        return migrate(connection, "ledger", LEDGER_MIGRATIONS, now_ms)
    except sqlite3.Error as fault:
        raise LedgerUnavailable(f"{path}: {fault}") from fault
    finally:
        connection.close()


def clinics(path: Path) -> list[str]:
    """The clinics that have a ledger in a file."""
    if not path.is_file():
        raise LedgerNotThere(f"{path}: found no ledger, expected a file that `serve` has made")
    connection = connect(path, writes=False)
    try:
        rows = connection.execute("SELECT clinic FROM ledger ORDER BY clinic").fetchall()
        return [str(clinic) for (clinic,) in rows]
    except sqlite3.Error as fault:
        raise LedgerUnavailable(f"{path}: {fault}") from fault
    finally:
        connection.close()


def _append(
    clinic: str,
    visit: str,
    lines: tuple[Taken, ...],
    recorded_at_ms: int,
    db: sqlite3.Connection,
) -> Appended:
    head = _head(clinic, visit, db)
    (feed,) = db.execute("SELECT feed FROM ledger WHERE clinic = ?", (clinic,)).fetchone()
    begins = head.seq == 0
    if begins:
        db.execute(
            "INSERT INTO visit (clinic, visit, head_seq, head_digest, recorded_at_ms, begun_feed) "
            "VALUES (?, ?, 0, ?, ?, ?)",
            (clinic, visit, FIRST_PREV, recorded_at_ms, feed + 1),
        )
    answers: list[Recorded | IdReused] = []
    news: list[News] = []
    for taken in lines:
        of_line = line_digest(taken.line)
        seq = head.seq + 1
        digest = entry_digest(head.digest, visit, seq, recorded_at_ms, of_line)
        written = db.execute(
            "INSERT INTO entry (clinic, visit, seq, feed, id, kind, device, device_seq, "
            "recorded_at_ms, prev, digest, line_digest, line) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) "
            "ON CONFLICT (clinic, id) DO NOTHING",
            (
                clinic, visit, seq, feed + 1, taken.id, taken.kind, taken.device,
                taken.device_seq, recorded_at_ms, head.digest, digest, of_line, taken.line,
            ),
        ).rowcount  # fmt: skip
        if not written:
            answers.append(_before(clinic, taken, db))
            continue
        feed += 1
        head = Head(seq=seq, digest=digest)
        answers.append(Recorded(id=taken.id, seq=seq))
        news.append(News(feed=feed, visit=visit, seq=seq))
    if news:
        db.execute(
            "UPDATE visit SET head_seq = ?, head_digest = ?, recorded_at_ms = ? "
            "WHERE clinic = ? AND visit = ?",
            (head.seq, head.digest, recorded_at_ms, clinic, visit),
        )
        db.execute("UPDATE ledger SET feed = ? WHERE clinic = ?", (feed, clinic))
    elif begins:
        db.execute("DELETE FROM visit WHERE clinic = ? AND visit = ?", (clinic, visit))
    return Appended(head=head, answers=tuple(answers), news=tuple(news))


def _before(clinic: str, taken: Taken, db: sqlite3.Connection) -> Recorded | IdReused:
    visit, seq, line = db.execute(
        "SELECT visit, seq, line FROM entry WHERE clinic = ? AND id = ?", (clinic, taken.id)
    ).fetchone()
    if line == taken.line:
        return Recorded(id=taken.id, seq=seq, already=True)
    return IdReused(id=taken.id, visit=visit, seq=seq)


def _head(clinic: str, visit: str, db: sqlite3.Connection) -> Head:
    row = db.execute(
        "SELECT head_seq, head_digest FROM visit WHERE clinic = ? AND visit = ?", (clinic, visit)
    ).fetchone()
    return Head(seq=row[0], digest=row[1]) if row else Head()


def _entry(visit: str, row: Row) -> Entry:
    seq, feed, kind, recorded_at_ms, prev, digest, of_line, line = row
    return Entry(
        visit=visit,
        seq=seq,
        feed=feed,
        kind=kind,
        recorded_at_ms=recorded_at_ms,
        prev=prev,
        digest=digest,
        line_digest=of_line,
        line=line,
    )


def _devices(clinic: str, visit: str, db: sqlite3.Connection) -> tuple[DeviceSeqs, ...]:
    own: dict[str, list[int]] = {}
    for device, seq in db.execute(
        "SELECT DISTINCT device, device_seq FROM entry WHERE clinic = ? AND visit = ? "
        "ORDER BY device, device_seq",
        (clinic, visit),
    ):
        own.setdefault(device, []).append(seq)
    return tuple(
        DeviceSeqs(
            device=device,
            last_seq=seqs[-1],
            gaps=gaps_in(seqs, _numbers_elsewhere(clinic, visit, device, seqs, db)),
        )
        for device, seqs in own.items()
    )


def _numbers_elsewhere(
    clinic: str, visit: str, device: str, own: list[int], db: sqlite3.Connection
) -> frozenset[int]:
    if own[-1] - own[0] == len(own) - 1:
        return frozenset()
    rows = db.execute(
        "SELECT device_seq FROM entry WHERE clinic = ? AND device = ? "
        "AND device_seq BETWEEN ? AND ? AND visit <> ?",
        (clinic, device, own[0], own[-1], visit),
    )
    return frozenset(seq for (seq,) in rows)


def _signatures(clinic: str, visit: str, db: sqlite3.Connection) -> tuple[Signature, ...]:
    rows = db.execute(
        "SELECT number, seq, digest, staff, signed_at_ms, fold_version, totals FROM signature "
        "WHERE clinic = ? AND visit = ? ORDER BY number",
        (clinic, visit),
    )
    return tuple(
        Signature(
            visit=visit,
            seq=seq,
            digest=digest,
            staff=staff,
            signed_at_ms=signed_at_ms,
            fold_version=fold_version,
            totals=Raw(totals),
            addendum=number > 1,
        )
        for number, seq, digest, staff, signed_at_ms, fold_version, totals in rows
    )


def _sign(
    clinic: str,
    command: SignVisit,
    signed_at_ms: int,
    news: list[News],
    db: sqlite3.Connection,
) -> Signed | HeadMoved:
    head = _head(clinic, command.visit, db)
    if (head.seq, head.digest) != (command.seq, command.digest):
        return HeadMoved(head=head)
    given = _signatures(clinic, command.visit, db)
    for signature in given:
        if _same(signature, command):
            return Signed(signature=signature, already=True)
    (feed,) = db.execute("SELECT feed FROM ledger WHERE clinic = ?", (clinic,)).fetchone()
    db.execute(
        "INSERT INTO signature (clinic, visit, number, feed, seq, digest, staff, signed_at_ms, "
        "fold_version, totals) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            clinic, command.visit, len(given) + 1, feed + 1, command.seq, command.digest,
            command.staff, signed_at_ms, command.fold_version, bytes(command.totals),
        ),
    )  # fmt: skip
    db.execute("UPDATE ledger SET feed = ? WHERE clinic = ?", (feed + 1, clinic))
    news.append(News(feed=feed + 1, visit=command.visit, seq=command.seq, signed=True))
    return Signed(signature=_signatures(clinic, command.visit, db)[-1])


def _same(signature: Signature, command: SignVisit) -> bool:
    return (
        signature.seq == command.seq
        and signature.staff == command.staff
        and signature.fold_version == command.fold_version
        and bytes(signature.totals) == bytes(command.totals)
    )


def _verify(clinic: str, db: sqlite3.Connection) -> tuple[Break, ...]:
    return (
        *_chain_breaks(clinic, db),
        *_filing_breaks(clinic, db),
        *_lost_visits(clinic, db),
        *_feed_breaks(clinic, db),
        *_signature_breaks(clinic, db),
        *_kit_breaks(clinic, db),
    )


def _chain_breaks(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    heads = db.execute(
        "SELECT visit, head_seq, head_digest FROM visit WHERE clinic = ? ORDER BY begun_feed",
        (clinic,),
    ).fetchall()
    for visit, seq, digest in heads:
        rows = db.execute(
            "SELECT seq, recorded_at_ms, prev, digest, line_digest, line FROM entry "
            "WHERE clinic = ? AND visit = ? ORDER BY seq",
            (clinic, visit),
        )
        links = (
            Link(
                visit=visit,
                seq=number,
                recorded_at_ms=recorded_at_ms,
                prev=prev,
                digest=own,
                line_digest=of_line,
                line=bytes(line),
            )
            for number, recorded_at_ms, prev, own, of_line, line in rows
        )
        yield from breaks(visit, links, (seq, digest))


def _filing_breaks(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    """What an entry is filed under, beside its line: lists and gaps are read from that alone."""
    rows = db.execute(
        "SELECT visit, seq, id, kind, device, device_seq, line FROM entry WHERE clinic = ? "
        "ORDER BY feed",
        (clinic,),
    )
    for visit, seq, *filed, line in rows:
        yield from filing_breaks(visit, seq, tuple(filed), bytes(line))


def _kit_breaks(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    rows = db.execute("SELECT kit, document FROM kit WHERE clinic = ?", (clinic,))
    for kit, document in rows:
        found = line_digest(bytes(document))
        if found != kit:
            yield Break(
                visit=None, seq=None, what="kit", found=f"digest {found}", expected=f"digest {kit}"
            )


def _lost_visits(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    rows = db.execute(
        "SELECT visit, count(*) FROM entry WHERE clinic = ?1 AND visit NOT IN "
        "(SELECT visit FROM visit WHERE clinic = ?1) GROUP BY visit",
        (clinic,),
    )
    for visit, count in rows:
        yield Break(
            visit=visit,
            seq=None,
            what="visit",
            found=f"{count} entries of a visit that the ledger does not list",
            expected="every visit listed with its newest entry",
        )


def _feed_breaks(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    (newest,) = db.execute("SELECT feed FROM ledger WHERE clinic = ?", (clinic,)).fetchone()
    before = 0
    rows = db.execute(
        "SELECT * FROM (SELECT feed, visit, seq FROM entry WHERE clinic = ?1 UNION ALL "
        "SELECT feed, visit, seq FROM signature WHERE clinic = ?1) ORDER BY feed",
        (clinic,),
    )
    for feed, visit, seq in rows:
        if feed != before + 1:
            yield _feed_break(visit, seq, feed, before + 1)
        before = feed
    if before != newest:
        yield _feed_break(None, None, before, newest)


def _feed_break(visit: str | None, seq: int | None, found: int, expected: int) -> Break:
    return Break(
        visit=visit,
        seq=seq,
        what="number in the clinic's feed",
        found=str(found),
        expected=str(expected),
    )


def _signature_breaks(clinic: str, db: sqlite3.Connection) -> Iterator[Break]:
    rows = db.execute(
        "SELECT s.visit, s.seq, s.digest, e.digest FROM signature s LEFT JOIN entry e "
        "ON e.clinic = s.clinic AND e.visit = s.visit AND e.seq = s.seq "
        "WHERE s.clinic = ? AND e.digest IS NOT s.digest",
        (clinic,),
    )
    for visit, seq, signed, found in rows:
        yield Break(
            visit=visit,
            seq=seq,
            what="entry that was signed",
            found=f"digest {found}" if found else "no entry",
            expected=f"digest {signed}",
        )
