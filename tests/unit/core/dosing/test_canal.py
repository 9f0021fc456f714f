"""Canal geometry against ISO 3630-1's rules, quadrature and a general reference library."""

import math

import pytest
from fluids.geometry import V_vertical_conical
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from canalclock.core.dosing.canal import (
    diameter_mm,
    exchanges,
    measured,
    section_mm2,
    share_below,
    tapered,
    volume_ul,
)

ENDLESS = math.inf


@pytest.mark.parametrize(
    ("row", "apical_size", "taper_pct", "x_mm", "cap_mm", "working_part_mm", "d_mm"),
    [
        (1, 25, 6, 3, 1.2, 16, 0.43),
        (2, 15, 2, 1, 1.2, 16, 0.17),
        (3, 40, 2, 16, 1.2, 16, 0.72),
        (4, 30, 4, 16, 1.2, 16, 0.94),
        (5, 50, 8, 25, 1.2, ENDLESS, 1.20),
    ],
)
def test_diameter_by_size_and_taper(
    row: int, apical_size: float, taper_pct: float, x_mm: float, cap_mm: float,
    working_part_mm: float, d_mm: float,
) -> None:  # fmt: skip
    canal = tapered(25, apical_size, taper_pct, working_part_mm, cap_mm)
    assert abs(diameter_mm(canal, x_mm) - d_mm) <= 1e-9, row


@pytest.mark.parametrize(
    ("row", "size", "taper", "length", "part", "cap", "volume"),
    [
        (6, 25, 6, 21, ENDLESS, ENDLESS, 14.9545),
        (7, 25, 6, 21, 16, ENDLESS, 13.4112),
        (8, 25, 6, 21, ENDLESS, 1.20, 13.3150),
        (9, 30, 4, 20, 16, 1.20, 8.0354),
        (10, 40, 2, 16, 16, 1.20, 4.0480),
        (11, 50, 8, 25, ENDLESS, 1.20, 23.6241),
    ],
)
def test_volume_of_a_canal(
    row: int, size: float, taper: float, length: float, part: float, cap: float, volume: float
) -> None:
    canal = tapered(length, size, taper, part, cap)
    assert math.isclose(volume_ul(canal), volume, rel_tol=1e-4), row
    knots = [x for x, _ in canal.points]
    area, _ = quad(lambda x: section_mm2(canal, x), 0, length, points=knots, limit=200)
    assert math.isclose(volume_ul(canal), area, rel_tol=1e-9)


def test_volume_agrees_with_a_reference_library() -> None:
    # a frustum is the difference of two cones, fluids.geometry
    d0, d1, length = 0.25, 0.25 + 0.06 * 21, 21.0
    tip = d0 * length / (d1 - d0)
    whole = V_vertical_conical(D=d1, a=tip + length, h=tip + length)
    small = V_vertical_conical(D=d0, a=tip, h=tip)
    canal = tapered(21, 25, 6, ENDLESS, ENDLESS)
    assert math.isclose(volume_ul(canal), whole - small, rel_tol=1e-9)


def test_section_and_volume_near_the_apex() -> None:
    canal = tapered(20, 35, 6)
    assert math.isclose(section_mm2(canal, 3), 0.2206, rel_tol=2e-4)  # row 12
    assert math.isclose(volume_ul(canal, 0, 3), 0.4625, rel_tol=2e-4)  # row 13
    assert math.isclose(exchanges(tapered(21, 25, 6), 1), 75.10, rel_tol=1e-3)  # row 14


def test_frustum_of_the_rinse_examples() -> None:
    # chemistry row 64
    assert abs(volume_ul(tapered(12, 35, 6, ENDLESS, ENDLESS)) - 5.158) <= 0.001


@given(st.floats(6, 60), st.floats(1, 8), st.floats(4, 25), st.floats(0, 1))
def test_pieces_of_a_canal_add_up(size: float, taper: float, length: float, part: float) -> None:
    canal = tapered(length, size, taper)
    cut = part * length
    whole = volume_ul(canal, 0, cut) + volume_ul(canal, cut, length)
    assert math.isclose(whole, volume_ul(canal), rel_tol=1e-9)
    assert 0 <= share_below(canal, cut) <= 1 + 1e-12


@given(st.floats(6, 60), st.floats(1, 8), st.floats(4, 25))
def test_wider_and_longer_hold_more(size: float, taper: float, length: float) -> None:
    least = volume_ul(tapered(length, size, taper))
    assert volume_ul(tapered(length, size + 5, taper)) > least
    assert volume_ul(tapered(length + 1, size, taper)) > least
    assert volume_ul(tapered(length, size, taper + 1)) >= least


def test_a_list_of_points_describes_an_uneven_taper() -> None:
    canal = measured([(0, 0.25), (3, 0.49), (16, 1.0)])
    assert math.isclose(diameter_mm(canal, 1.5), 0.37)
    assert canal.length_mm == 16


def test_a_taper_written_as_a_fraction_is_asked_about() -> None:
    with pytest.raises(ValueError, match="was 4 % meant"):
        tapered(21, 25, 0.04)


@pytest.mark.parametrize(
    "points", [[(0.0, 0.2)], [(1.0, 0.2), (2.0, 0.3)], [(0.0, 0.2), (0.0, 0.3)]]
)
def test_points_out_of_order_are_refused(points: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match="expected"):
        measured(points)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, 41.0])
def test_a_length_out_of_range_is_named(bad: float) -> None:
    with pytest.raises(ValueError, match="length_mm: found"):
        tapered(bad, 25, 6)
