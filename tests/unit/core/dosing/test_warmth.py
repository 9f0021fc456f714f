"""Cooling, rate factors and water against measurements and the IAPWS formulation."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from canalclock.core.dosing import warmth


def test_a_minute_after_delivery() -> None:
    # row 69: computed 42.11; measured within 4.8 degrees of 37 (found)
    got = warmth.cooled_celsius(52.2, 60)
    assert abs(got - 42.11) <= 0.02
    assert abs(got - (37 + 4.8)) <= 0.5


@pytest.mark.parametrize(("limit", "seconds"), [(45, 35), (40, 89)])
def test_how_long_it_stays_warm(limit: float, seconds: float) -> None:
    assert abs(warmth.seconds_above(52.2, limit) - seconds) <= 0.5


def test_factors_per_ten_degrees() -> None:
    # rows 70, 71: Sirtes et al. 2005 (found)
    assert abs(warmth.factor_per_10(5.25, 25) - 1.941) <= 0.001
    assert abs(warmth.factor_per_10(100, 25) - 6.310) <= 0.001


@pytest.mark.parametrize(("celsius", "eta", "rho"), [(20, 1.0017, 998.23), (37, 0.6904, 993.36)])
def test_water_as_the_fits_print_it(celsius: float, eta: float, rho: float) -> None:
    # rows 72, 73
    assert abs(warmth.water_viscosity_mpa_s(celsius) - eta) <= 0.0005
    assert abs(warmth.water_density_kg_per_m3(celsius) - rho) <= 0.02


@pytest.mark.parametrize("celsius", [20.0, 22.0, 25.0, 37.0, 60.0])
def test_water_against_the_international_formulation(celsius: float) -> None:
    # hydraulics rows 65, 66
    water = IAPWS97(T=celsius + 273.15, P=0.101325)
    assert math.isclose(warmth.water_viscosity_mpa_s(celsius), water.mu * 1000, rel_tol=0.01)
    assert math.isclose(warmth.water_density_kg_per_m3(celsius), water.rho, rel_tol=5e-5)


def test_the_international_formulation_itself() -> None:
    assert math.isclose(IAPWS97(T=293.15, P=0.101325).mu * 1000, 1.0016, rel_tol=5e-4)
    assert math.isclose(IAPWS97(T=310.15, P=0.101325).mu * 1000, 0.6913, rel_tol=5e-4)
    assert math.isclose(IAPWS97(T=298.15, P=0.101325).rho, 997.05, rel_tol=1e-5)


@given(st.floats(38, 90), st.floats(0, 600), st.floats(0.1, 60))
def test_it_only_cools(start: float, seconds: float, more: float) -> None:
    here = warmth.cooled_celsius(start, seconds)
    assert 37 <= warmth.cooled_celsius(start, seconds + more) <= here <= start


@given(st.floats(1.1, 7), st.floats(-50, 50))
def test_a_factor_goes_there_and_back(q10: float, degrees: float) -> None:
    ratio = warmth.rate_ratio(q10, degrees)
    assert math.isclose(ratio * warmth.rate_ratio(q10, -degrees), 1, rel_tol=1e-9)
