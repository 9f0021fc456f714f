"""Alarms of the running service, on a frozen clock that a test moves on."""

import asyncio
import contextlib
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from freezegun import freeze_time

from canalclock.alarms import Due
from canalclock.app import Running, create_app, running
from canalclock.settings import Settings
from tests.api.socket import connected
from tests.contract.lines import a_visit, an_id, taken

with contextlib.suppress(ImportError):  # of the extra `bench`; it cannot be imported frozen
    import litestar.plugins.pydantic  # noqa: F401

START = "2030-01-01 08:00:00"
TIMER = {"canal": "mb1", "step": "chelator", "cycle": 1}


def now_ms() -> int:
    return time.time_ns() // 1_000_000


@asynccontextmanager
async def a_service(data: Path) -> AsyncIterator[Running]:
    async with running(Settings(data=data), now_ms, []) as opened:
        yield opened


async def record(opened: Running, *lines: tuple[int, str, dict[str, object]]) -> None:
    await opened.service.ledger.append(
        a_visit(), [taken(n, kind, **fields) for n, kind, fields in lines], now_ms()
    )
    await opened.alarms.settled()


def timer_set(number: int, in_s: int) -> tuple[int, str, dict[str, object]]:
    due = now_ms() + in_s * 1000
    fields = {"timer": TIMER, "runs_from": an_id(1), "due_at_ms": due}
    return number, "timer_set", fields


async def move_on(opened: Running, frozen: Any, seconds: float) -> None:
    frozen.tick(seconds)
    opened.alarms.scheduler.wakeup()
    await asyncio.sleep(0.05)


async def test_an_alarm_rings_when_it_is_due_and_not_before(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            rung: list[Due] = []
            opened.alarms._ring = rung.append
            await record(opened, timer_set(2, in_s=60))
            await move_on(opened, frozen, 59.9)
            assert rung == []
            await move_on(opened, frozen, 0.1)
            assert [(d.canal, d.due_at_ms) for d in rung] == [("mb1", now_ms())]


async def test_a_screen_hears_the_alarm(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            app = create_app(opened.service, Settings(data=tmp_path))
            async with connected(app) as socket:
                await record(opened, timer_set(2, in_s=60))
                assert (await socket.message())["feed"] == 1
                await move_on(opened, frozen, 60)
                assert await socket.message() == {
                    "alarm": {
                        "visit": a_visit(), "canal": "mb1", "step": "chelator", "cycle": 1,
                        "due_at_ms": now_ms(),
                    }
                }  # fmt: skip


async def test_an_act_before_the_time_ends_the_alarm(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            rung: list[Due] = []
            opened.alarms._ring = rung.append
            await record(opened, timer_set(2, in_s=60))
            removed = {"site": "mb1", "by": "points", "occurred_at_ms": 1_790_000_000_003}
            await record(opened, (3, "irrigant_removed", removed))
            await move_on(opened, frozen, 120)
            assert rung == []


async def test_a_restart_rings_what_fell_due_meanwhile_and_what_is_still_to_come(
    tmp_path: Path,
) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            other: dict[str, object] = {"timer": TIMER | {"canal": "p"}, "runs_from": an_id(1)}
            late = (3, "timer_set", other | {"due_at_ms": now_ms() + 7_200_000})
            await record(opened, timer_set(2, in_s=60), late)
        frozen.tick(3600)
        async with a_service(tmp_path) as opened:
            rung: list[str] = []
            opened.alarms._ring = lambda due: rung.append(due.canal)
            await opened.alarms.settled()
            await move_on(opened, frozen, 0)
            assert rung == ["mb1"]
            await move_on(opened, frozen, 3600)
            assert rung == ["mb1", "p"]


async def test_a_restart_leaves_visits_alone_that_are_long_quiet(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            await record(opened, timer_set(2, in_s=60))
        frozen.tick(8 * 86_400)
        async with a_service(tmp_path) as opened:
            rung: list[Due] = []
            opened.alarms._ring = rung.append
            await move_on(opened, frozen, 0)
            assert rung == []


async def test_a_blocked_loop_loses_no_alarm(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            rung: list[str] = []
            opened.alarms._ring = lambda due: rung.append(due.canal)
            lines = [
                (n, "timer_set", {
                    "timer": TIMER | {"canal": f"c{n}"}, "runs_from": an_id(1),
                    "due_at_ms": now_ms() + 60_000,
                })
                for n in range(2, 42)
            ]  # fmt: skip
            await record(opened, *lines)
            await move_on(opened, frozen, 3600)
            await asyncio.sleep(0.2)
            assert sorted(rung) == sorted(f"c{n}" for n in range(2, 42))


async def test_a_clock_set_back_rings_at_its_time_again_and_never_early(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            due = Due(
                visit=a_visit(), canal="mb1", step="chelator", cycle=1, due_at_ms=now_ms() + 5000
            )
            rung: list[Due] = []
            opened.alarms._ring = rung.append
            await record(opened, timer_set(2, in_s=5))
            await opened.alarms._fire(due)
            assert rung == []
            await move_on(opened, frozen, 5)
            assert rung == [due]


async def test_a_time_that_no_calendar_has_does_no_harm(tmp_path: Path) -> None:
    with freeze_time(START, real_asyncio=True) as frozen:
        async with a_service(tmp_path) as opened:
            rung: list[Due] = []
            opened.alarms._ring = rung.append
            far = {"timer": TIMER, "runs_from": an_id(1), "due_at_ms": 2**53 - 1}
            near = {"timer": TIMER | {"canal": "p"}, "runs_from": an_id(1)}
            at = now_ms() + 1000
            await record(opened, (2, "timer_set", far), (3, "timer_set", near | {"due_at_ms": at}))
            await move_on(opened, frozen, 1)
            assert [d.canal for d in rung] == ["p"]
