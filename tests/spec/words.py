"""The words of the spec tables as whole numbers: times, lengths, volumes, masses, strengths.

Every amount is written with its unit and bound exactly; what does not read is an error that
says what was found. Not here: what a row means (story.py, answers.py).
"""

import re
from decimal import Decimal
from typing import Final

from canalclock.core.quantities import (
    MG_PER_L_PER_PCT_WV,
    NG_PER_MG,
    UL_PER_ML,
    UM_PER_MM,
    bound_exactly,
)

_CLOCK: Final = re.compile(r"^(?:(\d+):)?(\d{1,3}):(\d\d)$")
_AMOUNT: Final = re.compile(r"^(\d+(?:\.\d+)?) (mL|mm|mg|%|G)$")
_FACTORS: Final = {
    "mL": (UL_PER_ML, "µL"),
    "mm": (UM_PER_MM, "µm"),
    "mg": (NG_PER_MG, "ng"),
    "%": (MG_PER_L_PER_PCT_WV, "mg/L"),
    "G": (1, "G"),
}


class NotReadable(ValueError):
    """A cell of a spec table that says nothing we know."""


def clock_ms(text: str) -> int:
    """
    A time or a span written as on a stopwatch. [ms]

    Examples:
        >>> clock_ms("5:10"), clock_ms("4:10:00")
        (310000, 15000000)
    """
    found = _CLOCK.match(text)
    if found is None:
        raise NotReadable(f"found {text!r}, expected a time such as 5:10 or 4:10:00")
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    if seconds > 59:
        raise NotReadable(f"found {text!r}, expected seconds below 60")
    return ((hours * 60 + minutes) * 60 + seconds) * 1000


def span_ms(text: str) -> tuple[int, int]:
    """Start and end of "5:00-5:10" (with an en dash), or one instant twice. [ms]"""
    start, _, end = text.partition("–")
    return clock_ms(start), clock_ms(end or start)


def amount(text: str, unit: str) -> int:
    """An amount with its unit, in the small unit: "1.5 mL" is 1500."""
    found = _AMOUNT.match(text)
    if found is None or found[2] != unit:
        raise NotReadable(f"found {text!r}, expected an amount in {unit}")
    factor, small = _FACTORS[unit]
    return bound_exactly(Decimal(found[1]), factor, unit, small)


def listed(text: str) -> list[str]:
    """The parts of "a, b, c"; none of an empty cell."""
    return [part.strip() for part in text.split(",") if part.strip()]
