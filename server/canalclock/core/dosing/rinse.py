"""What a rinse is expected to leave of the irrigant before it: models with stated assumptions.

No wash-out curve of a real canal is published, so these figures add words to a warning and
never change its level. More volume does not reach what the flow does not reach.
"""

import math
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.ranges import within

DIFFUSIVITY_M2_PER_S: Final = 1.5e-9
"""Of a small ion pair in water. [m²/s] (memory, medium)"""
MIXING: Final = 0.05
MIXING_BAND: Final = (0.02, 0.1)
"""Share of a rinse that mixes with the canal's content. [] (choice)"""
LEFT_BY_BLOTTING: Final = 0.2
"""Share of the canal's fluid that drying with points leaves. [] (choice)"""

COLOUR_PCT_WV: Final = 0.023
"""NaOCl that gives a colour change with 2 % chlorhexidine. [% w/v] (found, Basrani 2007)"""
PRECIPITATE_PCT_WV: Final = 0.19
"""NaOCl that gives a precipitate with 2 % chlorhexidine; 0.16 elsewhere. [% w/v] (found)"""


class Residual(Struct, frozen=True, kw_only=True):
    """What is expected to be left of the irrigant before. [% w/v]"""

    residual_mean_pct_wv: float
    residual_apex_pct_wv: float
    low_mean_pct_wv: float
    """With the better mixing of the band."""
    high_mean_pct_wv: float
    """With the poorer mixing of the band."""


def well_mixed_share(volume_ml: float, canal_ul: float, mixing: float = 1.0) -> float:
    """
    Share left after a rinse, if a share of it mixes well with the canal's content.

        C / C0 = exp(-eta V_rinse / V_canal)

    Args:
        volume_ml: Rinse. [mL], >= 0.
        canal_ul: Canal. [µL], > 0.
        mixing: eta. [], > 0 to 1.

    Returns:
        Share. [], 0 to 1.

    Raises:
        ValueError: Out of range.

    Source:
        Stirred tank (definition); eta is a choice.
    """
    eta = within("mixing", mixing, "", 0, 1, above_low=True)
    canal = within("canal_ul", canal_ul, "µL", 0, above_low=True)
    return math.exp(-eta * 1000 * within("volume_ml", volume_ml, "mL") / canal)


def stagnant_share(length_mm: float, seconds: float) -> float:
    """
    Mean share left in a stagnant end that only diffusion clears.

        r = (8/pi^2) sum exp(-(2n+1)^2 pi^2 D t / (4 L^2)) / (2n+1)^2

    Args:
        length_mm: Length of the stagnant end. [mm], >= 0; 0 leaves nothing.
        seconds: Time with fresh solution at its mouth. [s], >= 0.

    Returns:
        Share. [], 0 to 1.

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(stagnant_share(1, 30), 4)
        0.7606

    Source:
        Diffusion in a slab closed at one end (Crank, The Mathematics of Diffusion; memory, high).
    """
    length = within("length_mm", length_mm, "mm", 0, 40) * 1e-3
    t = within("seconds", seconds, "s")
    if length == 0:
        return 0.0
    if t == 0:
        return 1.0
    if math.sqrt(DIFFUSIVITY_M2_PER_S * t) > 50 * length:
        return 0.0
    decay = math.pi**2 * DIFFUSIVITY_M2_PER_S * t / (4 * length * length)
    if decay < 0.01:
        # short times: the series converges slowly, the square-root law is exact to 1e-9
        return 1 - 2 * math.sqrt(DIFFUSIVITY_M2_PER_S * t / math.pi) / length
    total, n = 0.0, 0
    while True:
        odd = (2 * n + 1) ** 2
        term = math.exp(-odd * decay) / odd
        total += term
        if term < 1e-15 or n > 400:
            return min(1.0, 8 / math.pi**2 * total)
        n += 1


def stagnant_constant_s(length_mm: float) -> float:
    """
    Time constant of a stagnant end.

        tau = 4 L^2 / (pi^2 D)

    Args:
        length_mm: Length. [mm], > 0 to 40.

    Returns:
        Time. [s]

    Raises:
        ValueError: Out of range.

    Source:
        First term of `stagnant_share`.
    """
    length = within("length_mm", length_mm, "mm", 0, 40, above_low=True) * 1e-3
    return 4 * length * length / (math.pi**2 * DIFFUSIVITY_M2_PER_S)


def residual(
    concentration_pct_wv: float,
    volume_ml: float,
    canal_ul: float,
    not_reached_mm: float,
    not_reached_share: float,
    seconds: float,
    mixing: float = MIXING,
) -> Residual:
    """
    What a rinse is expected to leave, in two zones.

        mean = C0 [(1 - phi) exp(-eta V / V_canal) + phi r(t)],   apex = C0 r(t)

    Args:
        concentration_pct_wv: Irrigant before, C0. [% w/v], 0 to 100.
        volume_ml: Rinse. [mL], >= 0.
        canal_ul: Canal. [µL], > 0.
        not_reached_mm: Length that the rinse is not expected to reach. [mm], 0 to 40.
        not_reached_share: Its share of the canal's volume, phi. [], 0 to 1.
        seconds: Time of the rinse. [s], >= 0.
        mixing: eta. [], > 0 to 1.

    Returns:
        Mean and apex, and the mean's band over `MIXING_BAND`.

    Raises:
        ValueError: Out of range.

    Source:
        Two-zone model of the evidence file (derived; eta is a choice).
    """
    c0 = within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 100)
    phi = within("not_reached_share", not_reached_share, "", 0, 1)
    r = stagnant_share(not_reached_mm, seconds)

    def mean(eta: float) -> float:
        return c0 * ((1 - phi) * well_mixed_share(volume_ml, canal_ul, eta) + phi * r)

    apex = c0 * r if not_reached_mm > 0 else mean(mixing)
    return Residual(
        residual_mean_pct_wv=mean(mixing),
        residual_apex_pct_wv=apex,
        low_mean_pct_wv=mean(max(MIXING_BAND[1], mixing)),
        high_mean_pct_wv=mean(min(MIXING_BAND[0], mixing)),
    )


def canal_volumes_needed(concentration_pct_wv: float, limit_pct_wv: float) -> float:
    """
    Canal volumes of a well-mixed rinse down to a limit.

        Q = ln(C0 / C_limit)

    Args:
        concentration_pct_wv: C0. [% w/v], > 0 to 100.
        limit_pct_wv: C_limit. [% w/v], > 0 to 100.

    Returns:
        Canal volumes. [], 0 once at or below the limit.

    Raises:
        ValueError: Out of range.

    Source:
        Inverse of `well_mixed_share`.
    """
    c0 = within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 100, above_low=True)
    limit = within("limit_pct_wv", limit_pct_wv, "% w/v", 0, 100, above_low=True)
    return max(0.0, math.log(c0 / limit))


def blotting_cycles(
    concentration_pct_wv: float, limit_pct_wv: float, left: float = LEFT_BY_BLOTTING
) -> int:
    """
    Cycles of drying and refilling with water down to a limit.

        n = ceil( ln(C0 / C_limit) / ln(1 / f) )

    Args:
        concentration_pct_wv: C0. [% w/v], > 0 to 100.
        limit_pct_wv: C_limit. [% w/v], > 0 to 100.
        left: Share f that each drying leaves. [], > 0 and < 1.

    Returns:
        Cycles. []

    Raises:
        ValueError: Out of range.

    Examples:
        >>> blotting_cycles(5.25, 0.023)
        4

    Source:
        Geometric dilution (derived; f is a choice).
    """
    f = within("left", left, "", 0, 1 - 1e-9, above_low=True)
    volumes = canal_volumes_needed(concentration_pct_wv, limit_pct_wv)
    return math.ceil(volumes / math.log(1 / f) - 1e-12)
