"""The report of a visit as one document: a value, not yet JSON, CSV or paper (render/).

It holds figures, findings, warnings and every entry with all its versions, so that each figure
can be traced to what it rests on. The same entries, kit and instant give the same document.
Not here: where entries come from (ledger, a file), and how a document is written.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final, Literal

import msgspec
from msgspec import Raw

from canalclock.core.audit.compared import Asked, Had, compared
from canalclock.core.audit.meta import Found, Gap, Measure, Meta
from canalclock.core.audit.rules import audit
from canalclock.core.audit.texts import finding_text
from canalclock.core.exposures import ExposureRow, exposures
from canalclock.core.kit import Kit, kit_digest
from canalclock.core.protocol.definition import IrrigantEntry
from canalclock.core.record.events import AnyEvent, EntryCorrected, EntryVoided, LeftIn, Unread
from canalclock.core.record.fold import FOLD_VERSION, fold
from canalclock.core.record.reading import fields_not_read
from canalclock.core.record.totals import Totals, totals
from canalclock.core.record.values import Canal, Finding, Made, Record, Severity, Timer, Versions
from canalclock.core.spoken import Spoken, is_replayed, spoken
from canalclock.core.strength_left import Kept, StrengthRow, strength_left

FORMAT: Final = 1
"""Raised whenever a field of the document changes its meaning."""

CAUTIONS: Final = (
    "This report does not replace licensed judgement or local codes.",
    "It says what was recorded and what follows from it; it advises no dose.",
    "A target reached is not an end point, and says nothing of the outcome.",
    "Contact says where contents stood by the record, not how strong they still were.",
    "What went through the needle was mostly aspirated again; it is not what was absorbed.",
    "Exposure is expected by the labels, with a band for consumed chlorine; no validated dose.",
)
"""What every report says of itself."""

State = Literal["stands", "replaced", "withdrawn", "unread", "unresolved"]


class Entry(Made, frozen=True, kw_only=True):
    """One event as it came, and what a ledger keeps beside it; nulls without a ledger."""

    event: AnyEvent | Unread
    line: Any
    """The JSON object as it was received."""
    seq: int | None = None
    recorded_at_ms: int | None = None
    prev: str | None = None
    digest: str | None = None
    line_digest: str | None = None


class SignatureRow(Made, frozen=True, kw_only=True):
    """A signature as it was given."""

    seq: int
    digest: str
    staff: str
    signed_at_ms: int
    fold_version: int
    totals: Any
    """The totals that were shown when it was given."""
    addendum: bool


class BadLine(Made, frozen=True, kw_only=True):
    """A line of a file that is no event of the visit, and is not in the report."""

    line: int
    """From 1."""
    message: str
    found: str
    expected: str
    where: str


class Known(Made, frozen=True, kw_only=True):
    """What is known of a visit beside its entries."""

    signatures: tuple[SignatureRow, ...] = ()
    gaps: tuple[Gap, ...] = ()
    bad_lines: tuple[BadLine, ...] = ()


class VisitPart(Made, frozen=True, kw_only=True):
    """The visit; nulls while its opening is not on record."""

    visit: str | None
    course: str | None
    tooth: str | None
    label: str | None
    room: str | None
    operator: str | None
    training: bool
    state: Literal["open", "closed"]
    opened_at_ms: int | None
    closed_at_ms: int | None
    last_clinical_ms: int | None
    present_at_start: tuple[LeftIn, ...]


class KitPart(Made, frozen=True, kw_only=True):
    """The kit the report was read by; `pinned` is the one that the visit names."""

    digest: str
    pinned: str | None
    protocol: str | None
    version: int | None
    title: str | None


class AskedRow(Made, frozen=True, kw_only=True):
    """What the protocol asks of an irrigant in a canal, beside what it had."""

    site: str
    irrigant: str
    asked: Asked
    had: Had


class FindingRow(Made, frozen=True, kw_only=True):
    """A finding with its words; `site` is the first of `sites`."""

    rule: str
    severity: Severity
    site: str | None
    sites: tuple[str, ...]
    events: tuple[str, ...]
    about: str
    ms: int | None
    measure: Measure | None
    asked: int | None
    had: int | None
    text: str


class EventRow(Made, frozen=True, kw_only=True):
    """One entry as received, and whether it is what stands."""

    seq: int | None
    recorded_at_ms: int | None
    prev: str | None
    digest: str | None
    line_digest: str | None
    id: str
    kind: str
    state: State
    counted: bool
    """Whether the figures take it in: false for what lies after `as_of_ms`."""
    event: Any


class UnreadRow(Made, frozen=True, kw_only=True):
    """An entry of a kind that this version does not know."""

    id: str
    kind: str
    device: str
    occurred_at_ms: int


class Foot(Made, frozen=True, kw_only=True):
    """By which a reader tells that nothing is missing."""

    entries: int
    first_seq: int | None
    last_seq: int | None
    digest: str | None
    """The newest entry's link of the chain."""


class Document(Made, frozen=True, kw_only=True):
    """The report."""

    format: int
    fold_version: int
    as_of_ms: int
    visit: VisitPart
    kit: KitPart
    may_be_incomplete: bool
    incomplete: tuple[str, ...]
    """Why it may be, in words."""
    cautions: tuple[str, ...]
    canals: tuple[Canal, ...]
    totals: Totals
    exposures: tuple[ExposureRow, ...]
    """Expected, not measured: concentration times time of hypochlorite, with its band."""
    asked: tuple[AskedRow, ...]
    findings: tuple[FindingRow, ...]
    warnings: tuple[Spoken, ...]
    timers: tuple[Timer, ...]
    versions: tuple[Versions, ...]
    unread: tuple[UnreadRow, ...]
    irrigants: tuple[IrrigantEntry, ...]
    """The catalogue's entries of what is named above."""
    signatures: tuple[SignatureRow, ...]
    gaps: tuple[Gap, ...]
    bad_lines: tuple[BadLine, ...]
    events: tuple[EventRow, ...]
    foot: Foot
    strength_left: tuple[StrengthRow, ...] | None = None
    """Strength as it probably was; null unless it was asked for."""


class Folded(Made, frozen=True, kw_only=True):
    """What a visit's entries amount to, whatever the instant: worth keeping between reports."""

    kit: Kit
    entries: tuple[Entry, ...]
    record: Record
    spoken: tuple[Spoken, ...]


def folded(kit: Kit, entries: Iterable[Entry]) -> Folded:
    """The record and its warnings; the costly part of a report."""
    entries = tuple(entries)
    events = [e.event for e in entries]
    return Folded(kit=kit, entries=entries, record=fold(kit, events), spoken=spoken(kit, events))


def report(
    kit: Kit,
    entries: Iterable[Entry],
    as_of_ms: int | None,
    known: Known | None = None,
    kept: Kept | None = None,
) -> Document:
    """
    The report of a visit.

    Args:
        kit: The kit that the visit names.
        entries: All its entries, in the order in which they were recorded.
        as_of_ms: The instant it is to speak of; acts after it are listed and not counted.
            None = the close, or the last entry's time while the visit is open. [ms]
        known: Signatures, gaps and bad lines.
        kept: How the stock was kept, if the strength as it probably was is asked for.

    Returns:
        The document.
    """
    return document(folded(kit, entries), as_of_ms, known or Known(), kept=kept)


def document(
    whole: Folded,
    as_of_ms: int | None,
    known: Known,
    now_ms: int = 0,
    kept: Kept | None = None,
) -> Document:
    """
    As `report`, of what was folded before.

    Args:
        whole: All entries, folded.
        as_of_ms: As in `report`.
        known: As in `report`.
        now_ms: While the visit is open and no instant was asked for, contact runs to this one,
            if it is later than the last entry. [ms]
        kept: As in `report`.
    """
    until = whole if as_of_ms is None else up_to(whole, as_of_ms)
    as_of = default_as_of_ms(whole, now_ms) if as_of_ms is None else as_of_ms
    kit, record = until.kit, until.record
    figures = totals(record, as_of)
    found = findings(until, figures, known.gaps)
    asked = compared(kit, record, figures)
    return Document(
        format=FORMAT,
        fold_version=FOLD_VERSION,
        as_of_ms=as_of,
        visit=_visit(whole, record),
        kit=_kit(kit, record),
        may_be_incomplete=bool(why := _incomplete(whole, until, known)),
        incomplete=why,
        cautions=CAUTIONS,
        canals=record.canals,
        totals=figures,
        exposures=exposures(kit, record, as_of),
        asked=tuple(
            AskedRow(site=r.site, irrigant=r.irrigant, asked=r.asked, had=r.had)
            for r in asked
            if r.asks
        ),
        findings=tuple(_finding(kit, f) for f in found),
        warnings=until.spoken,
        timers=record.timers,
        versions=record.versions,
        unread=tuple(map(_unread, record.unread)),
        irrigants=_named_irrigants(kit, record),
        signatures=known.signatures,
        gaps=known.gaps,
        bad_lines=known.bad_lines,
        events=_events(whole, until),
        foot=_foot(whole.entries),
        strength_left=None if kept is None else strength_left(kit, record, kept),
    )


def default_as_of_ms(whole: Folded, now_ms: int = 0) -> int:
    """The close; while the visit is open now, or the last entry's time if that is later. [ms]"""
    if whole.record.closed_at_ms is not None:
        return whole.record.closed_at_ms
    return max((now_ms, *(e.occurred_at_ms for e in whole.record.standing)))


def up_to(whole: Folded, as_of_ms: int) -> Folded:
    """
    What the entries up to an instant amount to; the very same if none lies after it.

    From the close on nothing is cut: what is recorded as done later keeps its amount.
    """
    closed = whole.record.closed_at_ms
    later = {e.id for e in whole.record.standing if e.occurred_at_ms > as_of_ms}
    if not later or (closed is not None and as_of_ms >= closed):
        return whole
    return folded(whole.kit, (e for e in whole.entries if _original(e.event) not in later))


def findings(whole: Folded, figures: Totals, gaps: tuple[Gap, ...] = ()) -> tuple[Finding, ...]:
    """What the audit finds in a visit."""
    meta = Meta(
        totals=figures,
        spoken=whole.spoken,
        events=tuple(e.event for e in whole.entries),
        recorded={
            e.event.id: e.recorded_at_ms for e in whole.entries if e.recorded_at_ms is not None
        },
        fields_not_read=_fields_not_read(whole),
        gaps=gaps,
    )
    return audit(whole.kit, whole.record, meta)


def _fields_not_read(whole: Folded) -> dict[str, tuple[str, ...]]:
    found = {e.event.id: fields_not_read(_kind(e.event), _names(e.line)) for e in whole.entries}
    return {event: names for event, names in found.items() if names}


def _names(line: Any) -> Iterable[str]:
    """The names that an entry's line holds; from a ledger it comes as bytes."""
    return msgspec.json.decode(line, type=dict[str, Raw]) if isinstance(line, Raw) else line


def _original(event: AnyEvent | Unread) -> str:
    """The entry that an event is, or amends."""
    return event.entry if isinstance(event, EntryCorrected | EntryVoided) else event.id


def _visit(whole: Folded, record: Record) -> VisitPart:
    opened = record.opened
    return VisitPart(
        visit=whole.entries[0].event.visit if whole.entries else None,
        course=opened.course if opened else None,
        tooth=opened.tooth if opened else None,
        label=opened.label if opened else None,
        room=opened.room if opened else None,
        operator=opened.operator if opened else None,
        training=opened.training if opened else False,
        state="open" if record.closed_at_ms is None else "closed",
        opened_at_ms=opened.occurred_at_ms if opened else None,
        closed_at_ms=record.closed_at_ms,
        last_clinical_ms=record.last_clinical_ms,
        present_at_start=opened.present_at_start if opened else (),
    )


def _kit(kit: Kit, record: Record) -> KitPart:
    return KitPart(
        digest=kit_digest(kit),
        pinned=record.opened.kit if record.opened else None,
        protocol=kit.protocol.protocol if kit.protocol else None,
        version=kit.protocol.version if kit.protocol else None,
        title=kit.protocol.title if kit.protocol else None,
    )


def _incomplete(whole: Folded, until: Folded, known: Known) -> tuple[str, ...]:
    record = until.record
    why = []
    if left_out := len(whole.entries) - len(until.entries):
        why.append(f"Entries dated after the instant asked for are not counted: {left_out}.")
    if record.opened is None:
        why.append("The visit's opening is not on record.")
    if _fields_not_read(until):
        why.append("Entries hold fields that this version does not know and does not read.")
    if record.unread:
        why.append("Entries of kinds that this version does not know have no effect here.")
    if any(f.rule == "unresolved" for f in record.findings):
        why.append("Corrections name entries that are not on record.")
    if not is_replayed(record.standing):
        why.append("What the guard should have said was not worked out: too many entries.")
    if known.gaps:
        why.append("Entries of a device have not arrived.")
    if known.bad_lines:
        why.append("Lines of the file could not be read and are left out.")
    return tuple(why)


def _finding(kit: Kit, finding: Finding) -> FindingRow:
    more = finding if isinstance(finding, Found) else None
    return FindingRow(
        rule=finding.rule,
        severity=finding.severity,
        site=finding.sites[0] if finding.sites else None,
        sites=finding.sites,
        events=finding.events,
        about=finding.about,
        ms=finding.ms,
        measure=more.measure if more else None,
        asked=more.asked if more else None,
        had=more.had if more else None,
        text=finding_text(kit, finding),
    )


def _unread(event: Unread) -> UnreadRow:
    return UnreadRow(
        id=event.id,
        kind=event.unread_kind,
        device=event.device,
        occurred_at_ms=event.occurred_at_ms,
    )


def _named_irrigants(kit: Kit, record: Record) -> tuple[IrrigantEntry, ...]:
    named = {c.irrigant for d in record.deliveries for c in d.contents}
    named |= {r.irrigant for r in record.residues}
    if kit.protocol is not None:
        named |= {a.irrigant for a in kit.protocol.asks}
    return tuple(i for i in kit.catalogue.irrigants if i.irrigant in named)


def _events(whole: Folded, until: Folded) -> tuple[EventRow, ...]:
    states = _states(whole.record)
    counted = {e.event.id for e in until.entries}
    return tuple(
        EventRow(
            seq=e.seq,
            recorded_at_ms=e.recorded_at_ms,
            prev=e.prev,
            digest=e.digest,
            line_digest=e.line_digest,
            id=e.event.id,
            kind=_kind(e.event),
            state=_state(e.event, states),
            counted=e.event.id in counted,
            event=e.line,
        )
        for e in whole.entries
    )


def _states(record: Record) -> Mapping[str, State]:
    """State of every event that is part of an amended one."""
    states: dict[str, State] = {}
    for v in record.versions:
        states |= dict.fromkeys(v.versions, "replaced")
        states[v.stands] = "stands"
        if v.voided:
            states[v.entry] = "withdrawn"
    states |= {e: "unresolved" for f in record.findings if f.rule == "unresolved" for e in f.events}
    return states


def _state(event: AnyEvent | Unread, states: Mapping[str, State]) -> State:
    return "unread" if isinstance(event, Unread) else states.get(event.id, "stands")


def _kind(event: AnyEvent | Unread) -> str:
    return event.unread_kind if isinstance(event, Unread) else str(event.__struct_config__.tag)


def _foot(entries: tuple[Entry, ...]) -> Foot:
    seqs = [e.seq for e in entries if e.seq is not None]
    return Foot(
        entries=len(entries),
        first_seq=min(seqs, default=None),
        last_seq=max(seqs, default=None),
        digest=entries[-1].digest if entries else None,
    )
