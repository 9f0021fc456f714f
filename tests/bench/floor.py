"""The floor that the fold is held against: one bare loop over the same decoded events.

One pass, one match an event, dictionaries. It keeps per canal and irrigant how long the last
contents stood and what went in, and nothing else: no depths, no amendments, no residues, no
clocks' errors, no timers. Nothing that does less gives the two figures.
"""

from collections.abc import Iterable

from canalclock.core.protocol.definition import Protocol
from canalclock.core.record.events import (
    AnyEvent,
    Component,
    IrrigantDelivered,
    IrrigantRemoved,
    SyringePrepared,
    Unread,
    VisitClosed,
)

Figures = tuple[dict[tuple[str, str], int], dict[tuple[str, str], int]]


def bare_loop(events: Iterable[AnyEvent | Unread]) -> Figures:
    """Contact [ms] and volume [µL] by canal and irrigant."""
    contact: dict[tuple[str, str], int] = {}
    volume: dict[tuple[str, str], int] = {}
    holds: dict[str, tuple[int, tuple[Component, ...]]] = {}
    filled: dict[str, tuple[Component, ...]] = {}
    for event in events:
        match event:
            case SyringePrepared():
                filled[event.syringe] = event.contents
            case IrrigantDelivered():
                contents = event.contents or filled.get(event.syringe or "", ())
                start = event.occurred_at_ms - (event.duration_ms or 0)
                held = holds.get(event.site)
                if held is not None:
                    for c in held[1]:
                        k = (event.site, c.irrigant)
                        contact[k] = contact.get(k, 0) + start - held[0]
                for c in contents:
                    k = (event.site, c.irrigant)
                    volume[k] = volume.get(k, 0) + (event.volume_ul or 0)
                holds[event.site] = (start, contents)
            case IrrigantRemoved():
                held = holds.pop(event.site, None)
                if held is not None:
                    for c in held[1]:
                        k = (event.site, c.irrigant)
                        contact[k] = contact.get(k, 0) + event.occurred_at_ms - held[0]
            case VisitClosed():
                for site, held in holds.items():
                    for c in held[1]:
                        k = (site, c.irrigant)
                        contact[k] = contact.get(k, 0) + event.occurred_at_ms - held[0]
                holds = {}
            case _:
                pass
    return contact, volume


def bare_steps(protocol: Protocol, canals: int, instruments: int = 3) -> dict[str, int]:
    """Volume by solution [µL]: one pass over the steps of a protocol, as often as they come."""
    volumes: dict[str, int] = {}
    for stage in protocol.stages:
        rounds = instruments if stage.repeats == "per_instrument" else stage.cycles
        for step in stage.steps:
            if step.solution is not None:
                times = rounds * (canals if step.site == "canal" else 1)
                volume = times * (step.volume_ul or 0)
                volumes[step.solution] = volumes.get(step.solution, 0) + volume
    return volumes
