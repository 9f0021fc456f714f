"""A ledger that lives as long as its process: for tests and trials, held to the same contract."""

from collections.abc import Sequence

from canalclock.intake import Taken
from canalclock.ledger.chain import Break, Link, breaks, entry_digest, line_digest
from canalclock.ledger.port import (
    Appended,
    DeviceSeqs,
    Entry,
    Head,
    HeadMoved,
    IdReused,
    LedgerClosed,
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


class MemoryLedger:
    """One clinic's ledger in memory. No method awaits, so each is atomic on its loop."""

    def __init__(self, epoch: str) -> None:
        self._epoch = epoch
        self._entries: dict[str, list[Entry]] = {}
        self._lines: dict[str, tuple[Taken, Entry]] = {}
        self._signatures: dict[str, list[Signature]] = {}
        self._news: list[News] = []
        self._kits: dict[str, tuple[StoredKit, bytes]] = {}
        self._listeners: list[Listener] = []
        self._closed = False

    async def epoch(self) -> str:
        """The id of this copy of the ledger."""
        return self._epoch

    async def append(self, visit: str, lines: Sequence[Taken], recorded_at_ms: int) -> Appended:
        """Record lines in the order given; repeated lines keep their first number."""
        self._open()
        before = len(self._news)
        answers = tuple(self._record(visit, line, recorded_at_ms) for line in lines)
        news = tuple(self._news[before:])
        self._tell(news)
        return Appended(head=self._head(visit), answers=answers, news=news)

    async def head(self, visit: str) -> Head:
        """The visit's newest entry."""
        return self._head(visit)

    async def entries(
        self, visit: str, after: int = 0, kinds: frozenset[str] | None = None
    ) -> tuple[Entry, ...]:
        """The visit's entries with a greater number, in order; of the kinds, if given."""
        return tuple(
            e
            for e in self._entries.get(visit, [])
            if e.seq > after and (kinds is None or e.kind in kinds)
        )

    async def visits(self) -> tuple[VisitHead, ...]:
        """Every visit, in the order in which they began."""
        return tuple(
            VisitHead(visit=v, head=self._head(v), recorded_at_ms=entries[-1].recorded_at_ms)
            for v, entries in self._entries.items()
        )

    async def devices(self, visit: str) -> tuple[DeviceSeqs, ...]:
        """The devices that wrote to the visit, with the gaps in their numbers."""
        own: dict[str, set[int]] = {}
        elsewhere: dict[str, set[int]] = {}
        for taken, entry in self._lines.values():
            numbers = own if entry.visit == visit else elsewhere
            numbers.setdefault(taken.device, set()).add(taken.device_seq)
        return tuple(
            DeviceSeqs(
                device=device,
                last_seq=max(seqs),
                gaps=gaps_in(sorted(seqs), frozenset(elsewhere.get(device, ()))),
            )
            for device, seqs in sorted(own.items())
        )

    async def sign(self, command: SignVisit, signed_at_ms: int) -> Signed | HeadMoved:
        """Sign the head that was shown, if it still is the head."""
        self._open()
        head = self._head(command.visit)
        if (head.seq, head.digest) != (command.seq, command.digest):
            return HeadMoved(head=head)
        given = self._signatures.setdefault(command.visit, [])
        for signature in given:
            if _same(signature, command):
                return Signed(signature=signature, already=True)
        signature = Signature(
            visit=command.visit,
            seq=command.seq,
            digest=command.digest,
            staff=command.staff,
            signed_at_ms=signed_at_ms,
            fold_version=command.fold_version,
            totals=command.totals,
            addendum=bool(given),
        )
        given.append(signature)
        self._news.append(
            News(feed=len(self._news) + 1, visit=command.visit, seq=command.seq, signed=True)
        )
        self._tell(self._news[-1:])
        return Signed(signature=signature)

    async def signatures(self, visit: str) -> tuple[Signature, ...]:
        """The visit's signatures, oldest first."""
        return tuple(self._signatures.get(visit, ()))

    async def signed_seqs(self) -> dict[str, int]:
        """The newest signed number of every signed visit."""
        return {v: max(s.seq for s in given) for v, given in self._signatures.items()}

    async def feed(self) -> int:
        """The newest number of the feed; 0 at first."""
        return len(self._news)

    async def news_after(self, feed: int, limit: int) -> tuple[News, ...]:
        """At most `limit` news with a greater number, in order and without a gap."""
        return tuple(self._news[feed : feed + limit])

    async def store_kit(self, kit: StoredKit, document: bytes, stored_at_ms: int) -> None:
        """Keep a kit's document for ever; the same kit again changes nothing."""
        self._open()
        self._kits.setdefault(kit.kit, (kit, document))

    async def kit_document(self, kit: str) -> bytes | None:
        """The document as it was stored."""
        stored = self._kits.get(kit)
        return stored[1] if stored else None

    async def kits(self) -> tuple[StoredKit, ...]:
        """Every kit, oldest first."""
        return tuple(kit for kit, _ in self._kits.values())

    async def verify(self) -> tuple[Break, ...]:
        """Every place where what is stored is not what was recorded."""
        return tuple(
            found
            for visit, entries in self._entries.items()
            for found in breaks(visit, map(_link, entries), self._pair(visit))
        )

    def listen(self, listener: Listener) -> None:
        """Be told of every commit, after it, in the order of the feed."""
        self._listeners.append(listener)

    async def close(self) -> None:
        """Take nothing more."""
        self._closed = True

    def _record(self, visit: str, taken: Taken, recorded_at_ms: int) -> Recorded | IdReused:
        if taken.id in self._lines:
            before, entry = self._lines[taken.id]
            if before.line == taken.line:
                return Recorded(id=taken.id, seq=entry.seq, already=True)
            return IdReused(id=taken.id, visit=entry.visit, seq=entry.seq)
        head = self._head(visit)
        of_line = line_digest(taken.line)
        entry = Entry(
            visit=visit,
            seq=head.seq + 1,
            feed=len(self._news) + 1,
            kind=taken.kind,
            recorded_at_ms=recorded_at_ms,
            prev=head.digest,
            digest=entry_digest(head.digest, visit, head.seq + 1, recorded_at_ms, of_line),
            line_digest=of_line,
            line=taken.line,
        )
        self._entries.setdefault(visit, []).append(entry)
        self._lines[taken.id] = (taken, entry)
        self._news.append(News(feed=entry.feed, visit=visit, seq=entry.seq))
        return Recorded(id=taken.id, seq=entry.seq)

    def _head(self, visit: str) -> Head:
        entries = self._entries.get(visit)
        return Head(seq=entries[-1].seq, digest=entries[-1].digest) if entries else Head()

    def _pair(self, visit: str) -> tuple[int, str]:
        head = self._head(visit)
        return head.seq, head.digest

    def _tell(self, news: Sequence[News]) -> None:
        if news:
            for listener in self._listeners:
                listener(news)

    def _open(self) -> None:
        if self._closed:
            raise LedgerClosed("the ledger is closed")


def _same(signature: Signature, command: SignVisit) -> bool:
    return (
        signature.seq == command.seq
        and signature.staff == command.staff
        and signature.fold_version == command.fold_version
        and bytes(signature.totals) == bytes(command.totals)
    )


def _link(entry: Entry) -> Link:
    return Link(
        visit=entry.visit,
        seq=entry.seq,
        recorded_at_ms=entry.recorded_at_ms,
        prev=entry.prev,
        digest=entry.digest,
        line_digest=entry.line_digest,
        line=entry.line,
    )
