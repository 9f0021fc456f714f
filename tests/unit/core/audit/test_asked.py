"""Findings on the protocol's figures."""

from typing import Any

import pytest

from tests.builders import (
    CHLORHEXIDINE,
    EDTA,
    HYPOCHLORITE,
    STRONG_HYPOCHLORITE,
    WATER,
    Chair,
    a_visit,
    contents,
)
from tests.unit.core.audit.cases import a_protocol_kit, found, rules, the

S = 1000


def ask(**figures: Any) -> dict[str, Any]:
    return {"asks": [{"irrigant": "sodium_hypochlorite"} | figures]}


def one_minute(**more: Any) -> Chair:
    """Hypochlorite from 50 s to 110 s in mb, 1 mL."""
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, **more)
    chair.removed("mb", 110 * S)
    return chair


@pytest.mark.parametrize(
    ("figure", "reached", "rule"),
    [
        ("contact_ms", 60 * S, "contact_below_asked"),
        ("last_3mm_ms", 60 * S, "last_3mm_below_asked"),
        ("fresh_ms", 60 * S, "fresh_below_asked"),
        ("volume_ul", 1000, "volume_below_asked"),
    ],
)
def test_below_what_was_asked_is_a_finding_and_exactly_it_is_none(
    figure: str, reached: int, rule: str
) -> None:
    chair = one_minute()
    chair.closed(120 * S)
    assert found(chair, a_protocol_kit(**ask(**{figure: reached}))) == ()
    finding = the(found(chair, a_protocol_kit(**ask(**{figure: reached + 1}))), rule)
    assert (finding.had, finding.asked) == (reached, reached + 1)
    assert (finding.sites, finding.about) == (("mb",), "sodium_hypochlorite")
    assert finding.severity == "notice"
    assert len(finding.events) == 1


def test_activation_below_what_was_asked() -> None:
    chair = one_minute()
    chair.activated("mb", 70 * S, 90 * S)
    chair.closed(120 * S)
    assert found(chair, a_protocol_kit(**ask(activated_ms=20 * S))) == ()
    finding = the(found(chair, a_protocol_kit(**ask(activated_ms=21 * S))), "activated_below_asked")
    assert finding.had == 20 * S


def test_while_the_visit_is_open_what_is_left_to_do_is_no_finding() -> None:
    kit = a_protocol_kit(**ask(contact_ms=61 * S, last_3mm_ms=61 * S, volume_ul=5000))
    chair = one_minute()
    assert found(chair, kit) == ()
    chair.closed(120 * S)
    assert rules(found(chair, kit)) == [
        "contact_below_asked", "last_3mm_below_asked", "volume_below_asked",
    ]  # fmt: skip


def test_nothing_is_asked_without_a_protocol() -> None:
    assert found(one_minute()) == ()


def test_a_canal_that_had_nothing_is_below_and_one_left_alone_is_not_asked() -> None:
    kit = a_protocol_kit(**ask(contact_ms=S))
    chair = a_visit("mb", "ml", tooth="46")
    chair.log("canal_set", 10 * S, canal="ml", state="left")
    chair.closed(120 * S)
    (finding,) = found(chair, kit)
    assert (finding.rule, finding.sites, finding.events) == ("contact_below_asked", ("mb",), ())


def test_a_canal_only_suspected_or_filled_before_is_not_asked() -> None:
    kit = a_protocol_kit(**ask(contact_ms=S))
    chair = a_visit("mb", "ml", "d", tooth="46")
    chair.log("canal_set", 10 * S, canal="mb", state="suspected")
    chair.log("canal_set", 10 * S, canal="ml", state="filled")
    chair.closed(120 * S)
    assert [f.sites for f in found(chair, kit)] == [("d",)]


def test_a_canal_filled_in_this_visit_was_asked() -> None:
    chair = one_minute()
    chair.log("canal_set", 115 * S, canal="mb", state="filled")
    chair.closed(120 * S)
    kit = a_protocol_kit(**ask(contact_ms=61 * S))
    assert rules(found(chair, kit)) == ["contact_below_asked"]


def test_unknown_working_length_is_not_below_but_unknown() -> None:
    chair = Chair()
    chair.opened("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, tip_um=15_000)
    chair.closed(120 * S)
    kit = a_protocol_kit(**ask(last_3mm_ms=S))
    assert rules(found(chair, kit), without=("open_end",)) == ["last_3mm_unknown"]


def test_an_unknown_volume_is_not_below_but_unknown() -> None:
    chair = one_minute()
    chair.delivered("mb", HYPOCHLORITE, 112 * S, volume_ul=None)
    chair.removed("mb", 115 * S)
    chair.closed(120 * S)
    finding = the(found(chair, a_protocol_kit(**ask(volume_ul=5000))), "volume_unknown")
    assert (finding.had, finding.severity) == (1000, "info")


def test_only_what_this_visit_of_the_protocol_uses_is_asked() -> None:
    e17 = {"irrigant": "edta", "concentration_mg_per_l": 170_000}
    kit = a_protocol_kit(
        case={"visits": 2},
        solutions=[
            {"solution": "n", "contents": [{"irrigant": "sodium_hypochlorite",
                                            "concentration_mg_per_l": 30_000}]},
            {"solution": "e", "contents": [e17]},
        ],
        stages=[
            {"stage": f"visit-{n}", "kind": "close", "title": "Close", "visit": n,
             "steps": [{"step": f"irrigate-{n}", "act": "irrigate", "solution": solution}]}
            for n, solution in ((1, "n"), (2, "e"))
        ],
        asks=[{"irrigant": "edta", "contact_ms": S}],
    )  # fmt: skip
    chair = one_minute()
    chair.closed(120 * S)
    assert found(chair, kit) == ()
    dressed = a_visit(
        "mb", tooth="46",
        present_at_start=[{"site": "mb", "dressing": True,
                           "contents": contents(calcium_hydroxide=None)}],
    )  # fmt: skip
    dressed.removed("mb", 20 * S)
    dressed.closed(120 * S)
    assert rules(found(dressed, kit)) == ["contact_below_asked"]


def test_what_is_asked_of_one_visit_is_not_asked_of_another() -> None:
    stages = [
        {"stage": f"visit-{n}", "kind": "close", "title": "Close", "visit": n,
         "steps": [{"step": f"irrigate-{n}", "act": "irrigate", "solution": "n"}]}
        for n in (1, 2)
    ]  # fmt: skip
    asks = [
        {"irrigant": "sodium_hypochlorite", "visit": visit, "contact_ms": least}
        for visit, least in ((1, 61 * S), (2, 60 * S))
    ]
    kit = a_protocol_kit(case={"visits": 2}, stages=stages, asks=asks)
    first = one_minute()
    first.closed(120 * S)
    assert rules(found(first, kit)) == ["contact_below_asked"]
    second = a_visit(
        "mb", tooth="46",
        present_at_start=[{"site": "mb", "dressing": True,
                           "contents": contents(calcium_hydroxide=None)}],
    )  # fmt: skip
    second.removed("mb", 20 * S)
    second.delivered("mb", HYPOCHLORITE, 60 * S)
    second.removed("mb", 110 * S)
    second.closed(120 * S)
    assert rules(found(second, kit)) == []


def test_the_longest_run_over_the_clinics_limit_is_a_finding() -> None:
    def kit(limit_ms: int) -> Any:
        limit = {"irrigant": "sodium_hypochlorite", "longest_run_ms": limit_ms}
        return a_protocol_kit(limits=[limit])

    assert found(one_minute(), kit(60 * S)) == ()
    finding = the(found(one_minute(), kit(60 * S - 1)), "limit_passed")
    assert (finding.had, finding.asked, finding.severity) == (60 * S, 60 * S - 1, "notice")


def test_another_strength_than_the_protocols_is_a_finding_once_an_irrigant() -> None:
    chair = a_visit("mb", "ml", tooth="46")
    first = chair.delivered("mb", STRONG_HYPOCHLORITE, 60 * S)
    second = chair.delivered("ml", STRONG_HYPOCHLORITE, 80 * S)
    chair.delivered("ml", HYPOCHLORITE, 100 * S)
    finding = the(found(chair, a_protocol_kit()), "strength_other_than_protocol")
    assert (finding.events, finding.sites) == ((first, second), ("mb", "ml"))
    assert (finding.had, finding.asked) == (52_500, 30_000)


def test_a_strength_that_nobody_recorded_is_unknown_not_other() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", contents(sodium_hypochlorite=None), 60 * S)
    assert rules(found(chair, a_protocol_kit())) == ["strength_unknown"]


def test_an_irrigant_that_the_protocol_lacks_is_a_finding_a_rinse_without_weight() -> None:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", WATER, 60 * S)
    chair.delivered("mb", EDTA, 80 * S)
    seen = {
        f.about: f.severity
        for f in found(chair, a_protocol_kit())
        if f.rule == "irrigant_not_in_protocol"
    }
    assert seen == {"water": "info", "edta": "notice"}
    assert CHLORHEXIDINE[0]["irrigant"] not in seen
