"""Findings on what the guard said."""

from tests.builders import CHLORHEXIDINE, HYPOCHLORITE, WATER, a_visit
from tests.unit.core.audit.cases import found, rules, the

S = 1000
PAIR = "chlorhexidine+sodium_hypochlorite"


def test_chlorhexidine_too_early_and_released_is_one_finding() -> None:
    """Visit 3 of the worked cases."""
    chair = a_visit("mb", "ml", "d", tooth="46")
    for n, canal in enumerate(("mb", "ml", "d")):
        chair.delivered(canal, HYPOCHLORITE, 1810 * S + n * 15 * S)
    chair.delivered("mb", WATER, 1940 * S, volume_ul=2000, duration_ms=20 * S)
    chair.removed("mb", 1960 * S)
    chair.delivered("mb", WATER, 1990 * S)
    chair.removed("mb", 2010 * S)
    release = chair.log(
        "hold_released", 2050 * S, rule="pair", about=PAIR, act="later", ordered_by="dentist-1",
        reason="Wanted now.",
    )  # fmt: skip
    act = chair.delivered("mb", CHLORHEXIDINE, 2075 * S, duration_ms=15 * S)
    next(e for e in chair.events if e["id"] == release)["act"] = act
    chair.delivered("ml", WATER, 2120 * S, volume_ul=2000, duration_ms=20 * S)
    chair.delivered("d", WATER, 2150 * S, volume_ul=2000, duration_ms=20 * S)
    chair.removed("mb", 2360 * S)
    (finding,) = found(chair, as_of_ms=2400 * S)
    assert (finding.rule, finding.severity, finding.about) == ("hold_released", "notice", PAIR)
    assert set(finding.sites) == {"ml", "d", "chamber"}
    assert set(finding.events) == {act, release}


def test_a_hold_that_a_delivery_met_and_nobody_released_is_serious() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    act = chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    (finding,) = found(chair)
    assert (finding.rule, finding.severity) == ("hold_not_released", "serious")
    assert finding.events == (act,)


def test_a_hold_at_a_pick_that_came_to_nothing_is_no_finding() -> None:
    chair = a_visit("mb", tooth="46")
    chair.log("syringe_prepared", 0, syringe="c", contents=CHLORHEXIDINE)
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.log("syringe_picked", 100 * S, syringe="c", site="mb")
    assert found(chair) == ()


def test_a_release_of_another_rule_covers_nothing() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    release = chair.log(
        "hold_released", 110 * S, rule="allergy", about="chlorhexidine", act="later",
        ordered_by="dentist-1", reason="Asked again.",
    )  # fmt: skip
    act = chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    next(e for e in chair.events if e["id"] == release)["act"] = act
    assert rules(found(chair)) == ["hold_not_released", "hold_released"]


def test_two_releases_of_one_act_are_one_finding_that_cites_both() -> None:
    chair = a_visit("mb", tooth="46")
    releases = [
        chair.log(
            "hold_released", 10 * S, rule=rule, about=rule, act="never-recorded",
            ordered_by="dentist-1", reason=rule,
        )
        for rule in ("allergy", "earlier_incident")
    ]  # fmt: skip
    finding = the(found(chair), "hold_released")
    assert finding.events == tuple(releases)
    assert finding.about == "allergy, earlier_incident"


def test_a_caution_that_no_device_gave_is_told_and_one_that_was_given_is_not() -> None:
    chair = a_visit("mb", tooth="46")
    chair.log("check_done", 20 * S, what="isolation")
    chair.log("treatment_stopped", 30 * S)
    chair.log("treatment_resumed", 40 * S)
    act = chair.delivered("mb", WATER, 60 * S)
    finding = the(found(chair), "caution_not_said")
    assert (finding.about, finding.events) == ("isolation_after_stop", (act,))
    chair.log(
        "guard_spoke", 49 * S, rule="isolation_after_stop", level="caution", about="", act=act
    )
    assert found(chair) == ()
