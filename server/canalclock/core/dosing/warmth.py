"""Cooling of a warmed irrigant, rate factors, and water's viscosity and density.

Equivalents of temperature are never carried into a limit.
"""

import math
from typing import Final

from canalclock.core.dosing.ranges import within

BODY_CELSIUS: Final = 37.0
APICAL_TAU_S: Final = 55.0
"""Time constant of the apical third after delivery stops. [s] (derived from a canine model)"""


def cooled_celsius(
    start_celsius: float,
    seconds: float,
    tau_s: float = APICAL_TAU_S,
    surround_celsius: float = BODY_CELSIUS,
) -> float:
    """
    Temperature of a warmed irrigant in the canal after delivery has stopped.

        T(t) = T_s + (T_0 - T_s) exp(-t / tau)

    Args:
        start_celsius: T_0. [°C], 0 to 100.
        seconds: Time. [s], >= 0.
        tau_s: Time constant. [s], > 0.
        surround_celsius: T_s. [°C], 0 to 60.

    Returns:
        Temperature. [°C]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(cooled_celsius(52.2, 60), 2)
        42.11

    Source:
        Newton's cooling; tau derived from measured apical temperatures (found).
    """
    t0 = within("start_celsius", start_celsius, "°C", 0, 100)
    ts = within("surround_celsius", surround_celsius, "°C", 0, 60)
    tau = within("tau_s", tau_s, "s", 0, above_low=True)
    return ts + (t0 - ts) * math.exp(-within("seconds", seconds, "s") / tau)


def seconds_above(start_celsius: float, limit_celsius: float, tau_s: float = APICAL_TAU_S) -> float:
    """
    How long a warmed irrigant stays above a temperature.

        t = tau ln((T_0 - 37) / (T - 37))

    Args:
        start_celsius: T_0. [°C], 37 to 100.
        limit_celsius: T. [°C], more than 37 to 100.
        tau_s: Time constant. [s], > 0.

    Returns:
        Time. [s], 0 if it never was.

    Raises:
        ValueError: Out of range.

    Source:
        Inverse of `cooled_celsius`.
    """
    t0 = within("start_celsius", start_celsius, "°C", BODY_CELSIUS, 100)
    limit = within("limit_celsius", limit_celsius, "°C", BODY_CELSIUS, 100, above_low=True)
    tau = within("tau_s", tau_s, "s", 0, above_low=True)
    if t0 <= limit:
        return 0.0
    return tau * math.log((t0 - BODY_CELSIUS) / (limit - BODY_CELSIUS))


def factor_per_10(ratio: float, degrees: float) -> float:
    """
    Rate factor per 10 degrees from the ratio over a span.

        Q10 = ratio^(10 / dT)

    Args:
        ratio: Rate or equivalent strength at the warmer over the cooler. [], > 0.
        degrees: Span. [K], > 0.

    Returns:
        Q10. []

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(factor_per_10(5.25, 25), 3)
        1.941

    Source:
        Definition of Q10.
    """
    r = within("ratio", ratio, "", 0, above_low=True)
    return float(r ** (10 / within("degrees", degrees, "K", 0, above_low=True)))


def rate_ratio(q10: float, degrees: float) -> float:
    """
    Ratio of rates over a span of temperature.

        ratio = Q10^(dT / 10)

    Args:
        q10: Factor per 10 degrees. [], > 0.
        degrees: Span, negative when cooler. [K], -100 to 100.

    Returns:
        Ratio. []

    Raises:
        ValueError: Out of range.

    Source:
        Inverse of `factor_per_10`.
    """
    q = within("q10", q10, "", 0, above_low=True)
    return float(q ** (within("degrees", degrees, "K", -100, 100) / 10))


def water_viscosity_mpa_s(celsius: float) -> float:
    """
    Viscosity of water.

        eta = 2.414e-5 x 10^(247.8 / (T - 140))   Pa s

    Args:
        celsius: Temperature. [°C], 0 to 100.

    Returns:
        Viscosity. [mPa s]

    Raises:
        ValueError: Out of range.

    Source:
        Vogel form with published constants (found), within 1 % of IAPWS.
    """
    kelvin = within("celsius", celsius, "°C", 0, 100) + 273.15
    return float(2.414e-5 * 10 ** (247.8 / (kelvin - 140)) * 1000)


def water_density_kg_per_m3(celsius: float) -> float:
    """
    Density of water.

        rho = 1000 [1 - (t + 288.9414)(t - 3.9863)^2 / (508929.2 (t + 68.12963))]

    Args:
        celsius: Temperature. [°C], 0 to 100.

    Returns:
        Density. [kg/m³]

    Raises:
        ValueError: Out of range.

    Source:
        Published fit (found).
    """
    t = within("celsius", celsius, "°C", 0, 100)
    return 1000 * (1 - (t + 288.9414) * (t - 3.9863) ** 2 / (508929.2 * (t + 68.12963)))
