"""In which order events are read, and where that order is not certain."""

from collections.abc import Iterable, Sequence
from typing import Final

from canalclock.core.record.events import (
    CHAMBER,
    ActivationStarted,
    ActivationStopped,
    AnyEvent,
    Event,
    IrrigantDelivered,
    IrrigantRemoved,
)
from canalclock.core.record.values import Finding, Key

Act = IrrigantDelivered | IrrigantRemoved | ActivationStarted | ActivationStopped
_KINDS: Final = (IrrigantDelivered, IrrigantRemoved, ActivationStarted, ActivationStopped)


def key(event: Event) -> Key:
    """The one order of events: instant, device, its counter, id (text as ASCII)."""
    return (event.occurred_at_ms, event.device, event.device_seq, event.id)


def site_of(act: Act) -> str:
    """Where an act took place."""
    match act:
        case IrrigantDelivered() | IrrigantRemoved():
            return act.site
        case ActivationStarted() | ActivationStopped():
            return act.canal


def clocked(standing: Sequence[AnyEvent], retimed: frozenset[str]) -> list[Act]:
    """The acts whose time a clock gave; `retimed` are those a person dated by a correction."""
    return [
        event
        for event in standing
        if isinstance(event, _KINDS) and not event.dated_by_hand and event.id not in retimed
    ]


def uncertain_at_sites(acts: Sequence[Act]) -> tuple[tuple[str, str], ...]:
    """
    Pairs of acts at one site, by different devices, closer than the sum of their clock errors.

    Args:
        acts: Acts with a clock's time, in the order of their keys.

    Returns:
        Pairs of ids, the smaller key first. An unbounded clock pairs with neighbours only.
    """
    if _one_device(acts):
        return ()
    by_site: dict[str, list[Act]] = {}
    for act in acts:
        by_site.setdefault(site_of(act), []).append(act)
    return tuple(pair for there in by_site.values() for pair in _close_pairs(there))


def uncertain_where_they_meet(acts: Sequence[Act]) -> tuple[tuple[str, str], ...]:
    """
    The same for what residues share: a canal with the chamber's deliveries, the chamber with all.

    Args:
        acts: Acts with a clock's time, in the order of their keys.

    Returns:
        Pairs of ids; those of one site are among them.
    """
    if _one_device(acts):
        return ()
    sites = dict.fromkeys((*(site_of(act) for act in acts), CHAMBER))
    pairs: dict[tuple[str, str], None] = {}
    for site in sites:
        there = [act for act in acts if _meets(act, site)]
        pairs.update(dict.fromkeys(_close_pairs(there)))
    return tuple(pairs)


def _one_device(acts: Sequence[Act]) -> bool:
    """Whether one counter orders all acts, whatever its clock."""
    return len({act.device for act in acts}) < 2


def _meets(act: Act, site: str) -> bool:
    """Whether an act soils or clears a site."""
    if site_of(act) == site:
        return True
    return isinstance(act, IrrigantDelivered) and CHAMBER in (site, act.site)


def _close_pairs(acts: Sequence[Act]) -> Iterable[tuple[str, str]]:
    widest = max((act.clock_error_ms or 0 for act in acts), default=0)
    for i, first in enumerate(acts):
        for j in range(i + 1, len(acts)):
            second = acts[j]
            apart = second.occurred_at_ms - first.occurred_at_ms
            a, b = first.clock_error_ms, second.clock_error_ms
            if first.device != second.device:
                if a is None or b is None:
                    if j == i + 1:
                        yield (first.id, second.id)
                elif apart < a + b:
                    yield (first.id, second.id)
            if j > i and (a is None or apart >= a + widest):
                break


def order_findings(pairs: Iterable[tuple[str, str]], sites: dict[str, str]) -> list[Finding]:
    """One finding a pair."""
    return [
        Finding(
            rule="order_uncertain", severity="notice", sites=(sites[first],), events=(first, second)
        )
        for first, second in pairs
    ]
