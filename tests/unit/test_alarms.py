"""Alarms: derived from events, never early, ended by what ends their timer."""

from canalclock.alarms import Due, due_timers
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
