"""Words beside a pair's warning: what stays unreached, what the model expects, and no level."""

from typing import Any

import pytest

from canalclock.core.dosing.canal import tapered
from canalclock.core.guard import Warning, guard
from canalclock.core.record.fold import fold
from canalclock.core.residual_words import ResidualWords, expected, residual_words
from tests.builders import (
    CHLORHEXIDINE,
    EDTA,
    HYPOCHLORITE,
    WATER,
    Chair,
    a_kit,
    a_visit,
    an_act,
    contents,
)  # fmt: skip

S = 1000


def a_shaped_visit(*canals: str) -> Chair:
    """Canals of 12 mm, size 35, taper 6 %: the canal of the evidence file's example."""
    chair = a_visit(*canals)
    for canal in canals:
        chair.log("canal_set", 0, canal=canal, orifice_um=8_000, apical_size=35, taper_um_per_mm=60)
    return chair


def a_syringe(chair: Chair, name: str, what: Any, tip: str | None = "side_vented") -> str:
    chair.log("syringe_prepared", 1, syringe=name, contents=what, needle_gauge=30, needle_tip=tip)
    return name


def told(chair: Chair, what: Any = CHLORHEXIDINE, site: str = "mb") -> tuple[ResidualWords, ...]:
    kit, record = a_kit(), fold(a_kit(), chair.read())
    act = an_act(what, site, 600 * S)
    return tuple(
        w for said in guard(kit, record, act) for w in residual_words(kit, record, act, said)
    )


def rinsed(tip_um: int | None, **more: Any) -> Chair:
    """2.5 % hypochlorite, then 30 s of water with the tip at a depth."""
    chair = a_shaped_visit("mb")
    needle = a_syringe(chair, "w", WATER, more.pop("needle_tip", "side_vented"))
    chair.delivered("mb", contents(sodium_hypochlorite=25_000), 60 * S, tip_um=18_000)
    water = {"volume_ul": 1500, "duration_ms": 30_000, "tip_um": tip_um} | more
    chair.delivered("mb", WATER, 120 * S, syringe=needle, **water)
    return chair


def test_the_words_give_the_evidence_files_example() -> None:
    # 0.35/6 %/12 mm, 2.5 %, 1 mm unreached, 30 s: zone 1.90 %, mean 0.042 % (chemistry 7.4)
    (words,) = told(rinsed(18_000))
    assert (words.canal, words.rinse_ul, words.tip_um, words.not_reached_um) == (
        "mb", 1500, 18_000, 1_000,
    )  # fmt: skip
    assert words.expected is not None
    assert words.expected.apex_pct_wv == pytest.approx(1.90, abs=0.005)
    assert words.expected.mean_pct_wv == pytest.approx(0.042, abs=0.0005)
    assert words.expected.against == "at_or_above_precipitate"
    assert "the last 1 mm are not expected to be reached" in words.text
    assert "Model, not measured: 0.042" in words.text


def test_an_open_ended_needle_at_the_same_depth_reaches_farther() -> None:
    (closed,), (opened,) = told(rinsed(18_000)), told(rinsed(18_000, needle_tip="flat"))
    assert (closed.not_reached_um, opened.not_reached_um) == (1_000, 0)
    assert "working length is expected to be reached" in opened.text


def test_words_never_change_what_the_guard_says() -> None:
    chair = rinsed(18_000)
    kit, record = a_kit(), fold(a_kit(), chair.read())
    act = an_act(CHLORHEXIDINE, "mb", 600 * S)
    before = guard(kit, record, act)
    for warning in before:
        residual_words(kit, record, act, warning)
    assert guard(kit, record, act) == before
    assert [w.level for w in before if w.rule == "pair"] == ["hold"]


def test_no_rinse_on_record_says_so_and_expects_all_of_it() -> None:
    chair = a_shaped_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, tip_um=18_000)
    (words,) = told(chair)
    assert words.rinse_ul == 0
    assert "no rinse on record since" in words.text
    assert words.expected is not None
    assert words.expected.mean_pct_wv == pytest.approx(3.0)


def test_a_depth_that_is_not_on_record_is_not_guessed() -> None:
    (words,) = told(rinsed(None))
    assert (words.tip_um, words.not_reached_um, words.expected) == (None, None, None)
    assert "depth not on record" in words.text


@pytest.mark.parametrize("lacks", ["working_length_um", "apical_size"])
def test_a_shape_that_is_not_on_record_is_not_guessed(lacks: str) -> None:
    chair = rinsed(18_000)
    for event in chair.events:
        event.pop(lacks, None)
    (words,) = told(chair)
    assert words.expected is None
    assert (words.not_reached_um is None) == (lacks == "working_length_um")
    assert "not on record" in words.text or "not known" in words.text


def test_an_unknown_strength_leaves_the_model_out_and_the_part_unreached_in() -> None:
    chair = rinsed(18_000)
    for event in chair.events:
        for component in event.get("contents", ()):
            if component["irrigant"] == "sodium_hypochlorite":
                component["concentration_mg_per_l"] = None
    (words,) = told(chair)
    assert (words.not_reached_um, words.expected) == (1_000, None)


def test_only_a_hold_or_caution_of_a_pair_with_hypochlorite_left_has_words() -> None:
    chair = rinsed(18_000)
    kit, record = a_kit(), fold(a_kit(), chair.read())
    act = an_act(CHLORHEXIDINE, "mb", 600 * S)
    pair = Warning(rule="pair", level="hold", about="chlorhexidine+sodium_hypochlorite",
                   sites=("mb", "chamber"))  # fmt: skip
    assert len(residual_words(kit, record, act, pair)) == 1
    for other in (
        Warning(rule="pair", level="note", about=pair.about, sites=pair.sites),
        Warning(rule="allergy", level="hold", about="chlorhexidine", sites=pair.sites),
        Warning(rule="pair", level="hold", about="chlorhexidine+edta", sites=pair.sites),
        Warning(rule="pair", level="hold", about=pair.about, sites=("ml",)),
    ):
        assert residual_words(kit, record, act, other) == ()


def test_chlorhexidine_left_before_hypochlorite_has_no_words() -> None:
    chair = a_shaped_visit("mb")
    chair.delivered("mb", CHLORHEXIDINE, 60 * S, tip_um=18_000)
    assert told(chair, HYPOCHLORITE) == ()


def test_each_canal_that_the_hold_names_has_its_own_words() -> None:
    chair = a_shaped_visit("mb", "ml")
    for canal, tip in (("mb", 18_000), ("ml", 16_000)):
        chair.delivered(canal, HYPOCHLORITE, 60 * S, tip_um=tip)
    # whose tip nobody named reaches 0.5 mm in this kit
    assert {w.canal: w.not_reached_um for w in told(chair)} == {"mb": 1_500, "ml": 3_500}


def test_a_rinse_that_reacts_does_not_count_as_one() -> None:
    chair = a_shaped_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, tip_um=18_000)
    chair.delivered("mb", EDTA, 120 * S, tip_um=19_000)
    (words,) = told(chair)
    assert (words.rinse_ul, words.tip_um) == (0, 19_000)


def test_more_rinse_never_leaves_more_and_a_deeper_tip_never_leaves_more() -> None:
    shape = tapered(12, 35, 6)

    def mean(ml: float, bare: float) -> float:
        return expected(shape, 5.25, ml, 30, bare, thresholds=True).mean_pct_wv

    for bare in (0.0, 0.5, 1.0, 3.0, 12.0):
        assert mean(5, bare) <= mean(1, bare)
    for ml in (1.0, 5.0):
        assert mean(ml, 0.5) <= mean(ml, 2.0)
