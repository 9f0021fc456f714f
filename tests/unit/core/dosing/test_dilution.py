"""Dilution against the evidence's worked examples (arithmetic; derived)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.dosing import dilution, strength


@pytest.mark.parametrize(
    ("row", "stock_pct_wv", "volume_ml", "stock_ml"),
    [
        (20, strength.pct_wv(5.25, "pct_ww"), 100, 44.59),
        (21, strength.pct_wv(12.5, "chlorine_pct_wv"), 250, 47.62),
    ],
)
def test_stock_for_two_and_a_half_per_cent(
    row: int, stock_pct_wv: float, volume_ml: float, stock_ml: float
) -> None:
    mix = dilution.dilution(target_pct_wv=2.5, volume_ml=volume_ml, stock_pct_wv=stock_pct_wv)
    assert abs(mix.stock_ml - stock_ml) <= 0.02, row
    assert math.isclose(mix.stock_ml + mix.diluent_ml, volume_ml)


def test_two_solutions_put_together() -> None:
    # row 22
    got = dilution.blend_pct_wv(first_pct_wv=5.25, first_ml=30, second_pct_wv=1, second_ml=20)
    assert abs(got - 3.55) <= 1e-9


def test_two_stocks_for_a_strength_between_them() -> None:
    # row 23
    mix = dilution.blend(target_pct_wv=3, volume_ml=50, first_pct_wv=5.25, second_pct_wv=1)
    assert (round(mix.first_ml, 2), round(mix.second_ml, 2)) == (23.53, 26.47)


@pytest.mark.parametrize(("error", "true_pct"), [(-0.143, 4.285), (0.235, 6.175)])
def test_what_a_label_of_five_per_cent_may_hold(error: float, true_pct: float) -> None:
    # row 24; van der Waal et al. 2014 (found): the stock for 2.5 % follows the true strength
    assert abs(5 * (1 + error) - true_pct) <= 0.001
    drawn = dilution.dilution(target_pct_wv=2.5, volume_ml=100, stock_pct_wv=true_pct).stock_ml
    assert round(drawn, 1) == {4.285: 58.3, 6.175: 40.5}[true_pct]


@given(st.floats(0.1, 6), st.floats(1, 500), st.floats(0, 9))
def test_a_dilution_holds_what_was_asked(target: float, volume: float, above: float) -> None:
    stock = target + above
    mix = dilution.dilution(target_pct_wv=target, volume_ml=volume, stock_pct_wv=stock)
    back = dilution.blend_pct_wv(
        first_pct_wv=stock, first_ml=mix.stock_ml, second_pct_wv=0, second_ml=mix.diluent_ml
    )
    assert math.isclose(back, target, rel_tol=1e-9)


def test_a_target_above_the_stock_says_why() -> None:
    with pytest.raises(ValueError, match="target_pct_wv: found 6 % w/v, expected at most"):
        dilution.dilution(target_pct_wv=6, volume_ml=100, stock_pct_wv=5)


def test_a_target_beyond_both_stocks_says_why() -> None:
    with pytest.raises(ValueError, match="cannot reach beyond either"):
        dilution.blend(target_pct_wv=7, volume_ml=10, first_pct_wv=5, second_pct_wv=1)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_a_volume_out_of_range_is_named(bad: float) -> None:
    with pytest.raises(ValueError, match="volume_ml: found"):
        dilution.dilution(target_pct_wv=2, volume_ml=bad, stock_pct_wv=5)
