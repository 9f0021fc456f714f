"""The instrumented canal as a truncated cone, or as a list of diameters: volume and section.

`x` runs from working length (0) toward the orifice. Round, straight and fully instrumented is
assumed, so volumes are a lower bound of the real space. Not here: the needle in it.
"""

import itertools
import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.ranges import within

WORKING_PART_MM: Final = 16.0
"""Least length of the tapered working part. [mm] (memory, high: ISO 3630-1)"""
CAP_MM: Final = 1.20
"""Largest coronal diameter that is cut. [mm] (choice; instruments stop near 1.0 to 1.2)"""


class Canal(Struct, frozen=True, kw_only=True):
    """Diameters along a canal: straight pieces between points, wide end outward."""

    points: tuple[tuple[float, float], ...]
    """(distance from working length, diameter), distances rising from 0. [mm, mm]"""

    @property
    def length_mm(self) -> float:
        """From working length to the orifice. [mm]"""
        return self.points[-1][0]


def tapered(
    length_mm: float,
    apical_size: float,
    taper_pct: float,
    working_part_mm: float = WORKING_PART_MM,
    cap_mm: float = CAP_MM,
) -> Canal:
    """
    A canal of one taper, its working part and its cap.

        d(x) = min(D0 + T min(x, x_max), D_cap)

    Args:
        length_mm: Working length to orifice. [mm], > 0 to 40.
        apical_size: Size number D0 in hundredths of a millimetre. [], 6 to 140.
        taper_pct: Taper T. [%], 0 to 20; from 1 up unless 0.
        working_part_mm: x_max. [mm], > 0; infinite = no end.
        cap_mm: D_cap. [mm], > 0; infinite = no cap.

    Returns:
        The canal.

    Raises:
        ValueError: Out of range; a taper between 0 and 1 % asks whether a fraction was meant.

    Examples:
        >>> tapered(21, 25, 6).points[0]
        (0.0, 0.25)

    Source:
        ISO 3630-1 designation of size and taper (found; working part memory, high).
    """
    length = within("length_mm", length_mm, "mm", 0, 40, above_low=True)
    d0 = within("apical_size", apical_size, "", 6, 140) / 100
    taper = within("taper_pct", taper_pct, "%", 0, 20)
    if 0 < taper < 1:
        raise ValueError(
            f"taper_pct: found {taper:g} %, expected 0 or 1 to 20 %; was {100 * taper:g} % meant?"
        )
    x_max = (
        math.inf
        if math.isinf(working_part_mm)
        else within("working_part_mm", working_part_mm, "mm", 0, above_low=True)
    )
    cap = math.inf if math.isinf(cap_mm) else within("cap_mm", cap_mm, "mm", 0, above_low=True)
    per_mm = taper / 100
    knots = {0.0, length}
    for knot in (x_max, (cap - d0) / per_mm if per_mm else math.inf):
        if 0 < knot < length:
            knots.add(knot)
    return Canal(
        points=tuple((x, min(d0 + per_mm * min(x, x_max), max(cap, d0))) for x in sorted(knots))
    )


def measured(points: Sequence[tuple[float, float]]) -> Canal:
    """
    A canal from measured or declared diameters, for tapers that are not uniform.

    Args:
        points: (distance from working length, diameter). [mm, mm]; the first distance is 0,
            distances rise, diameters > 0 to 5; at least two.

    Raises:
        ValueError: Out of range or not in order.

    Source:
        Definition (piecewise straight).
    """
    if len(points) < 2:
        raise ValueError(f"points: found {len(points)}, expected at least two (mm, mm)")
    if points[0][0] != 0:
        raise ValueError(f"points: found a first distance of {points[0][0]:g} mm, expected 0 mm")
    for (x, d), (y, _) in zip(points, [*points[1:], (math.inf, 1.0)], strict=True):
        within("points distance", x, "mm", 0, 40)
        within("points diameter", d, "mm", 0, 5, above_low=True)
        if y <= x:
            raise ValueError(f"points: found {y:g} mm after {x:g} mm, expected rising distances")
    return Canal(points=tuple((float(x), float(d)) for x, d in points))


def diameter_mm(canal: Canal, x_mm: float) -> float:
    """
    Diameter at a distance from working length.

    Args:
        canal: The canal.
        x_mm: Distance. [mm], 0 to the canal's length.

    Returns:
        Diameter. [mm]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(diameter_mm(tapered(21, 25, 6), 3), 9)
        0.43

    Source:
        Linear between points (definition).
    """
    x = within("x_mm", x_mm, "mm", 0, canal.length_mm)
    for (x0, d0), (x1, d1) in zip(canal.points, canal.points[1:], strict=False):
        if x <= x1:
            return d0 + (d1 - d0) * (x - x0) / (x1 - x0)
    return canal.points[-1][1]


def section_mm2(canal: Canal, x_mm: float) -> float:
    """
    Cross-section at a distance from working length.

        A = pi d^2 / 4

    Args:
        canal: The canal.
        x_mm: Distance. [mm], 0 to the canal's length.

    Returns:
        Section. [mm²]

    Raises:
        ValueError: Out of range.

    Source:
        Area of a circle.
    """
    return math.pi * diameter_mm(canal, x_mm) ** 2 / 4


def volume_ul(canal: Canal, from_mm: float = 0.0, to_mm: float | None = None) -> float:
    """
    Volume between two distances from working length.

        V = pi (b - a) / 12 (d(a)^2 + d(a) d(b) + d(b)^2)   for each straight piece

    Args:
        canal: The canal.
        from_mm: Nearer distance a. [mm], 0 to the canal's length.
        to_mm: Farther distance b. [mm], a to the canal's length; None = the orifice.

    Returns:
        Volume. [µL = mm³]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(volume_ul(tapered(21, 25, 6)), 3)
        13.315

    Source:
        Volume of a truncated cone.
    """
    a = within("from_mm", from_mm, "mm", 0, canal.length_mm)
    b = canal.length_mm if to_mm is None else within("to_mm", to_mm, "mm", a, canal.length_mm)
    cuts = [a, *(x for x, _ in canal.points if a < x < b), b]
    volume = 0.0
    for low, high in itertools.pairwise(cuts):
        d0, d1 = diameter_mm(canal, low), diameter_mm(canal, high)
        volume += math.pi * (high - low) / 12 * (d0 * d0 + d0 * d1 + d1 * d1)
    return volume


def share_below(canal: Canal, x_mm: float) -> float:
    """
    Share of the canal's volume that lies between working length and a distance.

    Args:
        canal: The canal.
        x_mm: Distance. [mm], 0 to the canal's length.

    Returns:
        Share. [], 0 to 1.

    Raises:
        ValueError: Out of range.

    Source:
        Definition; `volume_ul`.
    """
    return volume_ul(canal, 0, x_mm) / volume_ul(canal)


def exchanges(canal: Canal, volume_ml: float) -> float:
    """
    How many canal volumes a delivered volume amounts to.

        N = 1000 V / V_canal

    Args:
        canal: The canal.
        volume_ml: Delivered. [mL], >= 0.

    Returns:
        Canal volumes. []; a poor measure of exchange near working length.

    Raises:
        ValueError: Out of range.

    Source:
        Definition.
    """
    return 1000 * within("volume_ml", volume_ml, "mL") / volume_ul(canal)
