"""Rules on devices: clocks that are off, and entries that never arrived.

A wrong clock changes nothing by itself: an entry is dated by the server's time as the device
knew it. It is flagged where that cannot have held.
"""

from collections.abc import Iterable, Iterator
from typing import Final

from canalclock.core.audit.meta import Found, Meta
from canalclock.core.figures import distance
from canalclock.core.kit import Kit
from canalclock.core.quantities import MS_PER_MIN
from canalclock.core.record.events import AnyEvent, Event, Unread
from canalclock.core.record.order import key
from canalclock.core.record.values import Record, Severity

OFF_MS: Final = 10 * MS_PER_MIN
"""A device's own clock this far from the time it dated an entry with is named. [ms]  A choice."""
AHEAD_MS: Final = 2 * MS_PER_MIN
"""An entry dated this much later than it was recorded cannot be right. [ms]  A choice."""
BEHIND_MS: Final = 12 * 60 * MS_PER_MIN
"""An entry of a device that did not know the server's time and came this much later is either
old or wrongly dated. [ms]  A choice."""


def clock_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """Every finding of this family."""
    by_device: dict[str, list[AnyEvent | Unread]] = {}
    for event in sorted(meta.events, key=key):
        by_device.setdefault(event.device, []).append(event)
    for device, events in by_device.items():
        yield from _clock(device, events, meta)
    for gap in meta.gaps:
        yield Found(
            rule="device_gap",
            severity="notice",
            events=_around(by_device.get(gap.device, []), gap.first, gap.last),
            about=gap.device,
            measure="entries",
            had=gap.last - gap.first + 1,
        )


def _clock(device: str, events: Iterable[Event], meta: Meta) -> Iterator[Found]:
    """At most one finding a device: dated ahead, else dated long ago, else a clock that is off."""
    ahead: list[tuple[int, Event]] = []
    behind: list[tuple[int, Event]] = []
    off: list[tuple[int, Event]] = []
    for event in events:
        if event.dated_by_hand:
            continue
        recorded = meta.recorded.get(event.id)
        if recorded is not None:
            early = event.occurred_at_ms - recorded - (event.clock_error_ms or 0)
            late = recorded - event.occurred_at_ms
            if early > AHEAD_MS:
                ahead.append((early, event))
            elif event.clock_error_ms is None and late > BEHIND_MS:
                behind.append((late, event))
        apart = abs(event.device_clock_ms - event.occurred_at_ms)
        if apart > OFF_MS:
            off.append((apart, event))
    seen: tuple[tuple[list[tuple[int, Event]], Severity, str], ...] = (
        (ahead, "notice", "Entries are dated {} later than they were recorded."),
        (
            behind,
            "notice",
            "Entries came {} after the time they are dated with, from a device that did not know "
            "the server's time: they waited, or are wrongly dated.",
        ),
        (off, "info", "Its own clock stood {} from the time that entries are dated with."),
    )
    for found, severity, words in seen:
        if found:
            yield _off(device, found, severity, words)
            return


def _off(device: str, found: list[tuple[int, Event]], severity: Severity, words: str) -> Found:
    most = max(ms for ms, _ in found)
    return Found(
        rule="device_clock_off",
        severity=severity,
        events=tuple(e.id for _, e in found),
        ms=most,
        about=device,
        measure="entries",
        had=len(found),
        says=words.format(distance(most)),
    )


def _around(events: Iterable[Event], first: int, last: int) -> tuple[str, ...]:
    """The device's entries just before and after a gap."""
    ordered = sorted(events, key=lambda e: e.device_seq)
    before = [e.id for e in ordered if e.device_seq < first]
    after = [e.id for e in ordered if e.device_seq > last]
    return (*before[-1:], *after[:1])
