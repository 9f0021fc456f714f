"""Findings on devices: clocks and entries that never arrived."""

import pytest

from canalclock.core.audit.clocks import AHEAD_MS, BEHIND_MS, OFF_MS
from canalclock.core.audit.meta import Gap
from tests.builders import Chair, a_visit
from tests.unit.core.audit.cases import found, rules, the

DAY_MS = 86_400_000


def recorded(chair: Chair, at_ms: int) -> dict[str, int]:
    return {e["id"]: at_ms for e in chair.events}


def test_a_clock_a_day_ahead_is_flagged_and_counted() -> None:
    chair = a_visit("mb", tooth="46", at_ms=DAY_MS)
    finding = the(found(chair, recorded=recorded(chair, 0)), "device_clock_off")
    assert (finding.ms, finding.had, finding.about) == (DAY_MS, len(chair.events), "tablet")
    assert len(finding.events) == len(chair.events)


@pytest.mark.parametrize(("late_ms", "expected"), [(0, []), (1, ["device_clock_off"])])
def test_an_entry_may_be_dated_ahead_by_its_error_and_two_minutes(
    late_ms: int, expected: list[str]
) -> None:
    chair = Chair(clock_error_ms=500)
    chair.opened("mb", tooth="46", at_ms=AHEAD_MS + 500 + late_ms)
    assert rules(found(chair, recorded=recorded(chair, 0))) == expected


def test_a_clock_a_day_behind_is_flagged_when_the_device_did_not_know_the_time() -> None:
    unsure, sure = Chair(clock_error_ms=None), Chair(clock_error_ms=40)
    for chair in (unsure, sure):
        chair.opened("mb", tooth="46")
    at = recorded(unsure, BEHIND_MS + 1)
    assert rules(found(unsure, recorded=at)) == ["device_clock_off"]
    assert found(unsure, recorded=recorded(unsure, BEHIND_MS)) == ()
    assert found(sure, recorded=at) == ()


@pytest.mark.parametrize(
    ("apart_ms", "expected"), [(OFF_MS, []), (OFF_MS + 1, ["device_clock_off"])]
)
def test_a_devices_own_clock_may_stand_apart_from_the_time_it_knew(
    apart_ms: int, expected: list[str]
) -> None:
    chair = Chair()
    chair.opened("mb", tooth="46", at_ms=DAY_MS, device_clock_ms=DAY_MS - apart_ms)
    findings = found(chair)
    assert rules(findings) == expected
    assert [f.severity for f in findings] == ["info"] * len(expected)


def test_a_time_that_somebody_typed_says_nothing_of_the_clock() -> None:
    chair = Chair()
    chair.opened("mb", tooth="46", at_ms=DAY_MS, device_clock_ms=0, dated_by_hand=True)
    assert found(chair, recorded=recorded(chair, 0)) == ()


def test_a_gap_cites_the_entries_around_it() -> None:
    chair = a_visit("mb", tooth="46")
    chair.events[1]["device_seq"] = 6
    finding = the(found(chair, gaps=(Gap(device="tablet", first=2, last=5),)), "device_gap")
    assert (finding.events, finding.had) == (("tablet-1", "tablet-2"), 4)


def test_without_a_ledger_no_time_of_recording_is_guessed() -> None:
    assert found(a_visit("mb", tooth="46", at_ms=50 * DAY_MS)) == ()
