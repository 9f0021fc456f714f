"""Concentration times time, and what consumption of chlorine may leave of it.

No rate of consumption is published for human canals: both ends of the band are always shown,
and none of it is a validated dose.
"""

import math
from collections.abc import Iterable
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.ranges import within

CONSUMPTION_BAND_PER_MIN: Final = (0.0, 0.3)
"""Assumed first-order loss of chlorine in a canal. [1/min] (choice; no published value)"""
WALL_LIMIT_FACTOR: Final = 5.783
"""Square of the first zero of the Bessel function J0. (definition)"""
CHELATOR_TARGET_S: Final = 60
CHELATOR_STRONG_S: Final = 600
"""17 % EDTA: smear layer removed at 1 min, excessive erosion at 10 min. [s] (found,
Çalt and Serper, J Endod 2002)"""
CHELATOR_NOTE_S: Final = 120
CHELATOR_WARNING_S: Final = 180
"""Points between, by interpolation. [s] (choice)"""
EDTA_DISODIUM_DIHYDRATE_G_PER_MOL: Final = 372.24
CALCIUM_G_PER_MOL: Final = 40.078


class Exposure(Struct, frozen=True, kw_only=True):
    """Concentration times time, nominal and with consumption. [% min]"""

    nominal_pct_min: float
    low_pct_min: float
    """At the high end of the consumption band."""
    renewal_gain_pct_min: float
    """What renewing the filling adds at the high end of the band."""


def nominal_pct_min(steps: Iterable[tuple[float, float]]) -> float:
    """
    Nominal exposure over steps.

        E = sum(C_i t_i)

    Args:
        steps: (strength, time). [% w/v, min], >= 0.

    Returns:
        Exposure. [% min]; not a validated dose.

    Raises:
        ValueError: Out of range.

    Examples:
        >>> nominal_pct_min([(5.25, 40)])
        210.0

    Source:
        Definition.
    """
    return sum(
        within("concentration_pct_wv", c, "% w/v", 0, 100) * within("minutes", t, "min")
        for c, t in steps
    )


def consumed_pct_min(
    concentration_pct_wv: float, minutes: float, per_min: float, fillings: int = 1
) -> float:
    """
    Exposure when chlorine is consumed at a first-order rate, over equal fillings.

        CT_n = n C0 (1 - exp(-k t / n)) / k

    Args:
        concentration_pct_wv: C0. [% w/v], 0 to 100.
        minutes: Total time t. [min], >= 0.
        per_min: Rate k. [1/min], 0 to 10; 0 gives the nominal exposure.
        fillings: Equal fillings n. [], 1 to 1000.

    Returns:
        Exposure. [% min]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(consumed_pct_min(2.5, 5, 0.1), 3)
        9.837

    Source:
        First-order loss (derived; k is a choice).
    """
    c0 = within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 100)
    t = within("minutes", minutes, "min")
    k = within("per_min", per_min, "1/min", 0, 10)
    n = int(within("fillings", fillings, "", 1, 1000))
    x = k * t / n
    return c0 * t if x == 0 else n * c0 * -math.expm1(-x) / k


def exposure(concentration_pct_wv: float, minutes: float, fillings: int = 1) -> Exposure:
    """
    Nominal exposure, the band for consumed chlorine and the gain from renewal.

    Args:
        concentration_pct_wv: Strength. [% w/v], 0 to 100.
        minutes: Total time. [min], >= 0.
        fillings: Equal fillings. [], 1 to 1000.

    Returns:
        The three figures. [% min]

    Raises:
        ValueError: Out of range.

    Source:
        `nominal_pct_min`, `consumed_pct_min` over `CONSUMPTION_BAND_PER_MIN`.
    """
    k = CONSUMPTION_BAND_PER_MIN[1]
    low = consumed_pct_min(concentration_pct_wv, minutes, k, fillings)
    return Exposure(
        nominal_pct_min=nominal_pct_min([(concentration_pct_wv, minutes)]),
        low_pct_min=low,
        renewal_gain_pct_min=low - consumed_pct_min(concentration_pct_wv, minutes, k, 1),
    )


def wall_limit_per_min(radius_mm: float, diffusivity_m2_per_s: float = 1.5e-9) -> float:
    """
    Fastest loss that a perfectly absorbing wall allows in a still cylinder.

        k_max = 5.783 D / a^2

    Args:
        radius_mm: Radius a. [mm], > 0 to 5.
        diffusivity_m2_per_s: D. [m²/s], > 0 (memory, medium).

    Returns:
        Rate. [1/min]

    Raises:
        ValueError: Out of range.

    Source:
        Diffusion in a cylinder (Crank; memory, high).
    """
    a = within("radius_mm", radius_mm, "mm", 0, 5, above_low=True) * 1e-3
    d = within("diffusivity_m2_per_s", diffusivity_m2_per_s, "m²/s", 0, 1e-6, above_low=True)
    return WALL_LIMIT_FACTOR * d / (a * a) * 60


def calcium_mg_per_ml(edta_pct_wv: float) -> float:
    """
    Calcium that a solution of disodium EDTA dihydrate can bind, one to one.

    Args:
        edta_pct_wv: Strength. [% w/v], 0 to 30.

    Returns:
        Calcium. [mg/mL]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(calcium_mg_per_ml(17), 1)
        18.3

    Source:
        Stoichiometry (derived).
    """
    moles = 10 * within("edta_pct_wv", edta_pct_wv, "% w/v", 0, 30)
    return moles / EDTA_DISODIUM_DIHYDRATE_G_PER_MOL * CALCIUM_G_PER_MOL
