"""The scheduler: derives wake-ups from the ledger's events, and only ever wakes.

It holds no truth. Jobs are derived at the start and on news; when one fires the events are asked
again and the clock is compared, so a hint is never early and may come twice. A visit's timers
end with it. Not here: who hears the hint (live.py), how a screen rings.
"""

import asyncio
import contextlib
import logging
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Final

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.date import DateTrigger
from msgspec import Struct

from canalclock.core.record.amend import standing
from canalclock.core.record.events import AnyEvent, TimerSet, Unread, VisitClosed
from canalclock.core.record.reading import read_stored
from canalclock.core.record.timers import timers

LATEST_MS: Final = 253_402_300_799_000
"""Last second that a date can say (year 9999). [ms since 1970, UTC]"""
REMEMBERED: Final = 64
"""Visits whose events are kept in mind between news. []  A choice."""
TOGETHER_S: Final = 0.2
"""News of this long are looked at together, so that a burst costs one look. [s]  A choice."""
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_log = logging.getLogger("canalclock.alarms")


class Due(Struct, frozen=True, kw_only=True):
    """A timer and its instant; a screen rings once per (timer, due_at_ms)."""

    visit: str
    canal: str
    step: str
    cycle: int
    due_at_ms: int


def due_timers(visit: str, events: Iterable[AnyEvent | Unread]) -> tuple[Due, ...]:
    """
    The timers of a visit that still run; none once it is closed.

    Args:
        visit: The visit's id.
        events: Its events, in any order.
    """
    events = tuple(events)
    heard = standing(events)
    if any(isinstance(event, VisitClosed) for event in heard.events):
        return ()
    first = {event.id: event.occurred_at_ms for event in events}
    voided = frozenset(version.entry for version in heard.versions if version.voided)
    return tuple(
        Due(
            visit=visit,
            canal=timer.canal,
            step=timer.step,
            cycle=timer.cycle,
            due_at_ms=timer.due_at_ms,
        )
        for timer in timers(heard.events, first, voided)
        if timer.state == "running"
    )


class Derived:
    """The running timers of visits, each entry of a visit read once while it is remembered."""

    def __init__(
        self, entries_after: Callable[[str, int], Awaitable[Sequence[tuple[int, bytes]]]]
    ) -> None:
        self._entries_after = entries_after
        self._heard: OrderedDict[str, tuple[int, tuple[AnyEvent | Unread, ...]]] = OrderedDict()

    async def of(self, visit: str) -> tuple[Due, ...]:
        """The timers of a visit that run by its newest entry."""
        seq, before = self._heard.get(visit, (0, ()))
        new = await self._entries_after(visit, seq)
        events = (*before, *(read_stored(line) for _, line in new))
        self._heard[visit] = (new[-1][0] if new else seq, events)
        self._heard.move_to_end(visit)
        if len(self._heard) > REMEMBERED:
            self._heard.popitem(last=False)
        if not any(isinstance(event, TimerSet) for event in events):
            return ()
        return due_timers(visit, events)


class Alarms:
    """Wake-ups for every running timer of every open visit."""

    def __init__(
        self,
        derive: Callable[[str], Awaitable[Sequence[Due]]],
        ring: Callable[[Due], None],
        now_ms: Callable[[], int],
    ) -> None:
        self._derive = derive
        self._ring = ring
        self._now_ms = now_ms
        self._armed: dict[str, set[Due]] = {}
        self._rung: set[Due] = set()
        self._changed: dict[str, None] = {}
        self._woken = asyncio.Event()
        self._idle = asyncio.Event()
        self._worker: asyncio.Task[None] | None = None
        self.scheduler = AsyncIOScheduler(
            timezone=UTC,
            job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 100},
        )

    def start(self, visits: Iterable[str]) -> None:
        """Begin, and look at these visits first."""
        self.scheduler.start()
        self._worker = asyncio.create_task(self._work())
        self.news(visits)

    def news(self, visits: Iterable[str]) -> None:
        """Something was recorded for these visits: derive their timers again, soon."""
        self._changed.update(dict.fromkeys(visits))
        self._idle.clear()
        self._woken.set()

    async def settled(self) -> None:
        """Return once every visit that changed has been looked at."""
        await self._idle.wait()

    async def stop(self) -> None:
        """Ring no more."""
        if self._worker is not None:
            self._worker.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._worker
            self.scheduler.shutdown(wait=False)
            await asyncio.sleep(0)

    async def _work(self) -> None:
        while True:
            await self._woken.wait()
            await asyncio.sleep(TOGETHER_S)
            self._woken.clear()
            while self._changed:
                visit = next(iter(self._changed))
                self._changed.pop(visit)
                try:
                    self._arm(visit, await self._derive(visit))
                except Exception:
                    _log.exception("timers of visit %s could not be derived", visit)
            self._idle.set()

    def _arm(self, visit: str, due: Sequence[Due]) -> None:
        wanted = {d for d in due if d.due_at_ms <= LATEST_MS} - self._rung
        armed = self._armed.get(visit, set())
        for gone in armed - wanted:
            with contextlib.suppress(LookupError):
                self.scheduler.remove_job(_job_id(gone))
        for new in wanted - armed:
            self._schedule(new, new.due_at_ms)
        if wanted:
            self._armed[visit] = wanted
        else:
            self._armed.pop(visit, None)

    def _schedule(self, due: Due, at_ms: int) -> None:
        self.scheduler.add_job(
            self._fire,
            DateTrigger(run_date=_EPOCH + timedelta(milliseconds=at_ms)),
            args=(due,),
            id=_job_id(due),
            replace_existing=True,
        )

    async def _fire(self, due: Due) -> None:
        """Ring, if the clock has really come to it and the events still say so."""
        if (now_ms := self._now_ms()) < due.due_at_ms:
            self._schedule(due, max(due.due_at_ms, now_ms + 1))
            return
        if due in await self._derive(due.visit):
            self._ring(due)
            self._rung.add(due)
        self._armed.get(due.visit, set()).discard(due)


def _job_id(due: Due) -> str:
    return f"{due.visit} {due.canal} {due.step} {due.cycle} {due.due_at_ms}"
