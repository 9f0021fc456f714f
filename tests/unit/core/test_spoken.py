"""The replay of the guard: said, should have been said, released."""

from typing import Any

from canalclock.core.record.amend import standing
from canalclock.core.spoken import Spoken, askings, spoken
from tests.builders import CHLORHEXIDINE, EDTA, HYPOCHLORITE, WATER, Chair, a_kit, a_visit

S = 1000


def told(chair: Chair) -> tuple[Spoken, ...]:
    return spoken(a_kit(), chair.read())


def a_filled(chair: Chair, syringe: str, what: Any) -> None:
    chair.log("syringe_prepared", 0, syringe=syringe, contents=what)


def test_a_hold_that_nobody_said_is_told_with_the_delivery_that_met_it() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    met = chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    (row,) = told(chair)
    assert (row.rule, row.level, row.about) == (
        "pair", "hold", "chlorhexidine+sodium_hypochlorite",
    )  # fmt: skip
    assert row.sites == ("mb", "chamber")
    assert (row.act, row.delivery, row.at_ms) == (met, met, 110 * S)
    assert (row.said, row.should, row.released) == (False, True, None)


def test_what_a_device_said_is_paired_with_what_it_should_have_said() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    act = "tablet-6"
    spoke = chair.log(
        "guard_spoke", 110 * S, rule="pair", level="hold", sites=["mb"],
        about="chlorhexidine+sodium_hypochlorite", act=act,
    )  # fmt: skip
    release = chair.log(
        "hold_released", 112 * S, rule="pair", about="chlorhexidine+sodium_hypochlorite",
        act="tablet-7", ordered_by="dentist-1", reason="wanted",
    )  # fmt: skip
    chair.events[-2]["act"] = chair.events[-1]["act"] = chair.delivered(
        "mb", CHLORHEXIDINE, 120 * S
    )
    (row,) = told(chair)
    assert (row.said, row.should, row.events) == (True, True, (spoke,))
    assert row.released is not None
    assert (row.released.by, row.released.ordered_by, row.released.event) == (
        "assistant-1", "dentist-1", release,
    )  # fmt: skip


def test_a_note_should_be_said_once_a_visit() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    first = chair.delivered("mb", EDTA, 120 * S)
    chair.delivered("mb", HYPOCHLORITE, 180 * S)
    chair.delivered("mb", EDTA, 240 * S)
    assert [r.act for r in told(chair) if r.level == "note"] == [first]


def test_a_note_said_for_an_earlier_act_is_not_asked_for_again() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.log(
        "guard_spoke", 70 * S, rule="pair", level="note", sites=["mb"],
        about="edta+sodium_hypochlorite", act="a-pick-that-came-to-nothing",
    )  # fmt: skip
    chair.delivered("mb", EDTA, 120 * S)
    (row,) = told(chair)
    assert (row.act, row.said, row.should) == ("a-pick-that-came-to-nothing", True, False)


def test_a_pick_announces_one_delivery_with_its_syringe() -> None:
    chair = a_visit("mb", "ml")
    a_filled(chair, "n", HYPOCHLORITE)
    pick = chair.log("syringe_picked", 50 * S, syringe="n", site=None)
    first = chair.delivered("mb", HYPOCHLORITE, 60 * S, syringe="n")
    second = chair.delivered("ml", HYPOCHLORITE, 80 * S, syringe="n")
    found = askings(standing(chair.read()).events)
    assert [a.ids for a in found] == [(pick, first), (second,)]


def test_a_pick_for_another_site_announces_nothing() -> None:
    chair = a_visit("mb", "ml")
    a_filled(chair, "n", HYPOCHLORITE)
    pick = chair.log("syringe_picked", 50 * S, syringe="n", site="mb")
    elsewhere = chair.delivered("ml", HYPOCHLORITE, 60 * S, syringe="n")
    found = askings(standing(chair.read()).events)
    assert [a.ids for a in found] == [(pick,), (elsewhere,)]


def test_a_pick_is_asked_before_its_delivery_and_names_it_only_if_the_hold_still_stood() -> None:
    chair = a_visit("mb")
    a_filled(chair, "c", CHLORHEXIDINE)
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    pick = chair.log("syringe_picked", 100 * S, syringe="c", site="mb")
    chair.delivered("mb", WATER, 120 * S, volume_ul=2000)
    chair.removed("mb", 130 * S)
    chair.removed("chamber", 131 * S, by="aspiration")
    chair.delivered("mb", CHLORHEXIDINE, 150 * S, syringe="c")
    (row,) = told(chair)
    assert (row.act, row.at_ms, row.level, row.should) == (pick, 100 * S, "hold", True)
    assert row.delivery is None


def test_a_pick_with_no_preparation_holds_unknown_contents() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.log("syringe_picked", 100 * S, syringe="never-labelled", site="mb")
    (row,) = told(chair)
    assert (row.level, row.about) == ("hold", "sodium_hypochlorite+unknown")


def test_a_late_entry_shows_what_a_device_offline_could_not_know() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    assert told(chair) == ()
    phone = Chair("phone")
    phone.delivered("mb", HYPOCHLORITE, 60 * S)
    (row,) = spoken(a_kit(), [*chair.read(), *phone.read()])
    assert (row.level, row.should, row.said) == ("hold", True, False)


def test_a_voided_delivery_is_not_asked_about() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    slip = chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    chair.voided(slip, 130 * S)
    assert told(chair) == ()


def test_a_correction_of_what_came_before_is_heard_whenever_it_was_made() -> None:
    chair = a_visit("mb")
    soil = chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.delivered("mb", CHLORHEXIDINE, 120 * S)
    payload = {
        "site": "mb", "contents": WATER, "volume_ul": 1000, "duration_ms": 10_000,
        "tip_um": 20_000, "how": "timed", "occurred_at_ms": 60 * S,
    }  # fmt: skip
    chair.log(
        "entry_corrected", 900 * S, entry=soil, replaces=soil, reason="was water", payload=payload
    )
    assert told(chair) == ()


def test_every_order_of_arrival_gives_the_same_rows() -> None:
    chair = a_visit("mb", "ml")
    a_filled(chair, "c", CHLORHEXIDINE)
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.log("syringe_picked", 100 * S, syringe="c", site=None)
    chair.delivered("ml", CHLORHEXIDINE, 120 * S, syringe="c")
    events = chair.read()
    once = spoken(a_kit(), events)
    assert once
    assert spoken(a_kit(), [*reversed(events), *events]) == once


def test_a_visit_too_long_to_replay_claims_nothing_of_what_should_have_been_said() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.log("guard_spoke", 61 * S, rule="pair", level="note", about="a+b", act="tablet-4")
    for n in range(1000):
        chair.delivered("mb", CHLORHEXIDINE, (100 + n) * S)
    (row,) = told(chair)
    assert (row.said, row.should, row.delivery) == (True, None, None)


def test_a_hold_of_hypochlorite_left_behind_carries_what_stays_unreached() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 60 * S, tip_um=18_000)
    chair.delivered("mb", CHLORHEXIDINE, 120 * S, tip_um=18_000)
    (row,) = told(chair)
    (words,) = row.words
    assert (words.canal, words.not_reached_um, words.expected) == ("mb", 1_500, None)
    assert "the last 1.5 mm are not expected to be reached" in words.text
