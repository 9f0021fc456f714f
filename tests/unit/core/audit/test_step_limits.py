"""The limit of a step's own contact."""

from typing import Any

from canalclock.core.kit import Kit
from tests.builders import EDTA, HYPOCHLORITE, WATER, Chair, a_visit
from tests.unit.core.audit.cases import a_protocol_kit, found, rules, the

S = 1000


def a_kit_with_a_limit(limit_ms: int, site: str = "canal", **more: Any) -> Kit:
    """The only step gives hypochlorite, which may stay for `limit_ms`."""
    step = {
        "step": "give", "act": "irrigate", "solution": "n", "site": site,
        "contact_limit_ms": limit_ms,
    }  # fmt: skip
    stage = {"stage": "close", "kind": "close", "title": "Close", "steps": [step]}
    return a_protocol_kit(stages=[stage], **more)


def one_minute() -> tuple[Chair, str]:
    """Hypochlorite given to mb by 60 s, out again at 120 s."""
    chair = a_visit("mb", tooth="46")
    given = chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.removed("mb", 120 * S)
    return chair, given


def test_longer_than_the_steps_limit_is_a_finding_and_exactly_it_is_none() -> None:
    chair, given = one_minute()
    assert found(chair, a_kit_with_a_limit(60 * S)) == ()
    finding = the(found(chair, a_kit_with_a_limit(60 * S - 1)), "step_limit_passed")
    assert (finding.had, finding.asked, finding.says) == (60 * S, 60 * S - 1, "give")
    assert (finding.sites, finding.events) == (("mb",), (given,))


def test_other_contents_end_it_and_the_same_contents_do_not() -> None:
    renewed = a_visit("mb", tooth="46")
    renewed.delivered("mb", HYPOCHLORITE, 60 * S)
    renewed.delivered("mb", HYPOCHLORITE, 80 * S)
    renewed.removed("mb", 120 * S)
    assert the(found(renewed, a_kit_with_a_limit(30 * S)), "step_limit_passed").had == 60 * S
    rinsed = a_visit("mb", tooth="46")
    rinsed.delivered("mb", HYPOCHLORITE, 60 * S)
    rinsed.delivered("mb", WATER, 80 * S, duration_ms=10 * S)
    rinsed.removed("mb", 120 * S)
    assert the(found(rinsed, a_kit_with_a_limit(9 * S)), "step_limit_passed").had == 10 * S
    assert "step_limit_passed" not in rules(found(rinsed, a_kit_with_a_limit(10 * S)))


def test_a_delivery_that_took_no_step_has_no_limit() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", EDTA, 60 * S)
    chair.removed("mb", 120 * S)
    assert "step_limit_passed" not in rules(found(chair, a_kit_with_a_limit(S)))


def test_a_limit_at_the_chamber_holds_in_every_canal_it_reached() -> None:
    chair = a_visit("mb", "d", tooth="46")
    chair.delivered("chamber", HYPOCHLORITE, 60 * S, tip_um=None)
    chair.removed("mb", 70 * S)
    chair.removed("d", 100 * S)
    finding = the(found(chair, a_kit_with_a_limit(20 * S, site="chamber")), "step_limit_passed")
    assert (finding.sites, finding.had) == (("d",), 40 * S)


def test_while_the_visit_is_open_it_runs_to_the_instant_asked_for() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    assert found(chair, a_kit_with_a_limit(30 * S), as_of_ms=90 * S) == ()
    open_still = found(chair, a_kit_with_a_limit(30 * S), as_of_ms=91 * S)
    assert the(open_still, "step_limit_passed").had == 31 * S


def test_what_a_limit_of_the_protocol_judges_is_not_said_twice() -> None:
    chair, _ = one_minute()
    limits = [{"irrigant": "sodium_hypochlorite", "longest_run_ms": 30 * S}]
    assert rules(found(chair, a_kit_with_a_limit(30 * S, limits=limits))) == ["limit_passed"]
