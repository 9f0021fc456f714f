"""The record: what a visit's events amount to, by the chapter "The record, exactly".

It depends on the set of events alone, whatever the order of arrival, repetition and split.
"""

from collections.abc import Iterable

from canalclock.core.kit import Kit
from canalclock.core.record.acts import Reading
from canalclock.core.record.amend import standing
from canalclock.core.record.amounts import amounts
from canalclock.core.record.events import (
    ActivationStarted,
    ActivationStopped,
    AnyEvent,
    CanalFilled,
    CanalRecapitulated,
    CheckDone,
    DressingPlaced,
    IncidentNoted,
    InstrumentUsed,
    IrrigantDelivered,
    IrrigantRemoved,
    NoteAdded,
    ProtocolChanged,
    TeamChanged,
    Unread,
    VisitClosed,
    VisitOpened,
)
from canalclock.core.record.intervals import merged
from canalclock.core.record.order import (
    clocked,
    order_findings,
    site_of,
    uncertain_at_sites,
    uncertain_where_they_meet,
)
from canalclock.core.record.sweep import Carry, Swept, sweep
from canalclock.core.record.syringes import Rack
from canalclock.core.record.timers import timers
from canalclock.core.record.tooth import Tooth, junctions
from canalclock.core.record.values import (
    Activated,
    Finding,
    Interval,
    LeftDressing,
    Record,
    Slice,
    Stay,
)

FOLD_VERSION = 1
"""Raised whenever the same events may give other totals."""

ACTS = (
    IrrigantDelivered
    | IrrigantRemoved
    | ActivationStarted
    | ActivationStopped
    | InstrumentUsed
    | CanalRecapitulated
    | DressingPlaced
    | CanalFilled
    | CheckDone
)
"""What cannot well happen once a visit is closed."""

_NOT_CLINICAL = (VisitClosed, NoteAdded, IncidentNoted, TeamChanged, ProtocolChanged)


def fold(kit: Kit, events: Iterable[AnyEvent | Unread], *, with_carried: bool = True) -> Record:
    """
    What a visit's events amount to.

    Args:
        kit: The kit the visit pinned; its reach constants place contents by depth.
        events: Events of one visit, in any order, repeats allowed.
        with_carried: Whether to keep the second account; the guard does not look at it.

    Returns:
        The record; see values.py. Nothing in it depends on the present instant.
    """
    events = tuple(events)
    heard = standing(events)
    until = _close(heard.events)
    before, after = _split(heard.events, until)
    rack = Rack(heard.events)
    volumes, findings = amounts(heard.events)
    reading = Reading(kit.catalogue.reach, rack, volumes)
    reading.read(before)
    for event in after:
        reading.after_close(event)
    joined, unplaced = junctions(reading.canals.values())
    filed = with_carried and any(isinstance(op, Carry) for op in reading.ops)
    deeper = Tooth(reading.canals, joined) if filed else None
    swept = sweep(reading.ops, Tooth(reading.canals, joined), deeper)
    slices = _slices(swept.tooth, reading)
    carried = slices if swept.deeper is None else _slices(swept.deeper, reading)
    acts = clocked(before, heard.retimed)
    pairs = uncertain_at_sites(acts)
    meeting = uncertain_where_they_meet(acts)
    sites = {act.id: site_of(act) for act in acts} if pairs else {}
    clinical = (e for e in reversed(before) if not isinstance(e, _NOT_CLINICAL))
    last = next((e.occurred_at_ms for e in clinical), None)
    first = {e.id: e.occurred_at_ms for e in events}
    findings = [
        *heard.findings,
        *reading.findings,
        *unplaced,
        *findings,
        *order_findings(pairs, sites),
        *_after_close(after),
        *swept.findings,
        *_on_nothing(swept, slices),
        *(_open_end(slices) if until is not None else ()),
    ]
    return Record(
        opened=next((e for e in heard.events if isinstance(e, VisitOpened)), None),
        canals=tuple(known.value() for known in reading.canals.values()),
        standing=heard.events,
        unread=heard.unread,
        versions=heard.versions,
        closed_at_ms=None if until is None else until.occurred_at_ms,
        last_clinical_ms=last,
        slices=slices,
        carried=carried,
        chamber=swept.chamber,
        activations=swept.activations,
        deliveries=tuple(reading.deliveries),
        residues=reading.residues.value(),
        uncertain=tuple(dict.fromkeys((*pairs, *meeting))),
        dressings=_dressings(reading, slices),
        timers=timers(before, first, frozenset(v.entry for v in heard.versions if v.voided)),
        findings=tuple(findings),
    )


def _slices(tooth: Tooth, reading: Reading) -> tuple[Slice, ...]:
    return tuple(
        s for canal, known in reading.canals.items() for s in tooth.slices(canal, known.top_um)
    )


def _close(events: tuple[AnyEvent, ...]) -> VisitClosed | None:
    return next((e for e in events if isinstance(e, VisitClosed)), None)


def _split(
    events: tuple[AnyEvent, ...], until: VisitClosed | None
) -> tuple[tuple[AnyEvent, ...], tuple[AnyEvent, ...]]:
    """Events up to the close, the close included, and those after it."""
    if until is None:
        return events, ()
    cut = events.index(until) + 1
    return events[:cut], events[cut:]


def _after_close(after: Iterable[AnyEvent]) -> list[Finding]:
    return [
        Finding(rule="after_close", severity="notice", sites=_sites(e), events=(e.id,))
        for e in after
        if isinstance(e, ACTS)
    ]


def _sites(event: AnyEvent) -> tuple[str, ...]:
    site = getattr(event, "site", None) or getattr(event, "canal", None)
    return (site,) if isinstance(site, str) else ()


def _open_end(slices: tuple[Slice, ...]) -> list[Finding]:
    open_sites = dict.fromkeys(
        s.site for s in slices if any(y.end_ms is None and not y.dressing for y in s.stays)
    )
    return [Finding(rule="open_end", severity="notice", sites=(site,)) for site in open_sites]


def _on_nothing(swept: Swept, slices: tuple[Slice, ...]) -> list[Finding]:
    found = []
    for span in swept.activations:
        if span.end_ms is None:
            continue
        held = merged(
            [i for s in _within(slices, span) for y in s.stays for i in _overlap(y, span)]
        )
        idle = span.end_ms - span.start_ms - sum(end - start for start, end in held)
        if idle > 0:
            found.append(
                Finding(
                    rule="activation_on_nothing",
                    severity="notice",
                    sites=(span.canal,),
                    events=(span.started, *((span.stopped,) if span.stopped else ())),
                    ms=idle,
                )
            )
    return found


def _within(slices: tuple[Slice, ...], span: Activated) -> list[Slice]:
    return [
        s
        for s in slices
        if s.site == span.canal
        and s.from_um >= span.from_um
        and s.to_um is not None
        and s.to_um <= span.to_um
    ]


def _overlap(stay: Stay, span: Activated) -> list[Interval]:
    if stay.dressing or span.end_ms is None:
        return []
    start = max(stay.start_ms, span.start_ms)
    end = span.end_ms if stay.end_ms is None else min(stay.end_ms, span.end_ms)
    return [(start, end)] if end > start else []


def _dressings(reading: Reading, slices: tuple[Slice, ...]) -> tuple[LeftDressing, ...]:
    opened = reading.opened
    if opened is None:
        return ()
    found = []
    for left in opened.present_at_start:
        if not left.dressing:
            continue
        ends = []
        known = reading.canals.get(left.site)
        for s in slices:
            if known is None or s.site != left.site:
                continue
            wl = known.working_length_um
            if wl is not None and s.from_um >= wl:
                continue
            ends += [y.end_ms for y in s.stays if y.dressing]
        whole = [e for e in ends if e is not None]
        found.append(
            LeftDressing(
                site=left.site,
                contents=left.contents,
                since_ms=left.since_ms,
                until_ms=max(whole) if ends and len(whole) == len(ends) else None,
            )
        )
    return tuple(found)
