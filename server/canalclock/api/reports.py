"""Visits of the ledger as reports and as rows of the audit, each folded once a head.

What is kept here is derived and may be thrown away: it holds for one head and one version of
the fold. Not here: HTTP (report_doors.py), so that the command line may use it too.
"""

import asyncio
import time
from collections import OrderedDict
from collections.abc import Mapping
from typing import Final

from msgspec import Raw, Struct

from canalclock.api.visit_rows import Asked as Filter
from canalclock.api.visit_rows import Frame, Frames, Row, is_asked, row
from canalclock.core.audit.compared import Asked, Had
from canalclock.core.audit.meta import Gap
from canalclock.core.kit import Kit, read_kit
from canalclock.core.record.fold import FOLD_VERSION
from canalclock.core.record.reading import read_stored
from canalclock.core.report import Document, Entry, Folded, Known, SignatureRow, document, folded
from canalclock.core.strength_left import Kept
from canalclock.core.summary import Summary, summary
from canalclock.ledger.port import Entry as LedgerEntry
from canalclock.ledger.port import Head, Ledger, VisitHead
from canalclock.protocol_files import kit_for

KEPT: Final = 32
"""Folded visits that are kept. []  A choice: some hundred kB each."""
OPEN_FOR_MS: Final = 30_000
"""An open visit's row is computed again after this time, since contact goes on. [ms]"""
BUDGET_S: Final = 1.5
"""Time that one request spends on rows that are stale; the rest waits for the next. [s]"""


class KitMissing(LookupError):
    """The kit that a visit names is not on record."""

    def __init__(self, visit: str, kit: str) -> None:
        super().__init__(f"visit {visit} names the kit {kit}, which is not on record")
        self.visit = visit
        self.kit = kit


class AuditRow(Struct, frozen=True, kw_only=True):
    """One irrigant in one canal of a visit, in the audit's list."""

    visit: str
    opened_at_ms: int | None
    closed_at_ms: int | None
    tooth: str | None
    label: str | None
    room: str | None
    protocol: str | None
    training: bool
    canal: str
    irrigant: str
    asks: bool
    asked: Asked
    had: Had
    findings: int
    """Findings that name this canal, or no site at all."""
    serious: int
    signed: bool
    """Whether the newest signature covers every entry."""
    as_of_ms: int
    stale: bool
    """Whether entries arrived since the row was computed."""


class AuditVisit(Struct, frozen=True, kw_only=True):
    """A visit of the audit's list, whether or not it has a row."""

    visit: str
    opened_at_ms: int | None
    findings: int
    serious: int
    signed: bool
    stale: bool


class AuditView(Struct, frozen=True, kw_only=True):
    """The audit of a period."""

    rows: tuple[AuditRow, ...]
    visits: tuple[AuditVisit, ...]
    stale: int
    """Visits whose rows are missing or older than their newest entry; ask again."""
    unreadable: tuple[str, ...]
    """Visits that name no kit on record: nothing can be computed of them."""


class Reports:
    """Folded visits and their summaries, each for one head and one version of the fold."""

    def __init__(self, ledger: Ledger, frames: Frames | None = None) -> None:
        """Nothing folded yet."""
        self._ledger = ledger
        self._frames = frames or Frames(ledger)
        self._kits: dict[str, Kit] = {}
        self._folded: OrderedDict[tuple[str, Head, int], Folded] = OrderedDict()
        self._summaries: dict[str, tuple[Head, int, Summary]] = {}

    async def document(
        self, visit: VisitHead, as_of_ms: int | None, now_ms: int, kept: Kept | None = None
    ) -> Document:
        """
        A visit's report at its head.

        Args:
            visit: The visit and its head.
            as_of_ms: The instant to speak of; None = the close, or now. [ms]
            now_ms: The server's clock. [ms]
            kept: How the stock was kept, if the strength as it probably was is asked for.

        Raises:
            KitMissing: The visit names a kit that is not on record.
        """
        whole = await self._whole(visit)
        known = Known(signatures=await self._signatures(visit), gaps=await self._gaps(visit.visit))
        return await asyncio.to_thread(document, whole, as_of_ms, known, now_ms, kept)

    async def audit(self, asked: Filter, now_ms: int, budget_s: float | None = None) -> AuditView:
        """
        Every canal of the visits that meet the conditions, the newest visit first.

        Args:
            asked: The conditions.
            now_ms: Contact of open visits runs to this instant. [ms]
            budget_s: Time to spend on what is stale; None = as long as it takes. [s]
        """
        until = None if budget_s is None else time.monotonic() + budget_s
        rows: list[AuditRow] = []
        visits: list[AuditVisit] = []
        unreadable: list[str] = []
        for of in await self._rows(asked):
            stale = not self._holds(of, now_ms)
            if stale and (until is None or time.monotonic() < until):
                try:
                    await self._summarise(of, now_ms)
                except KitMissing:
                    unreadable.append(of.visit)
                    continue
                stale = False
            known = self._summaries.get(of.visit)
            found = known[2] if known else None
            visits.append(_visit(of, found, stale))
            if found is not None:
                rows += _audit_rows(of, found, stale)
        return AuditView(
            rows=tuple(rows),
            visits=tuple(visits),
            stale=sum(v.stale for v in visits),
            unreadable=tuple(unreadable),
        )

    async def _whole(self, visit: VisitHead) -> Folded:
        at = (visit.visit, visit.head, FOLD_VERSION)
        if at in self._folded:
            self._folded.move_to_end(at)
            return self._folded[at]
        kit = await self._kit(visit.visit, await self._frames.of(visit))
        entries = await self._ledger.entries(visit.visit)
        upto = tuple(e for e in entries if e.seq <= visit.head.seq)
        whole = await asyncio.to_thread(_fold, kit, upto)
        self._folded[at] = whole
        while len(self._folded) > KEPT:
            self._folded.popitem(last=False)
        return whole

    async def _kit(self, visit: str, frame: Frame) -> Kit:
        """The kit that a visit names; while its opening has not arrived, one without protocol."""
        if frame.opened is None:
            return kit_for(None)
        digest = frame.opened.kit
        if digest not in self._kits:
            stored = await self._ledger.kit_document(digest)
            if stored is None:
                raise KitMissing(visit, digest)
            self._kits[digest] = read_kit(stored)
        return self._kits[digest]

    async def _signatures(self, visit: VisitHead) -> tuple[SignatureRow, ...]:
        return tuple(
            SignatureRow(
                seq=s.seq,
                digest=s.digest,
                staff=s.staff,
                signed_at_ms=s.signed_at_ms,
                fold_version=s.fold_version,
                totals=s.totals,
                addendum=s.addendum,
            )
            for s in await self._ledger.signatures(visit.visit)
            if s.seq <= visit.head.seq
        )

    async def _gaps(self, visit: str) -> tuple[Gap, ...]:
        return tuple(
            Gap(device=d.device, first=first, last=last)
            for d in await self._ledger.devices(visit)
            for first, last in d.gaps
        )

    def _holds(self, of: Row, now_ms: int) -> bool:
        known = self._summaries.get(of.visit)
        if known is None or known[:2] != (of.head, FOLD_VERSION):
            return False
        return not known[2].is_open or now_ms - known[2].as_of_ms < OPEN_FOR_MS

    async def _summarise(self, of: Row, now_ms: int) -> None:
        whole = await self._whole(VisitHead(visit=of.visit, head=of.head))
        found = await asyncio.to_thread(summary, whole, now_ms, await self._gaps(of.visit))
        self._summaries[of.visit] = (of.head, FOLD_VERSION, found)

    async def _rows(self, asked: Filter) -> list[Row]:
        """Visits that meet the conditions, the newest opening first."""
        signed = await self._ledger.signed_seqs()
        protocols: Mapping[str, str | None] = {
            kit.kit: kit.protocol for kit in await self._ledger.kits()
        }
        rows = [
            row(visit, await self._frames.of(visit), signed.get(visit.visit), protocols)
            for visit in await self._ledger.visits()
        ]
        wanted = [r for r in rows if is_asked(r, asked)]
        return sorted(wanted, key=lambda r: (-(r.opened_at_ms or 0), r.visit))


def _fold(kit: Kit, entries: tuple[LedgerEntry, ...]) -> Folded:
    return folded(kit, map(report_entry, entries))


def report_entry(entry: LedgerEntry) -> Entry:
    """A ledger's entry as the report takes it, its line untouched."""
    return Entry(
        event=read_stored(entry.line),
        line=Raw(entry.line),
        seq=entry.seq,
        recorded_at_ms=entry.recorded_at_ms,
        prev=entry.prev,
        digest=entry.digest,
        line_digest=entry.line_digest,
    )


def _visit(of: Row, found: Summary | None, stale: bool) -> AuditVisit:
    return AuditVisit(
        visit=of.visit,
        opened_at_ms=of.opened_at_ms,
        findings=found.findings if found else 0,
        serious=found.serious if found else 0,
        signed=of.signed_seq == of.head.seq,
        stale=stale,
    )


def _audit_rows(of: Row, found: Summary, stale: bool) -> list[AuditRow]:
    return [
        AuditRow(
            visit=of.visit,
            opened_at_ms=of.opened_at_ms,
            closed_at_ms=of.closed_at_ms,
            tooth=of.tooth,
            label=of.label,
            room=of.room,
            protocol=of.protocol,
            training=of.training,
            canal=r.canal,
            irrigant=r.irrigant,
            asks=r.asks,
            asked=r.asked,
            had=r.had,
            findings=r.findings,
            serious=r.serious,
            signed=of.signed_seq == of.head.seq,
            as_of_ms=found.as_of_ms,
            stale=stale,
        )
        for r in found.rows
    ]
