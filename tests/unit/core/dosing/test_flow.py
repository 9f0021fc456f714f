"""Flow against published rates and forces, and against a general fluids library."""

import math

import pytest
from fluids.core import Reynolds
from fluids.friction import friction_laminar, one_phase_dP
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.dosing import flow


def ml_per_min(ml_per_s: float) -> float:
    return ml_per_s * 60


def test_velocity_and_reynolds_of_the_simulations() -> None:
    # rows 28, 29 (memory, high; fluids agrees)
    v = flow.velocity_m_per_s(ml_per_min(0.26), 0.196)
    assert math.isclose(v, 8.6173, rel_tol=1e-4)
    re = flow.reynolds(ml_per_min(0.26), 0.196)
    assert math.isclose(re, 1774.29, rel_tol=1e-4)
    assert math.isclose(re, Reynolds(V=v, D=0.196e-3, rho=1040, mu=0.99e-3), rel_tol=1e-9)


def test_fully_developed_pressure_agrees_with_a_reference_library() -> None:
    # row 30
    got = flow.poiseuille_kpa(ml_per_min(0.26), 0.196, 31)
    assert math.isclose(got, 220.296, rel_tol=1e-4)
    other = one_phase_dP(m=0.26e-6 * 1040, rho=1040, mu=0.99e-3, D=0.196e-3, roughness=0, L=0.031)
    assert math.isclose(got, other / 1000, rel_tol=1e-9)
    assert math.isclose(friction_laminar(1000), 64 / 1000)


def test_pressure_with_the_entrance_effect() -> None:
    assert math.isclose(flow.pressure_kpa(ml_per_min(0.26), 0.196, 31), 304.347, rel_tol=1e-4)  # 32
    assert math.isclose(flow.pressure_kpa(ml_per_min(0.10), 0.159, 25), 186.883, rel_tol=1e-4)  # 33


def test_hagenbach_brackets_the_entrance_effect() -> None:
    # row 31: Poiseuille + 2.24 velocity heads
    head = 1040 * flow.velocity_m_per_s(ml_per_min(0.26), 0.196) ** 2 / 2 / 1000
    simple = flow.poiseuille_kpa(ml_per_min(0.26), 0.196, 31) + 2.24 * head
    assert math.isclose(simple, 306.791, rel_tol=1e-4)
    assert math.isclose(simple, flow.pressure_kpa(ml_per_min(0.26), 0.196, 31), rel_tol=0.02)


@pytest.mark.parametrize(
    ("x_plus", "march"),
    [
        (0.0005, 0.3076), (0.001, 0.4378), (0.002, 0.6282), (0.005, 1.0326), (0.01, 1.5383),
        (0.02, 2.3579), (0.05, 4.4260), (0.1, 7.6500), (0.2, 14.0510),
    ],
)  # fmt: skip
def test_developing_flow_is_within_two_per_cent_of_a_march(x_plus: float, march: float) -> None:
    # rows 37, 38: boundary-layer march of the evidence file
    got = 4 * flow.apparent_friction(x_plus) * x_plus
    assert math.isclose(got, march, rel_tol=0.02)


def test_force_on_a_five_millilitre_plunger() -> None:
    # row 34
    pressure = flow.pressure_kpa(ml_per_min(0.10), 0.159, 25)
    assert math.isclose(flow.force_n(pressure, 5), 21.101, rel_tol=1e-3)


def test_flow_for_a_strong_thumb() -> None:
    # row 35: computed 0.1711 mL/s; prepared guidance at most 0.167 (found), within 25 %
    got = flow.flow_for_force_ml_per_min(40, 5, 0.159, 25) / 60
    assert math.isclose(got, 0.1711, rel_tol=1e-3)
    assert math.isclose(got, 0.167, rel_tol=0.25)


@pytest.mark.parametrize(
    ("row", "got", "expected", "rel"),
    [
        (36, flow.flow_ml_per_min(5, 38) / 60, 0.1316, 1e-3),
        (52, 0.26 * 60, 15.6, 1e-12),
        (57, flow.seconds_for(1, 4), 15.0, 1e-9),
        (58, flow.seconds_for(5, 0.09 * 60), 55.56, 1e-3),
        (59, flow.flow_ml_per_min(5.5, 120) / 60, 0.04583, 1e-4),
    ],
)
def test_time_and_rate(row: int, got: float, expected: float, rel: float) -> None:
    assert math.isclose(got, expected, rel_tol=rel), row


@pytest.mark.parametrize(
    ("volume", "syringe", "refills"),
    [(20, 3, 6), (5, 1, 4), (5, 5, 0), (10, 3, 3), (20, 10, 1), (0, 5, 0)],
)
def test_refills_after_the_first(volume: float, syringe: float, refills: int) -> None:
    # row 60 and the table of the evidence
    assert flow.refills(volume, syringe) == refills


def test_the_high_mark_is_the_high_rate_of_the_studies() -> None:
    assert [m.flow_ml_per_min for m in flow.MARKS] == sorted(m.flow_ml_per_min for m in flow.MARKS)
    assert 15.6 in [m.flow_ml_per_min for m in flow.MARKS]


@given(st.floats(0.1, 10), st.floats(0.1, 0.5), st.floats(5, 40))
def test_poiseuille_falls_with_the_fourth_power(q: float, d: float, length: float) -> None:
    ratio = flow.poiseuille_kpa(q, d, length) / flow.poiseuille_kpa(q, 2 * d, length)
    assert math.isclose(ratio, 16, rel_tol=1e-9)


@given(st.floats(0.1, 10), st.floats(0.12, 0.5), st.floats(5, 40))
def test_thinner_longer_and_faster_never_press_less(q: float, d: float, length: float) -> None:
    here = flow.pressure_kpa(q, d, length)
    assert flow.pressure_kpa(q * 1.1, d, length) > here
    assert flow.pressure_kpa(q, d * 0.95, length) > here
    assert flow.pressure_kpa(q, d, length * 1.1) > here


@given(st.floats(6, 80), st.sampled_from([1, 3, 5, 10]), st.floats(0.13, 0.4))
def test_flow_for_a_force_goes_there_and_back(force: float, syringe: int, d: float) -> None:
    q = flow.flow_for_force_ml_per_min(force, syringe, d, 25, friction_n=5)
    assert math.isclose(flow.force_n(flow.pressure_kpa(q, d, 25), syringe, 5), force, rel_tol=1e-6)


def test_a_force_below_friction_moves_nothing() -> None:
    assert flow.flow_for_force_ml_per_min(4, 5, 0.2, 25, friction_n=5) == 0


def test_a_barrel_nobody_lists_is_refused() -> None:
    with pytest.raises(ValueError, match="syringe_ml: found 7, expected one of 1, 3, 5, 10, 20 mL"):
        flow.force_n(100, 7)
