"""Findings on single acts."""

import pytest

from tests.builders import HYPOCHLORITE, WATER, a_visit
from tests.unit.core.audit.cases import found, rules, the

S = 1000


@pytest.mark.parametrize(
    ("tip_um", "expected"), [(20_000, []), (20_001, ["tip_past_working_length"])]
)
def test_a_tip_past_the_working_length_is_serious_and_at_it_is_none(
    tip_um: int, expected: list[str]
) -> None:
    chair = a_visit("mb", tooth="46")
    act = chair.delivered("mb", WATER, 60 * S, tip_um=tip_um)
    findings = found(chair)
    assert rules(findings) == expected
    for finding in findings:
        assert (finding.severity, finding.events) == ("serious", (act,))


def test_the_working_length_known_then_counts_not_the_later_one() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", WATER, 60 * S, tip_um=20_000)
    chair.measured("mb", at_ms=90 * S, wl_um=19_000)
    assert found(chair) == ()
    chair.delivered("mb", WATER, 120 * S, tip_um=19_500)
    assert the(found(chair), "tip_past_working_length").asked == 19_000


def test_an_activation_past_the_working_length_is_told_too() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", WATER, 60 * S)
    act = {"canal": "mb", "activation": "ultrasonic", "tip_um": 21_000}
    started = chair.log("activation_started", 70 * S, **act)
    chair.log("activation_stopped", 80 * S, **act)
    assert the(found(chair), "tip_past_working_length").events == (started,)


def test_a_step_left_out_needs_a_reason() -> None:
    chair = a_visit("mb", tooth="46")
    chair.log("step_skipped", 60 * S, step="gauging", canal="mb", reason="Not needed here.")
    bare = chair.log("step_skipped", 61 * S, step="cone", canal="mb", reason="  ")
    finding = the(found(chair), "step_skipped_without_reason")
    assert (finding.events, finding.about, finding.sites) == ((bare,), "cone", ("mb",))


def test_an_incident_stays_open() -> None:
    chair = a_visit("mb", tooth="46")
    act = chair.log("incident_declared", 60 * S, what="extrusion_suspected", site="mb")
    chair.closed(120 * S)
    finding = the(found(chair), "incident_open")
    assert (finding.severity, finding.events) == ("serious", (act,))


@pytest.mark.parametrize(("measured_ul", "told"), [(1000, False), (999, True)])
def test_amounts_that_are_mostly_not_measured_are_told(measured_ul: int, told: bool) -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, volume_ul=measured_ul)
    chair.delivered("mb", HYPOCHLORITE, 80 * S, volume_ul=1000, how="planned")
    assert ("amounts_mostly_not_measured" in rules(found(chair))) is told


def test_another_protocol_during_the_visit_is_told() -> None:
    chair = a_visit("mb", tooth="46")
    act = chair.log("protocol_changed", 60 * S, kit="1" * 64, reason="Chlorhexidine instead.")
    assert the(found(chair), "protocol_changed").events == (act,)
