"""The set-out sheet: expected figures from kit and canals; what is unknown stays unknown."""

from typing import Any

import pytest

from canalclock.core.calculators import CALCULATORS
from canalclock.core.dosing import rinse
from canalclock.core.plan import draw_up
from canalclock.core.record.values import Canal
from canalclock.core.set_out import NeedleHad, SetOut, set_out
from canalclock.protocol_files import kit_for, shipped_protocol, shipped_protocols

LAST = "chlorhexidine-last"


def a_canal(name: str = "mb1", **more: Any) -> Canal:
    """WL 20 mm, orifice at 8 mm, size 35, taper 6 %: 12 mm of canal, unless said."""
    known = {
        "working_length_um": 20_000, "orifice_um": 8_000, "apical_size": 35, "taper_um_per_mm": 60,
    }  # fmt: skip
    return Canal(canal=name, **(known | more))


def a_sheet(*canals: Canal, protocol: str = LAST, **more: Any) -> SetOut:
    return set_out(kit_for(shipped_protocol(protocol)), canals or (a_canal(),), **more)


def test_the_volume_is_the_one_of_the_evidence_file() -> None:
    # 0.35 mm, 6 %, 12 mm: 5.16 µL (chemistry 7.1, computed)
    (canal,) = a_sheet().canals
    assert canal.volume_ul == pytest.approx(5.16, abs=0.005)
    assert canal.exchanges_per_ml == pytest.approx(1000 / 5.158, rel=1e-3)


@pytest.mark.parametrize(("gauge", "shortest"), [(27, 2.0), (28, 1.17), (30, 0.33), (31, 0.0)])
def test_a_needle_sits_where_the_evidence_table_has_it(gauge: int, shortest: float) -> None:
    # row 35, 6 % of the worked table (hydraulics 3.2, computed with OD max and c = 0.05 mm)
    sheet = a_sheet(needles=(NeedleHad(needle_gauge=gauge, needle_tip="side_vented"),))
    assert sheet.canals[0].needles[0].shortest_of_wl_mm == pytest.approx(shortest, abs=0.005)


def test_a_stop_is_never_nearer_than_loose_nor_than_the_protocol_asks() -> None:
    for taper in (20, 40, 60, 80):
        for size in (20, 25, 30, 35, 40, 50):
            sheet = a_sheet(a_canal(apical_size=size, taper_um_per_mm=taper))
            for fit in sheet.canals[0].needles:
                if fit.shortest_of_wl_mm is None:
                    assert fit.stop_mm is None
                    continue
                assert fit.short_of_wl_mm is not None
                assert fit.short_of_wl_mm >= max(fit.shortest_of_wl_mm - 1e-9, 1.0)
                assert fit.short_of_wl_mm - max(fit.shortest_of_wl_mm, 1.0) < 0.5
                assert fit.stop_mm == pytest.approx(20 - fit.short_of_wl_mm)


def test_an_open_tip_stays_2_mm_short_though_the_protocol_asks_1_mm() -> None:
    flat = NeedleHad(needle_gauge=30, needle_tip="flat")
    vented = NeedleHad(needle_gauge=30, needle_tip="side_vented")
    sheet = a_sheet(a_canal(apical_size=60), needles=(flat, vented))
    assert [n.short_of_wl_mm for n in sheet.canals[0].needles] == [2.0, 1.0]
    assert [n.not_reached_mm for n in sheet.canals[0].needles] == [0.0, 0.0]


def test_a_needle_that_fits_nowhere_says_so_and_gives_no_stop() -> None:
    narrow = a_canal(apical_size=20, taper_um_per_mm=20, orifice_um=14_000)
    fit = a_sheet(narrow).canals[0].needles[0]
    assert (fit.shortest_of_wl_mm, fit.stop_mm, fit.not_reached_mm) == (None, None, None)


def test_what_is_unknown_of_a_canal_stays_unknown_and_is_named() -> None:
    sheet = a_sheet(Canal(canal="p"), a_canal("db", apical_size=None))
    assert sheet.canals[0].missing == ("working_length_um", "apical_size", "taper_um_per_mm")
    assert sheet.canals[1].missing == ("apical_size",)
    assert [(c.volume_ul, c.exchanges_per_ml, c.needles) for c in sheet.canals] == [
        (None, None, ()),
        (None, None, ()),
    ]
    assert all(not s.canals for s in sheet.separations)


def test_a_canal_that_gives_no_cone_says_why() -> None:
    sheet = a_sheet(a_canal(taper_um_per_mm=5), a_canal("p", orifice_um=20_000))
    assert "taper_pct" in sheet.canals[0].missing[0]
    assert sheet.canals[1].missing == ("an orifice above working length",)


def test_below_size_30_exchange_at_working_length_is_not_expected() -> None:
    sheet = a_sheet(a_canal(apical_size=25), a_canal("p", apical_size=30), Canal(canal="x"))
    assert [c.exchange_at_wl_expected for c in sheet.canals] == [False, True, None]


def test_amounts_and_fillings_are_those_of_the_plan() -> None:
    protocol = shipped_protocol(LAST)
    sheet = a_sheet(a_canal(), a_canal("p"), instruments=4, syringe_ul=3_000)
    drawn = draw_up(protocol, 2, 1, 4, 3_000)
    assert [(s.solution, s.volume_ul, s.syringes) for s in sheet.solutions] == [
        (d.solution.solution, d.volume_ul, d.syringes) for d in drawn
    ]


def test_hypochlorite_before_chlorhexidine_is_separated_and_modelled_and_no_other_pair() -> None:
    sheet = a_sheet()
    pairs = {(s.pair.first, s.pair.second): s for s in sheet.separations}
    held = pairs["sodium_hypochlorite", "chlorhexidine"]
    assert (held.pair.level, held.pair.rinse_ul, held.pair.removals) == ("rinse_dry", 2000, 1)
    assert (held.pair.planned_rinse_ul, held.pair.planned_removals) == (4000, 1)
    assert held.drying_cycles == 4  # ln(3 / 0.023) / ln 5 = 3.03
    assert {s.canal for s in held.canals} == {"mb1"}
    assert all(not s.canals for pair, s in pairs.items() if s is not held)


def test_pairs_come_in_the_order_in_which_they_meet() -> None:
    seen = [(s.pair.first, s.pair.second) for s in a_sheet().separations]
    assert seen.index(("sodium_hypochlorite", "edta")) < seen.index(("edta", "chlorhexidine"))
    assert ("chlorhexidine", "sodium_hypochlorite") not in seen


def test_the_model_says_what_the_calculator_says() -> None:
    held = next(s for s in a_sheet().separations if s.canals)
    for here in held.canals:
        asked = CALCULATORS["rinse"].inputs(
            concentration_pct_wv=3, volume_ml=4, seconds=60 * 4 / 5.4, working_length_mm=20,
            orifice_mm=8, apical_size=35, taper_pct=6, needle_tip="side_vented",
            short_of_wl_mm=here.not_reached_mm + 1,
        )  # fmt: skip
        values = CALCULATORS["rinse"].ask(asked).values
        assert here.expected.mean_pct_wv == pytest.approx(values["residual_mean_pct_wv"])
        assert here.expected.apex_pct_wv == pytest.approx(values["residual_apex_pct_wv"])


def test_the_words_say_model_and_never_that_something_is_separated() -> None:
    for here in (c for s in a_sheet().separations for c in s.canals):
        assert here.text.startswith("Model, not measured:")
        for word in ("safe", "separated", "complete"):
            assert word not in here.text.lower()


def test_a_finer_needle_never_leaves_more() -> None:
    canals = next(s for s in a_sheet().separations if s.canals).canals
    coarse, fine = canals
    assert (coarse.needle_gauge, fine.needle_gauge) == (27, 30)
    assert fine.expected.mean_pct_wv <= coarse.expected.mean_pct_wv
    assert coarse.expected.against == "at_or_above_precipitate"
    assert fine.expected.high_mean_pct_wv < rinse.COLOUR_PCT_WV


def test_time_is_the_sum_over_steps_and_at_least_what_is_asked_in_one_canal() -> None:
    one, two = a_sheet().time, a_sheet(a_canal(), a_canal("p")).time
    assert one.activation_s == 60  # three cycles of 20 s
    assert one.contact_s == 120  # chelator and chlorhexidine, 60 s each
    assert one.asked_contact_s == 1320
    assert two.contact_s == 240
    assert two.delivery_s > one.delivery_s
    assert a_sheet(flow_ml_per_min=2.7).time.delivery_s == pytest.approx(2 * one.delivery_s)
    assert one.least_s >= 1320 and two.most_s >= two.least_s


def test_every_shipped_protocol_gives_a_sheet_for_each_of_its_visits() -> None:
    for protocol in shipped_protocols():
        for visit in range(1, protocol.case.visits + 1):
            sheet = set_out(kit_for(protocol), (a_canal(), Canal(canal="p")), visit=visit)
            assert sheet.solutions and sheet.sources and sheet.cautions


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"needles": (NeedleHad(needle_gauge=12, needle_tip="flat"),)}, "needle_gauge: found 12"),
        ({"visit": 2}, "visit: found 2, expected 1 to 1"),
        ({"flow_ml_per_min": 0.0}, "flow_ml_per_min: found 0"),
        ({"syringe_ul": 0}, "syringe of more than 0"),
    ],
)
def test_what_is_out_of_range_is_refused_by_name(more: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        a_sheet(**more)


def test_a_kit_without_a_protocol_has_no_sheet() -> None:
    with pytest.raises(ValueError, match="without a protocol"):
        set_out(kit_for(None), ())
