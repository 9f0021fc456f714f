"""Storage against Adam and Gordon 1999, a community table, handbook half-lives and studies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from canalclock.core.dosing import storage, strength


@pytest.mark.parametrize(
    ("row", "celsius", "mu", "k2"),
    [(25, 25, 1, 1.4295e-8), (26, 25, 3, 2.8391e-8), (27, 35, 1, 5.6015e-8)],
)
def test_rate_constant_of_the_abstract(row: int, celsius: float, mu: float, k2: float) -> None:
    got = storage.rate_per_molar_second(celsius=celsius, ionic_strength_mol_per_l=mu)
    assert math.isclose(got, k2, rel_tol=0.001), row


@given(st.floats(0, 60))
def test_ionic_strength_two_to_one_is_the_same_at_any_temperature(celsius: float) -> None:
    # row 28
    ratio = storage.rate_per_molar_second(celsius, 2) / storage.rate_per_molar_second(celsius, 1)
    assert abs(ratio - 1.4093) <= 0.0001


def test_ten_degrees_more() -> None:
    ratio = storage.rate_per_molar_second(35, 1) / storage.rate_per_molar_second(25, 1)
    assert abs(ratio - 3.9185) <= 0.001  # row 29
    assert abs(ratio - 3.5) <= 0.5  # row 30, a supplier (found)


@pytest.mark.parametrize(
    ("row", "concentration_pct_wv", "celsius", "days"),
    [
        (31, 12.5, 25, 207.5), (31, 12.5, 35, 52.9), (32, 5, 25, 1035), (32, 5, 35, 264.2),
        (33, 2.5, 25, 2411), (33, 2.5, 35, 615.3),
    ],
)  # fmt: skip
def test_half_lives(row: int, concentration_pct_wv: float, celsius: float, days: float) -> None:
    got = storage.half_life_days(concentration_pct_wv=concentration_pct_wv, celsius=celsius)
    assert math.isclose(got, days, rel_tol=0.002), row


@given(st.floats(0.5, 12.5), st.floats(5, 45))
def test_nine_tenths_are_left_after_a_ninth_of_the_half_life(c: float, celsius: float) -> None:
    # row 34
    t90 = storage.days_until(concentration_pct_wv=c, limit_pct_wv=0.9 * c, celsius=celsius)
    half = storage.half_life_days(concentration_pct_wv=c, celsius=celsius)
    assert math.isclose(t90 / half, 1 / 9, rel_tol=1e-9)


@pytest.mark.parametrize(
    ("fahrenheit", "trade_pct"), [(100, 6.68), (90, 8.36), (80, 9.93), (70, 11.11)]
)
def test_thirty_days_of_strong_stock(fahrenheit: float, trade_pct: float) -> None:
    # row 35, community table (found), within 6 %
    start = strength.pct_wv(12.5, "chlorine_pct_wv")
    left = storage.stored(start, [(30, (fahrenheit - 32) / 1.8)]).remaining_pct_wv
    assert math.isclose(strength.chlorine_g_per_l(left) / 10, trade_pct, rel_tol=0.06)


@pytest.mark.parametrize(
    ("row", "chlorine_pct", "celsius", "days", "factor"),
    [
        (36, 10, 60, 3.5, 1.10), (37, 5, 60, 13, 1.15),
        (38, 10, 25, 220, 1.4), (38, 5, 25, 790, 1.4), (38, 2.5, 25, 1800, 1.4),
    ],
)  # fmt: skip
def test_handbook_half_lives(
    row: int, chlorine_pct: float, celsius: float, days: float, factor: float
) -> None:
    # classic handbook table (memory, medium-high)
    start = strength.pct_wv(chlorine_pct, "chlorine_pct_wv")
    got = storage.half_life_days(concentration_pct_wv=start, celsius=celsius)
    assert days / factor <= got <= days * factor, row


def test_two_years_in_a_store_room() -> None:
    # row 39 (found): below half of the original
    start = strength.pct_wv(10, "chlorine_pct_wv")
    left = storage.stored(start, [(730, 24)]).remaining_pct_wv / start
    assert left < 0.5
    assert abs(left - 0.319) <= 0.001


def test_little_leaves_as_oxygen() -> None:
    # row 40
    assert abs(storage.oxygen_share() - 0.07117) <= 0.0001
    assert storage.oxygen_share() < 0.10
    assert round(storage.oxygen_ml_per_l(0.525)) == 61
    assert round(storage.oxygen_ml_per_l(1.25)) == 146


def test_five_months_of_a_dental_dilution() -> None:
    # row 41, van der Waal et al. 2014 (found): 5.4 % lost; the law is a best case
    law = 1 - storage.stored(2.5, [(154, 18)]).remaining_pct_wv / 2.5
    assert abs(law - 0.0227) <= 0.0005
    assert law <= 0.054 <= 3 * law


def test_an_hour_in_a_warmer() -> None:
    # row 42, Sirtes et al. 2005 (found): stable for 60 min
    assert 1 - storage.stored(5.25, [(1 / 24, 60)]).remaining_pct_wv / 5.25 < 0.01


def test_half_a_year_of_strong_irrigant() -> None:
    # row 43
    assert abs(storage.stored(5.25, [(180, 25)]).remaining_pct_wv - 4.424) <= 0.002


@pytest.mark.parametrize("history", [[(40.0, 25.0)], [(10.0, 4.0), (20.0, 30.0), (5.0, 45.0)]])
def test_the_law_agrees_with_its_differential_equation(
    history: list[tuple[float, float]],
) -> None:
    c0 = strength.molar(8.25)
    mu = storage.ionic_strength(8.25)
    c = c0
    for days, celsius in history:
        k2 = storage.rate_per_molar_second(celsius, mu)
        run = solve_ivp(
            lambda _, y, k2=k2: -k2 * y * y, (0, days * 86_400), [c], rtol=1e-10, atol=1e-14
        )
        c = float(run.y[0][-1])
    assert math.isclose(storage.stored(8.25, history).remaining_pct_wv, 8.25 * c / c0, rel_tol=1e-7)


@given(st.floats(0.5, 12), st.floats(1, 500), st.floats(4, 50), st.floats(0.5, 10))
def test_warmer_never_keeps_longer(c: float, days: float, celsius: float, more: float) -> None:
    cool = storage.stored(c, [(days, celsius)])
    warm = storage.stored(c, [(days, celsius + more)])
    assert warm.remaining_pct_wv <= cool.remaining_pct_wv
    assert cool.low_pct_wv <= cool.remaining_pct_wv <= c


def test_stretching_the_law_is_said() -> None:
    assert storage.stored(2.5, [(90, 25)]).extrapolated
    assert not storage.stored(12.5, [(60, 30)]).extrapolated
    assert storage.stored(12.5, [(60, 4)]).extrapolated


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_days_out_of_range_are_named(bad: float) -> None:
    with pytest.raises(ValueError, match="days: found"):
        storage.stored(5, [(bad, 25)])


def test_a_limit_above_the_start_says_why() -> None:
    with pytest.raises(ValueError, match="limit_pct_wv: found 6 % w/v"):
        storage.days_until(concentration_pct_wv=5, limit_pct_wv=6, celsius=20)


def test_the_day_of_a_history_is_where_the_strength_left_meets_the_limit() -> None:
    history = [(30.0, 20.0), (5.0, 35.0), (400.0, 25.0)]
    for limit in (5.2, 5.1, 4.9, 4.725, 3.0):
        for faster in (1.0, storage.BAND_FACTOR):
            day = storage.day_below(5.25, limit, history, faster=faster)
            spent, cut = 0.0, []
            for days, celsius in history[:-1]:
                cut.append((max(0.0, min(days, day - spent)), celsius))
                spent += days
            cut.append((max(0.0, day - spent), history[-1][1]))
            left = storage.stored(5.25, cut)
            met = left.remaining_pct_wv if faster == 1.0 else left.low_pct_wv
            assert met == pytest.approx(limit, rel=1e-9)


def test_the_day_of_one_stretch_is_the_days_until() -> None:
    assert storage.day_below(5.25, 4.725, [(1, 25)]) == pytest.approx(
        storage.days_until(5.25, 4.725, 25), rel=1e-12
    )
    with pytest.raises(ValueError, match="no stretch"):
        storage.day_below(5.25, 4.725, [])
