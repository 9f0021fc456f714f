"""Where a needle sits loosely in a prepared canal, and what lies beyond its reach.

A best case: straight canal, no debris. It says where a needle would bind, and is never an
instruction to go deeper.
"""

import math
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.canal import Canal, diameter_mm, volume_ul
from canalclock.core.dosing.ranges import within

CLEARANCE_MM: Final = 0.05
"""Diametral play asked for. [mm] (choice: about twice the instrument tolerance)"""
REACH_CLOSED_MM: Final = 1.0
"""Expected reach beyond a closed-ended tip. [mm] (found, conservative end of 1 to 1.5)"""
REACH_OPEN_MM: Final = 2.0
"""Expected reach beyond an open-ended tip. [mm] (found, conservative end)"""
STANDARD_SIZES: Final = (6, 8, *range(10, 65, 5), *range(70, 150, 10))
"""Instrument sizes of ISO 3630-1. (found)"""

OUTER_MAX_MM: Final = {
    21: 0.830, 22: 0.730, 23: 0.673, 24: 0.580, 25: 0.530, 26: 0.470, 27: 0.420, 28: 0.370,
    29: 0.351, 30: 0.320, 31: 0.267,
}  # fmt: skip
"""Largest outer diameter by gauge. [mm] (memory, high: ISO 9626 Table 1)"""
OUTER_NOMINAL_MM: Final = {
    21: 0.8192, 22: 0.7176, 23: 0.6414, 24: 0.5652, 25: 0.5144, 26: 0.4636, 27: 0.4128,
    28: 0.3620, 29: 0.3366, 30: 0.3112, 31: 0.2604,
}  # fmt: skip
"""Nominal outer diameter by gauge. [mm] (found, inch-based tubing table)"""
INNER_NOMINAL_MM: Final = {
    21: 0.514, 22: 0.413, 23: 0.337, 24: 0.311, 25: 0.260, 26: 0.260, 27: 0.210, 28: 0.184,
    29: 0.184, 30: 0.159, 31: 0.133,
}  # fmt: skip
"""Nominal inner diameter by gauge, regular wall. [mm] (found, inch-based tubing table)"""

WALLS: Final = ("regular", "thin", "extra_thin", "ultra_thin")
INNER_MIN_MM: Final[dict[int, tuple[float | None, ...]]] = {
    21: (0.490, 0.547, 0.610, None),
    22: (0.390, 0.440, 0.522, None),
    23: (0.317, 0.370, 0.460, None),
    24: (0.280, 0.343, None, None),
    25: (0.232, 0.292, None, None),
    26: (0.232, 0.292, None, None),
    27: (0.184, 0.241, None, None),
    28: (0.133, 0.190, None, None),
    29: (0.133, 0.190, 0.240, None),
    30: (0.133, 0.165, 0.190, 0.240),
    31: (0.114, 0.125, 0.146, None),
    32: (0.089, 0.105, 0.125, 0.146),
}
"""Least inner diameter by gauge and wall class. [mm] (30, 32 found; the rest memory: ISO 9626)"""


class Fit(Struct, frozen=True, kw_only=True):
    """How a needle sits, and what it leaves."""

    shortest_of_wl_mm: float | None
    """Nearest loose position of the tip, short of working length. [mm]; None = nowhere loose."""
    stop_mm: float | None
    """Where the stop goes for that position, from the tip. [mm]"""
    not_reached_mm: float | None
    """Expected to stay unreached next to working length, from that position. [mm]"""
    not_reached_ul: float | None
    """Its volume. [µL]"""


def outer_max_mm(needle_gauge: int) -> float:
    """
    Largest outer diameter of a gauge.

    Args:
        needle_gauge: Gauge. [], 21 to 31.

    Returns:
        Diameter. [mm]

    Raises:
        ValueError: A gauge the table has not.

    Source:
        ISO 9626:2016 Table 1 (memory, high).
    """
    if needle_gauge not in OUTER_MAX_MM:
        raise ValueError(f"needle_gauge: found {needle_gauge}, expected 21 to 31")
    return OUTER_MAX_MM[needle_gauge]


def inner_min_mm(needle_gauge: int, wall: str) -> float:
    """
    Least inner diameter of a gauge in a wall class.

    Args:
        needle_gauge: Gauge. [], 21 to 32.
        wall: One of `WALLS`; none is assumed.

    Returns:
        Diameter. [mm]

    Raises:
        ValueError: A gauge or wall class the table has not.

    Source:
        ISO 9626:2016 (30 and 32 found in a review; the rest memory).
    """
    if needle_gauge not in INNER_MIN_MM:
        raise ValueError(f"needle_gauge: found {needle_gauge}, expected 21 to 32")
    if wall not in WALLS:
        raise ValueError(f"wall: found {wall!r}, expected one of {', '.join(WALLS)}")
    inner = INNER_MIN_MM[needle_gauge][WALLS.index(wall)]
    if inner is None:
        raise ValueError(f"wall: found {wall!r}, which the table has not for gauge {needle_gauge}")
    return inner


def shortest_of_wl_mm(
    canal: Canal, outer_mm: float, clearance_mm: float = CLEARANCE_MM
) -> float | None:
    """
    Nearest position to working length at which a needle is loose.

        s_min = max(0, (OD + c - D0) / T)

    Args:
        canal: The prepared canal.
        outer_mm: Outer diameter OD, the largest of its gauge. [mm], > 0 to 2.
        clearance_mm: Diametral play c. [mm], 0 to 1; 0 is where it binds.

    Returns:
        Distance short of working length [mm]; None if it is loose nowhere.

    Raises:
        ValueError: Out of range.

    Source:
        Geometry of the truncated cone (derived). Real needles bind earlier in curved canals
        (found).
    """
    od = within("outer_mm", outer_mm, "mm", 0, 2, above_low=True)
    need = od + within("clearance_mm", clearance_mm, "mm", 0, 1)
    if diameter_mm(canal, 0) >= need:
        return 0.0
    for (x0, d0), (x1, d1) in zip(canal.points, canal.points[1:], strict=False):
        if d1 >= need:
            return x0 + (need - d0) * (x1 - x0) / (d1 - d0)
    return None


def binds(
    canal: Canal, outer_mm: float, short_of_wl_mm: float, clearance_mm: float = CLEARANCE_MM
) -> bool:
    """
    Whether a needle would bind with its tip at a distance short of working length.

    Args:
        canal: The prepared canal.
        outer_mm: Outer diameter. [mm], > 0 to 2.
        short_of_wl_mm: Position of the tip. [mm], 0 to the canal's length.
        clearance_mm: Diametral play. [mm], 0 to 1.

    Returns:
        True if the canal is narrower there than needle and play.

    Raises:
        ValueError: Out of range.

    Source:
        As `shortest_of_wl_mm`.
    """
    nearest = shortest_of_wl_mm(canal, outer_mm, clearance_mm)
    s = within("short_of_wl_mm", short_of_wl_mm, "mm", 0, canal.length_mm)
    return nearest is None or s < nearest


def smallest_size(
    outer_mm: float, taper_pct: float, short_of_wl_mm: float, clearance_mm: float = CLEARANCE_MM
) -> int | None:
    """
    Smallest standard apical size that lets a needle sit loosely at a distance.

        size = 100 (OD + c - T s), rounded up to the next standard size

    Args:
        outer_mm: Outer diameter. [mm], > 0 to 2.
        taper_pct: Taper. [%], 0 to 20.
        short_of_wl_mm: Position of the tip. [mm], 0 to 40.
        clearance_mm: Diametral play. [mm], 0 to 1.

    Returns:
        Size number; None if it is beyond 140.

    Raises:
        ValueError: Out of range.

    Source:
        As `shortest_of_wl_mm`; sizes of ISO 3630-1 (found).
    """
    od = within("outer_mm", outer_mm, "mm", 0, 2, above_low=True)
    c = within("clearance_mm", clearance_mm, "mm", 0, 1)
    t = within("taper_pct", taper_pct, "%", 0, 20) / 100
    least = 100 * (od + c - t * within("short_of_wl_mm", short_of_wl_mm, "mm", 0, 40))
    return next((size for size in STANDARD_SIZES if size >= least - 1e-9), None)


def not_reached_mm(short_of_wl_mm: float, open_ended: bool) -> float:
    """
    Canal next to working length without expected exchange.

        max(0, s - reach),   reach = 1 mm closed-ended, 2 mm open-ended

    Args:
        short_of_wl_mm: Position of the tip s. [mm], 0 to 40.
        open_ended: Whether the tip is open-ended.

    Returns:
        Length. [mm], expected, not measured.

    Raises:
        ValueError: Out of range.

    Notes:
        For straight canals of size 30 or more and liquid-filled; for 20 and 25 exchange at
        working length is not to be expected whatever the position (found).

    Source:
        Boutsioukis et al. series on needle tip and insertion depth (found, abstracts).
    """
    s = within("short_of_wl_mm", short_of_wl_mm, "mm", 0, 40)
    return max(0.0, s - (REACH_OPEN_MM if open_ended else REACH_CLOSED_MM))


def fit(
    canal: Canal,
    needle_gauge: int,
    open_ended: bool,
    working_length_mm: float,
    clearance_mm: float = CLEARANCE_MM,
) -> Fit:
    """
    How a needle of a gauge sits in a canal, and what it leaves.

    Args:
        canal: The prepared canal, working length to orifice.
        needle_gauge: Gauge. [], 21 to 31.
        open_ended: Whether the tip is open-ended.
        working_length_mm: From the reference point, for the stop. [mm], > 0 to 40.
        clearance_mm: Diametral play. [mm], 0 to 1.

    Returns:
        Position, stop and what is not expected to be reached.

    Raises:
        ValueError: Out of range.

    Source:
        The functions above.
    """
    wl = within("working_length_mm", working_length_mm, "mm", 0, 40, above_low=True)
    nearest = shortest_of_wl_mm(canal, outer_max_mm(needle_gauge), clearance_mm)
    if nearest is None:
        return Fit(shortest_of_wl_mm=None, stop_mm=None, not_reached_mm=None, not_reached_ul=None)
    bare = not_reached_mm(nearest, open_ended)
    return Fit(
        shortest_of_wl_mm=nearest,
        stop_mm=max(0.0, wl - nearest),
        not_reached_mm=bare,
        not_reached_ul=volume_ul(canal, 0, min(bare, canal.length_mm)),
    )


def rounded_up_mm(distance_mm: float, step_mm: float = 0.5) -> float:
    """
    A distance short of working length as a rule can be set: rounded away from the apex.

    Args:
        distance_mm: Distance. [mm], >= 0.
        step_mm: Step of the rule. [mm], > 0.

    Returns:
        Distance. [mm], at least the given one.

    Raises:
        ValueError: Out of range.

    Source:
        Common practice, no source.
    """
    step = within("step_mm", step_mm, "mm", 0, above_low=True)
    return math.ceil(within("distance_mm", distance_mm, "mm") / step - 1e-9) * step
