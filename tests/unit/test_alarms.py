"""Alarms: derived from events, never early, ended by what ends their timer."""

from collections.abc import Sequence

import pytest

from canalclock import alarms
from canalclock.alarms import Derived, Due, due_timers
from canalclock.core.record.reading import read_event
from tests.contract.lines import a_line, a_visit, an_id

TIMER = {"canal": "mb1", "step": "chelator", "cycle": 1}
SET = a_line(2, "timer_set", timer=TIMER, runs_from=an_id(1), due_at_ms=1_790_000_060_000)
DELIVERED = a_line(1, "irrigant_delivered", site="mb1", how="read", duration_ms=0)


def due(*lines: bytes) -> list[tuple[str, int]]:
    found = due_timers(a_visit(), [read_event(line) for line in lines])
    assert all(isinstance(d, Due) and d.visit == a_visit() for d in found)
    return [(d.canal, d.due_at_ms) for d in found]


def test_a_running_timer_is_due_when_it_says() -> None:
    assert due(DELIVERED, SET) == [("mb1", 1_790_000_060_000)]


def test_the_next_act_there_ends_the_wait() -> None:
    removed = a_line(3, "irrigant_removed", site="mb1", by="points")
    assert due(DELIVERED, SET, removed) == []


def test_a_closed_visit_rings_no_more() -> None:
    assert due(DELIVERED, SET, a_line(3, "visit_closed")) == []


def test_a_voided_delivery_takes_its_timer_along() -> None:
    voided = a_line(3, "entry_voided", entry=an_id(1), replaces=an_id(1), reason="slip")
    assert due(DELIVERED, SET, voided) == []


def test_a_corrected_delivery_moves_its_timer() -> None:
    payload = {"site": "mb1", "how": "read", "occurred_at_ms": 1_790_000_000_001 + 10_000}
    corrected = a_line(
        3, "entry_corrected", entry=an_id(1), replaces=an_id(1), reason="slip", payload=payload
    )
    assert due(DELIVERED, SET, corrected) == [("mb1", 1_790_000_070_000)]


async def test_each_entry_is_read_once_and_heard_ever_after() -> None:
    lines = [DELIVERED, SET]
    asked: list[int] = []

    async def after(visit: str, seq: int) -> Sequence[tuple[int, bytes]]:
        asked.append(seq)
        return list(enumerate(lines, start=1))[seq:]

    derived = Derived(after)
    assert [d.canal for d in await derived.of(a_visit())] == ["mb1"]
    assert [d.canal for d in await derived.of(a_visit())] == ["mb1"]
    lines.append(a_line(3, "irrigant_removed", site="mb1", by="points"))
    assert await derived.of(a_visit()) == ()
    assert asked == [0, 2, 2]


async def test_a_visit_that_was_forgotten_is_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(alarms, "REMEMBERED", 1)
    asked: list[tuple[str, int]] = []

    async def after(visit: str, seq: int) -> Sequence[tuple[int, bytes]]:
        asked.append((visit, seq))
        return [(1, DELIVERED), (2, SET)][seq:]

    derived = Derived(after)
    for number in (1, 2, 1):
        assert len(await derived.of(a_visit(number))) == 1
    assert asked == [(a_visit(1), 0), (a_visit(2), 0), (a_visit(1), 0)]
