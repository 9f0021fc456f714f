"""Residual of a rinse against the slab solution, thresholds and worked examples."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from canalclock.core.dosing import rinse


def test_published_thresholds() -> None:
    # rows 44, 45: Basrani et al. 2007, 2 % chlorhexidine (found)
    assert (rinse.COLOUR_PCT_WV, rinse.PRECIPITATE_PCT_WV) == (0.023, 0.19)


def test_canal_volumes_of_an_ideal_rinse() -> None:
    assert abs(rinse.canal_volumes_needed(5.25, 0.023) - 5.4305) <= 0.0005  # row 62
    assert abs(rinse.canal_volumes_needed(2.5, 0.19) - 2.5770) <= 0.0005  # row 63
    assert rinse.canal_volumes_needed(0.01, 0.023) == 0


def test_a_large_canal_poorly_mixed() -> None:
    # row 65
    assert abs(5.25 * rinse.well_mixed_share(1, 25, 0.1) - 0.0962) <= 0.0001


def test_a_stagnant_millimetre() -> None:
    assert abs(rinse.stagnant_share(1, 30) - 0.7606) <= 0.0005  # row 66
    assert abs(rinse.stagnant_constant_s(2) - 1080.8) <= 0.5  # row 67


@pytest.mark.parametrize(
    ("length", "seconds", "share"),
    [
        (0.5, 10, 0.724), (0.5, 120, 0.137), (0.5, 300, 0.010), (1, 60, 0.662), (1, 300, 0.267),
        (2, 10, 0.931), (2, 300, 0.622), (3, 60, 0.887),
    ],
)  # fmt: skip
def test_the_table_of_stagnant_ends(length: float, seconds: float, share: float) -> None:
    assert abs(rinse.stagnant_share(length, seconds) - share) <= 0.0006


def test_the_slab_agrees_with_finite_differences() -> None:
    n, length, d, t = 400, 1e-3, rinse.DIFFUSIVITY_M2_PER_S, 30.0
    dx = length / n

    def rate(_: float, c: Any) -> Any:
        out = c.copy()
        out[1:-1] = c[2:] - 2 * c[1:-1] + c[:-2]
        out[0] = c[1] - 3 * c[0]
        out[-1] = c[-2] - c[-1]
        return d / dx**2 * out

    run = solve_ivp(rate, (0, t), [1.0] * n, method="LSODA", rtol=1e-8, atol=1e-10)
    assert abs(run.y[:, -1].mean() - rinse.stagnant_share(1, t)) <= 1e-4


def test_blotting_is_worth_more_than_volume() -> None:
    # row 68
    assert rinse.blotting_cycles(5.25, 0.023) == 4
    assert rinse.blotting_cycles(2.5, 0.023) == 3


def test_an_unreached_millimetre_keeps_the_colour() -> None:
    # worked example 3: 35/.06/12 mm, 2.5 %, side-vented leaving 1 mm, 30 s
    left = rinse.residual(2.5, 2, 5.158, 1, 0.022, 30)
    assert abs(left.residual_apex_pct_wv - 1.90) <= 0.005
    assert abs(left.residual_mean_pct_wv - 0.042) <= 0.001
    assert left.residual_mean_pct_wv > rinse.COLOUR_PCT_WV
    deep = rinse.residual(5.25, 5, 5.158, 3, 0.0897, 60)
    assert abs(deep.residual_apex_pct_wv - 4.66) <= 0.005
    assert abs(deep.residual_mean_pct_wv - 0.418) <= 0.002


def test_a_reached_canal_meets_the_threshold() -> None:
    # worked example 4
    assert math.isclose(rinse.well_mixed_share(2, 5.158, 0.05), 3.8e-9, rel_tol=0.02)


@given(st.floats(0.5, 6), st.floats(0, 5), st.floats(0.1, 5), st.floats(0, 3), st.floats(0, 300))
def test_more_rinse_and_more_time_never_leave_more(
    c0: float, volume: float, more: float, bare: float, seconds: float
) -> None:
    here = rinse.residual(c0, volume, 10, bare, 0.05, seconds)
    assert rinse.residual(c0, volume + more, 10, bare, 0.05, seconds).residual_mean_pct_wv <= (
        here.residual_mean_pct_wv + 1e-12
    )
    longer = rinse.residual(c0, volume, 10, bare, 0.05, seconds + 10)
    assert longer.residual_apex_pct_wv <= here.residual_apex_pct_wv + 1e-12
    assert here.low_mean_pct_wv <= here.residual_mean_pct_wv <= here.high_mean_pct_wv


@given(st.floats(0.2, 5))
def test_the_pieces_of_the_slab_meet(length: float) -> None:
    # where the short-time law hands over to the series
    meets = 0.01 * 4 * (length * 1e-3) ** 2 / (math.pi**2 * rinse.DIFFUSIVITY_M2_PER_S)
    before = rinse.stagnant_share(length, meets * (1 - 1e-9))
    after = rinse.stagnant_share(length, meets * (1 + 1e-9))
    assert abs(before - after) <= 1e-6


@pytest.mark.parametrize("bad", [-0.1, math.nan, math.inf])
def test_a_volume_out_of_range_is_named(bad: float) -> None:
    with pytest.raises(ValueError, match="volume_ml: found"):
        rinse.residual(2.5, bad, 10, 1, 0.05, 30)
