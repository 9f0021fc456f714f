"""Exposure against worked figures, quadrature and published contact times."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import jn_zeros

from canalclock.core.dosing import exposure


def test_published_chelator_times() -> None:
    # row 55: Çalt and Serper 2002 (found)
    assert (exposure.CHELATOR_TARGET_S, exposure.CHELATOR_STRONG_S) == (60, 600)


def test_forty_minutes_of_the_strongest() -> None:
    # row 56
    assert exposure.nominal_pct_min([(5.25, 40)]) == 210


def test_calcium_that_a_chelator_binds() -> None:
    # row 57
    assert abs(exposure.calcium_mg_per_ml(17) - 18.30) <= 0.05


def test_one_filling_and_five() -> None:
    # row 58
    assert abs(exposure.consumed_pct_min(2.5, 5, 0.1, 1) - 9.837) <= 0.002
    assert abs(exposure.consumed_pct_min(2.5, 5, 0.1, 5) - 11.895) <= 0.002
    assert abs(exposure.consumed_pct_min(5.25, 2, 0.3) - 7.896) <= 0.001


def test_without_consumption_it_is_nominal() -> None:
    # row 59: the pieces meet as k goes to nothing
    assert exposure.consumed_pct_min(2.5, 5, 0) == 12.5
    assert abs(exposure.consumed_pct_min(2.5, 5, 1e-9) - 12.5) <= 1e-6


def test_the_fastest_a_wall_can_take() -> None:
    # row 61; the constant is the square of a Bessel zero
    assert abs(exposure.wall_limit_per_min(0.3) - 5.783) <= 0.001
    assert math.isclose(exposure.WALL_LIMIT_FACTOR, float(jn_zeros(0, 1)[0]) ** 2, rel_tol=1e-4)


@given(st.floats(0.5, 6), st.floats(0.1, 40), st.floats(0.001, 1), st.integers(1, 20))
def test_it_agrees_with_quadrature_and_renewal_never_costs(
    c0: float, minutes: float, k: float, n: int
) -> None:
    one, _ = quad(lambda t: c0 * math.exp(-k * t), 0, minutes / n)
    got = exposure.consumed_pct_min(c0, minutes, k, n)
    assert math.isclose(got, n * one, rel_tol=1e-7)
    assert got >= exposure.consumed_pct_min(c0, minutes, k, 1) - 1e-9
    assert got <= c0 * minutes + 1e-9


def test_both_ends_of_the_band_are_given() -> None:
    got = exposure.exposure(2.5, 5, 5)
    assert got.nominal_pct_min == 12.5
    assert got.low_pct_min == pytest.approx(10.80, abs=0.005)
    assert got.renewal_gain_pct_min == pytest.approx(10.80 - 6.47, abs=0.01)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_minutes_out_of_range_are_named(bad: float) -> None:
    with pytest.raises(ValueError, match="minutes: found"):
        exposure.exposure(2.5, bad)
