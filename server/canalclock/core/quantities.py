"""Units as types, every conversion factor, and exact binding from the trade's units.

What is added up is an integer in a small unit (style: microlitres, micrometres,
milliseconds, milligrams per litre, nanograms), so that sums are exact and equal in every
language. Not here: anything about a canal, a needle or an irrigant.
"""

from decimal import Decimal
from typing import Annotated, Final

from msgspec import Meta

WHOLE_MAX: Final = 2**53 - 1
"""Largest whole number that JSON readers agree on (IETF RFC 8259, section 6)."""

Whole = Annotated[int, Meta(ge=0, le=WHOLE_MAX)]
Milliseconds = Annotated[int, Meta(ge=0, le=WHOLE_MAX)]
Microlitres = Annotated[int, Meta(ge=0, le=WHOLE_MAX)]
Micrometres = Annotated[int, Meta(ge=0, le=WHOLE_MAX)]
MilligramsPerLitre = Annotated[int, Meta(ge=0, le=WHOLE_MAX)]

MS_PER_S: Final = 1000
MS_PER_MIN: Final = 60_000
UL_PER_ML: Final = 1000
UM_PER_MM: Final = 1000
MG_PER_L_PER_PCT_WV: Final = 10_000
"""1 % w/v is 1 g in 100 mL, so 10 000 mg/L (USP General Notices, Percentage concentrations)."""
UM_PER_MM_PER_TAPER_PCT: Final = 10
"""A taper of 1 % widens by 0.01 mm per mm of length (ISO 3630-1, designation of taper)."""
NG_PER_MG: Final = 1_000_000


_DIGITS_MAX: Final = 20
"""Digits of a written amount: with 8 more of the factor still exact in a decimal of 28."""


class NotExact(ValueError):
    """A written amount that is no whole number of the small unit; nothing is rounded."""


def bound_exactly(written: Decimal | int, factor: int, unit: str, small_unit: str) -> int:
    """
    A written amount as a whole number of the small unit, or an error: nothing is rounded.

    Args:
        written: The amount as written. [unit], finite, >= 0.
        factor: Small units in one unit. [], >= 1.
        unit: Name of the written unit, for the message.
        small_unit: Name of the small unit, for the message.

    Returns:
        The amount. [small_unit], 0 to WHOLE_MAX.

    Raises:
        NotExact: Not finite, negative, too large, or finer than the small unit.

    Examples:
        >>> bound_exactly(Decimal("2.5"), UL_PER_ML, "mL", "µL")
        2500

    Source:
        Definition of the SI prefixes.
    """
    amount = Decimal(written)
    if not amount.is_finite():
        raise NotExact(f"found {written}, expected a finite number of {unit}")
    if amount < 0:
        raise NotExact(f"found {written} {unit}, expected 0 or more")
    if amount > WHOLE_MAX:
        raise NotExact(f"found {written} {unit}, expected at most {WHOLE_MAX} {small_unit}")
    if len(amount.as_tuple().digits) > _DIGITS_MAX:  # the product would be rounded silently
        raise NotExact(f"found {written} {unit}, finer than 1 {small_unit}")
    small = amount * factor
    if small > WHOLE_MAX:
        raise NotExact(f"found {written} {unit}, expected at most {WHOLE_MAX} {small_unit}")
    if small != small.to_integral_value():
        raise NotExact(f"found {written} {unit}, finer than 1 {small_unit}")
    return int(small)
