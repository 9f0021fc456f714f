"""Needle fit against ISO 9626 figures, geometry and published fit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.dosing import needle
from canalclock.core.dosing.canal import tapered


@pytest.mark.parametrize(
    ("row", "gauge", "inner"),
    [(17, 30, (0.133, 0.165, 0.190, 0.240)), (18, 32, (0.089, 0.105, 0.125, 0.146))],
)
def test_least_inner_diameters(row: int, gauge: int, inner: tuple[float, ...]) -> None:
    # ISO 9626:2016 quoted in a review (found)
    assert tuple(needle.inner_min_mm(gauge, wall) for wall in needle.WALLS) == inner, row


@pytest.mark.parametrize(
    ("row", "gauge", "outer", "inner"),
    [(19, 30, 0.3112, 0.159), (20, 27, 0.4128, 0.210), (21, 25, 0.5144, 0.260)],
)
def test_nominal_tubing(row: int, gauge: int, outer: float, inner: float) -> None:
    # inch-based tubing table (found)
    got = (needle.OUTER_NOMINAL_MM[gauge], needle.INNER_NOMINAL_MM[gauge])
    assert got == (outer, inner), row


def test_widest_of_a_gauge() -> None:
    # row 22, ISO 9626 (memory, high)
    assert needle.outer_max_mm(30) == 0.320


@pytest.mark.parametrize(
    ("row", "outer", "size", "taper", "clearance", "short"),
    [
        (23, 0.320, 25, 6, 0.05, 2.000),
        (24, 0.530, 40, 4, 0.05, 4.500),
        (25, 0.3112, 25, 6, 0.0, 1.020),
        (26, 0.420, 45, 6, 0.05, 0.333),
    ],
)
def test_nearest_loose_position(
    row: int, outer: float, size: float, taper: float, clearance: float, short: float
) -> None:
    got = needle.shortest_of_wl_mm(tapered(16, size, taper), outer, clearance)
    assert got is not None
    assert abs(got - short) <= 1e-3, row


@pytest.mark.parametrize(
    ("gauge", "geometry", "published"), [(27, 30, 30), (25, 40, 45), (23, 50, 50)]
)
def test_smallest_size_for_three_millimetres(gauge: int, geometry: int, published: int) -> None:
    # row 27: thermal imaging in step-back canals (found), step 0.05 mm per mm (memory, medium)
    got = needle.smallest_size(needle.OUTER_NOMINAL_MM[gauge], 5, 3, 0.0)
    assert got == geometry
    assert abs(got - published) <= 5


@pytest.mark.parametrize(
    ("row", "short", "open_ended", "bare"), [(53, 1, False, 0), (54, 3, False, 2), (55, 2, True, 0)]
)
def test_what_is_not_expected_to_be_reached(
    row: int, short: float, open_ended: bool, bare: float
) -> None:
    assert needle.not_reached_mm(short, open_ended) == bare, row


@given(st.floats(20, 60), st.floats(2, 8), st.floats(0.2, 0.6), st.floats(0, 0.1))
def test_wider_canals_and_thinner_needles_sit_nearer(
    size: float, taper: float, outer: float, clearance: float
) -> None:
    def short(size: float, outer: float, clearance: float) -> float:
        got = needle.shortest_of_wl_mm(tapered(16, size, taper), outer, clearance)
        return math.inf if got is None else got

    here = short(size, outer, clearance)
    assert short(size + 5, outer, clearance) <= here
    assert short(size, outer + 0.05, clearance) >= here
    assert short(size, outer, clearance + 0.05) >= here


def test_a_needle_that_fits_nowhere_says_so() -> None:
    fitted = needle.fit(tapered(10, 15, 0), 25, open_ended=False, working_length_mm=20)
    assert fitted.shortest_of_wl_mm is None
    assert needle.binds(tapered(10, 15, 0), 0.53, 5)


def test_a_stop_is_set_from_working_length() -> None:
    fitted = needle.fit(tapered(12, 25, 6), 30, open_ended=False, working_length_mm=20)
    assert fitted.stop_mm == pytest.approx(18.0)
    assert fitted.not_reached_mm == pytest.approx(1.0)
    assert fitted.not_reached_ul == pytest.approx(0.062, abs=5e-4)


def test_a_rule_is_set_away_from_the_apex() -> None:
    assert needle.rounded_up_mm(1.02) == 1.5
    assert needle.rounded_up_mm(1.5) == 1.5


def test_a_gauge_nobody_lists_is_refused() -> None:
    with pytest.raises(ValueError, match="needle_gauge: found 40"):
        needle.outer_max_mm(40)
    with pytest.raises(ValueError, match="wall: found 'thick'"):
        needle.inner_min_mm(30, "thick")
    with pytest.raises(ValueError, match="which the table has not"):
        needle.inner_min_mm(28, "ultra_thin")
