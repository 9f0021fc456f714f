"""Small units written in the trade's, exactly, with a point and without trailing zeros.

Every figure is a whole number of a small unit; what is written here loses nothing. Not here: the
conversion factors (quantities.py), and any rounding.
"""

from typing import Final

from canalclock.core.quantities import MS_PER_MIN, MS_PER_S

_PER_PCT_WV: Final = 4
"""Decimal places from mg/L to % w/v: 1 % w/v = 10^4 mg/L (quantities.py)."""


def shifted(small: int, places: int) -> str:
    """
    A whole number of small units with the point moved left.

    Args:
        small: The amount. [small unit]
        places: Places to move the point. [], >= 0.

    Returns:
        The exact decimal, without trailing zeros.

    Examples:
        >>> shifted(2500, 3), shifted(-40, 3), shifted(3000, 3)
        ('2.5', '-0.04', '3')

    Source:
        Definition of the SI prefixes.
    """
    sign, digits = ("-" if small < 0 else ""), str(abs(small)).rjust(places + 1, "0")
    whole, part = digits[: len(digits) - places], digits[len(digits) - places :].rstrip("0")
    return f"{sign}{whole}.{part}" if part else f"{sign}{whole}"


def ml(volume_ul: int) -> str:
    """A volume in millilitres."""
    return shifted(volume_ul, 3)


def mm(length_um: int) -> str:
    """A length in millimetres."""
    return shifted(length_um, 3)


def seconds(span_ms: int) -> str:
    """A span of time in seconds."""
    return shifted(span_ms, 3)


def mg(mass_ng: int) -> str:
    """A mass in milligrams."""
    return shifted(mass_ng, 6)


def pct_wv(concentration_mg_per_l: int) -> str:
    """A strength in per cent weight in volume."""
    return shifted(concentration_mg_per_l, _PER_PCT_WV)


def span(span_ms: int) -> str:
    """
    A span of time for reading.

    Examples:
        >>> span(245_000), span(12_500), span(120_000)
        ('4 min 5 s', '12.5 s', '2 min')
    """
    minutes, rest_ms = divmod(span_ms, MS_PER_MIN)
    if minutes and rest_ms:
        return f"{minutes} min {seconds(rest_ms)} s"
    return f"{minutes} min" if minutes else f"{seconds(span_ms)} s"


def distance(apart_ms: int) -> str:
    """
    How far apart two instants are, in the unit that suits it, whole and rounded down.

    Examples:
        >>> distance(86_400_000), distance(3_700_000), distance(65_000)
        ('1 day', '1 h', '1 min')
    """
    for name, unit_ms in (("day", 86_400_000), ("h", 3_600_000), ("min", MS_PER_MIN)):
        count = apart_ms // unit_ms
        if count:
            return f"{count} {name}{'s' if name == 'day' and count > 1 else ''}"
    return f"{apart_ms // MS_PER_S} s"
