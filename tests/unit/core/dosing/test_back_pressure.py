"""The back-pressure model against closed forms, limits and the published bracket."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from canalclock.core.dosing.back_pressure import (
    PA_PER_MMHG,
    REFERENCES,
    back_pressure,
    ring_gradient_pa_per_m,
)
from canalclock.core.dosing.canal import Canal, diameter_mm, tapered

ENDLESS = math.inf


def canal(size: float, taper: float) -> Canal:
    return tapered(16, size, taper, ENDLESS, ENDLESS)


def ring_friction(ratio: float) -> float:
    """Darcy friction times Reynolds number on the hydraulic diameter of a ring. []"""
    outer, q, mu, rho = 0.5, 60.0, 1.0, 1000.0
    inner = ratio * outer
    gradient = ring_gradient_pa_per_m(outer, inner, q, mu)
    area = math.pi * (outer**2 - inner**2) / 4 * 1e-6
    v = q * 1e-6 / 60 / area
    hydraulic = (outer - inner) * 1e-3
    friction = gradient * hydraulic / (rho * v * v / 2)
    return friction * rho * v * hydraulic / (mu * 1e-3)


@pytest.mark.parametrize(
    ("row", "ratio", "expected", "rel"),
    [
        (39, 0.5, 95.250, 1e-3), (40, 0.1, 89.37, 1e-4), (40, 0.8, 95.92, 1e-4),
        (40, 0.01, 80.11, 1e-4), (40, 0.05, 86.27, 1e-4), (40, 0.2, 92.35, 1e-4),
        (40, 0.4, 94.71, 1e-4), (40, 0.6, 95.59, 1e-4),
    ],
)  # fmt: skip
def test_friction_of_a_ring_is_the_textbook_list(
    row: int, ratio: float, expected: float, rel: float
) -> None:
    # White, Fluid Mechanics (memory, high)
    assert math.isclose(ring_friction(ratio), expected, rel_tol=rel), row


def test_gradient_of_one_ring() -> None:
    # row 41, finite differences agree
    got = ring_gradient_pa_per_m(0.51, 0.32, 15.6)
    assert math.isclose(got, 2_753_363, rel_tol=1e-4)


@pytest.mark.parametrize(
    ("row", "size", "taper", "short", "flow", "pascal"),
    [(42, 45, 6, 1, 15.6, 3705.2), (43, 35, 6, 3, 4, 746.2), (44, 40, 4, 1, 1, 1014.7)],
)
def test_viscous_part(
    row: int, size: float, taper: float, short: float, flow: float, pascal: float
) -> None:
    got = back_pressure(canal(size, taper), 0.320, short, flow).concentric_mmhg * PA_PER_MMHG
    assert math.isclose(got, pascal, rel_tol=1e-3), row


def test_it_agrees_with_quadrature() -> None:
    c = canal(30, 6)
    whole, _ = quad(
        lambda x: ring_gradient_pa_per_m(diameter_mm(c, x), 0.32, 4) * 1e-3, 2, 16, limit=400
    )
    assert math.isclose(
        back_pressure(c, 0.32, 2, 4).concentric_mmhg * PA_PER_MMHG, whole, rel_tol=1e-6
    )


@pytest.mark.parametrize("shape", [(35, 6), (40, 4)])
@pytest.mark.parametrize("short", [1, 2, 3])
def test_the_flow_to_venous_pressure_lies_in_the_published_bracket(
    shape: tuple[float, float], short: float
) -> None:
    # row 45: "above 1 mL/min" and "4 mL/min acceptable" (found); an order of magnitude
    reference = REFERENCES[1].pressure_mmhg
    assert reference == 5.88
    q = brentq(
        lambda q: back_pressure(canal(*shape), 0.32, short, q).concentric_mmhg - reference, 0.01, 60
    )
    assert 0.3 <= q <= 10


def test_a_thin_ring_comes_near_parallel_plates() -> None:
    # row 46
    got = back_pressure(canal(30, 4), 0.320, 1, 1).concentric_mmhg * PA_PER_MMHG
    assert math.isclose(got, 46_464, rel_tol=1e-3)
    assert math.isclose(got, 47_746, rel_tol=0.05)


def test_velocity_head_in_the_ring() -> None:
    # row 47
    got = back_pressure(canal(45, 6), 0.320, 1, 15.6)
    head = (got.high_mmhg - got.concentric_mmhg) * PA_PER_MMHG
    assert math.isclose(head, 2291.4, rel_tol=1e-3)


@pytest.mark.parametrize(
    ("row", "mmhg", "pascal", "rel"),
    [(49, 5.88, 783.94, 1e-4), (50, 5.73, 764, 1e-3), (51, 30, 3999.7, 1e-4)],
)
def test_reference_pressures(row: int, mmhg: float, pascal: float, rel: float) -> None:
    assert math.isclose(mmhg * PA_PER_MMHG, pascal, rel_tol=rel), row
    assert mmhg in [r.pressure_mmhg for r in REFERENCES]


def test_head_of_sixteen_millimetres() -> None:
    # row 48: hydrostatics, for scale
    assert math.isclose(1040 * 9.80665 * 0.016, 163.18, rel_tol=1e-4)


@given(st.floats(0.5, 15), st.floats(0.2, 0.9))
def test_it_is_in_proportion_to_flow_and_grows_as_the_ring_closes(q: float, nearer: float) -> None:
    c = canal(40, 6)
    here = back_pressure(c, 0.32, 2, q)
    twice = back_pressure(c, 0.32, 2, 2 * q)
    assert math.isclose(twice.concentric_mmhg, 2 * here.concentric_mmhg, rel_tol=1e-9)
    assert back_pressure(c, 0.32, 2 - nearer, q).concentric_mmhg > here.concentric_mmhg
    assert here.low_mmhg < here.concentric_mmhg < here.high_mmhg


def test_a_needle_that_binds_has_no_estimate() -> None:
    with pytest.raises(ValueError, match=r"the needle of 0.32 mm binds there"):
        back_pressure(canal(25, 6), 0.32, 1, 4)
