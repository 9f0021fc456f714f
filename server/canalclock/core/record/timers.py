"""Times to be told of. They never pause, since chemistry does not.

A timer is the event it runs from and the instant it is due; what it shows is a question to both.
"""

from collections.abc import Sequence
from typing import Literal

from msgspec import structs

from canalclock.core.record.events import (
    ActivationStarted,
    ActivationStopped,
    AnyEvent,
    CanalFilled,
    DressingPlaced,
    IrrigantDelivered,
    IrrigantRemoved,
    TimerAcknowledged,
    TimerSet,
)
from canalclock.core.record.values import Timer


def timers(
    standing: Sequence[AnyEvent], occurred_first: dict[str, int], voided: frozenset[str]
) -> tuple[Timer, ...]:
    """
    Every timer and what became of it.

    Args:
        standing: Standing events up to the close, in the order of keys.
        occurred_first: Instant of each original event before any correction, by id. [ms]
        voided: Ids of events that did not happen.

    Returns:
        One timer a `timer_set`, in the order of keys.
    """
    now_at = {event.id: event.occurred_at_ms for event in standing}
    found: list[Timer] = []
    for event in standing:
        match event:
            case TimerSet():
                found = [_closed(t, "replaced", event.id) if _same(t, event) else t for t in found]
                found.append(_timer(event, now_at, occurred_first, voided))
            case TimerAcknowledged():
                found = [
                    _closed(t, "acknowledged", event.id) if _same(t, event) else t for t in found
                ]
            case _ if found:
                canal = _acts_in(event)
                if canal is not None:
                    found = [
                        _closed(t, "acknowledged", event.id)
                        if t.canal == canal and t.runs_from != event.id
                        else t
                        for t in found
                    ]
            case _:
                pass
    return tuple(found)


def remaining_ms(timer: Timer, now_ms: int) -> int:
    """Time until a timer is due; 0 once it is. [ms]"""
    return max(0, timer.due_at_ms - now_ms)


def _timer(
    event: TimerSet, now_at: dict[str, int], first: dict[str, int], voided: frozenset[str]
) -> Timer:
    moved = now_at.get(event.runs_from, 0) - first.get(event.runs_from, 0)
    gone = event.runs_from in voided
    return Timer(
        id=event.id,
        canal=event.timer.canal,
        step=event.timer.step,
        cycle=event.timer.cycle,
        runs_from=event.runs_from,
        due_at_ms=event.due_at_ms + (0 if event.runs_from not in now_at else moved),
        upper_limit=event.upper_limit,
        state="ended" if gone else "running",
        by=event.runs_from if gone else None,
    )


def _same(timer: Timer, event: TimerSet | TimerAcknowledged) -> bool:
    of = event.timer
    return timer.state == "running" and (timer.canal, timer.step, timer.cycle) == (
        of.canal,
        of.step,
        of.cycle,
    )


def _closed(timer: Timer, state: Literal["acknowledged", "replaced"], by: str) -> Timer:
    if timer.state != "running":
        return timer
    return structs.replace(timer, state=state, by=by)


def _acts_in(event: AnyEvent) -> str | None:
    match event:
        case IrrigantDelivered() | IrrigantRemoved() | DressingPlaced() | CanalFilled():
            return event.site
        case ActivationStarted() | ActivationStopped():
            return event.canal
        case _:
            return None
