"""The limit that a step sets to its own contact, beside the protocol's limits (asked.py)."""

from collections.abc import Iterable, Iterator

from canalclock.core.audit.meta import Found, Meta
from canalclock.core.kit import Kit
from canalclock.core.plan import Planned, plan
from canalclock.core.protocol.definition import Protocol
from canalclock.core.record.events import CHAMBER
from canalclock.core.record.intervals import merged
from canalclock.core.record.values import Delivered, Interval, Record, Slice


def step_limit_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """
    One for each delivery that took a step, and whose contents then stood for longer.

    The time runs from the end of the delivery, as the step's timer does, to the end of contact at
    the depth where it lasted longest. What a limit of the protocol judges as strictly is left to
    that one.
    """
    if kit.protocol is None or not _sets_limits(kit.protocol):
        return
    given = {d.id: d for d in record.deliveries}
    for line in plan(kit, record).lines:
        for step in line.steps:
            delivery = given.get(step.event or "")
            limit = step.asked.contact_limit_ms
            if limit is None or delivery is None:
                continue
            if _judged_already(kit.protocol, {c.irrigant for c in delivery.contents}, limit):
                continue
            for site in _sites(line.site, record):
                stood = _stood_ms(delivery, site, record, meta)
                if stood > limit:
                    yield _passed(step, delivery, site, stood, limit)


def _passed(step: Planned, delivery: Delivered, site: str, stood: int, limit: int) -> Found:
    return Found(
        rule="step_limit_passed",
        severity="notice",
        sites=(site,),
        events=(delivery.id,),
        about="+".join(c.irrigant for c in delivery.contents),
        measure="ms",
        asked=limit,
        had=stood,
        says=step.step,
    )


def _sets_limits(protocol: Protocol) -> bool:
    """Whether any step has a limit that is not judged already."""
    inside = {s.solution: {c.irrigant for c in s.contents} for s in protocol.solutions}
    return any(
        step.contact_limit_ms is not None
        and not _judged_already(protocol, inside[step.solution or ""], step.contact_limit_ms)
        for stage in protocol.stages
        for step in stage.steps
    )


def _judged_already(protocol: Protocol, inside: set[str], limit_ms: int) -> bool:
    """Whether a limit of the protocol on the longest run is passed wherever this one is."""
    return any(x.irrigant in inside and x.longest_run_ms <= limit_ms for x in protocol.limits)


def _sites(site: str, record: Record) -> Iterable[str]:
    return [c.canal for c in record.canals] if site == CHAMBER else (site,)


def _stood_ms(delivery: Delivered, site: str, record: Record, meta: Meta) -> int:
    """How long its irrigants stood on after a delivery, unbroken, at any one depth. [ms]"""
    runs = [
        end - delivery.end_ms
        for part in record.slices
        if part.site == site
        for start, end in merged(_stays(part, delivery, record, meta))
        if start <= delivery.end_ms < end
    ]
    return max(runs, default=0)


def _stays(part: Slice, delivery: Delivered, record: Record, meta: Meta) -> Iterator[Interval]:
    """Spans in which what was delivered, at whatever strength, is there."""
    inside = {c.irrigant for c in delivery.contents}
    stop = meta.totals.as_of_ms
    last = record.last_clinical_ms if record.closed_at_ms is not None else None
    for stay in part.stays:
        if not stay.dressing and {c.irrigant for c in stay.contents} == inside:
            end = min(stop, last or stop) if stay.end_ms is None else min(stay.end_ms, stop)
            if end > stay.start_ms:
                yield (stay.start_ms, end)
