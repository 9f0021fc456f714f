"""Strength of sodium hypochlorite left after storage: a best case, shown with its caveats.

Closed, dark, alkaline, free of metals. Opened, lit or neutralised solutions age far faster,
so a practice's own limit caps every figure here.
"""

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.ranges import within
from canalclock.core.dosing.strength import NAOCL_G_PER_MOL, molar

GAS_CONSTANT: Final = 8.314
"""[J/(mol K)], as the source uses it."""
DEFAULT_HYDROXIDE_MOL_PER_L: Final = 0.1
"""Free hydroxide of a recipe nobody states. [mol/L] (choice)"""
CHLORATE_PER_OXYGEN: Final = 8.7
"""Chlorate forms so many times as fast as oxygen. (found, Adam and Gordon 1999)"""
SECONDS_PER_DAY: Final = 86_400.0
BAND_FACTOR: Final = 1.4
"""Half-lives of the classic handbook table at 25 °C are up to this much shorter. (memory M03)"""


class Stored(Struct, frozen=True, kw_only=True):
    """Strength after storage, with the band and whether the law was stretched."""

    remaining_pct_wv: float
    """Best case. [% w/v]"""
    low_pct_wv: float
    """With the loss sped up by `BAND_FACTOR`. [% w/v]"""
    half_life_days: float
    """At the temperature of the last stretch. [d]"""
    extrapolated: bool
    """Outside 0.7 to 3.0 mol/L, 15 to 55 °C or ionic strength 1 to 6."""


def ionic_strength(
    concentration_pct_wv: float, hydroxide_mol_per_l: float = DEFAULT_HYDROXIDE_MOL_PER_L
) -> float:
    """
    Ionic strength of a fresh solution with equimolar salt.

        mu = 2 [OCl-] + [OH-]

    Args:
        concentration_pct_wv: NaOCl. [% w/v], 0 to 15.75.
        hydroxide_mol_per_l: Free hydroxide. [mol/L], 0 to 2.

    Returns:
        Ionic strength. [mol/L]; it stays constant while the solution ages.

    Raises:
        ValueError: Out of range.

    Source:
        Definition; salt from Cl2 + 2 NaOH -> NaOCl + NaCl + H2O (found).
    """
    oh = within("hydroxide_mol_per_l", hydroxide_mol_per_l, "mol/L", 0, 2)
    return 2 * molar(concentration_pct_wv) + oh


def rate_per_molar_second(celsius: float, ionic_strength_mol_per_l: float) -> float:
    """
    Second-order rate constant of the total loss of hypochlorite.

        log10 k2 = 0.149 mu + log10[2.083e10 T exp(-1.018e5 / (R T)) exp(-56.5 / R)]

    Args:
        celsius: Temperature. [°C], 0 to 60; stated for 15 to 55.
        ionic_strength_mol_per_l: mu. [mol/L], >= 0; below 1 the law is held at 1 (cautious side).

    Returns:
        k2. [1/(mol/L s)]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> f"{rate_per_molar_second(25, 1):.4e}"
        '1.4295e-08'

    Notes:
        The abstract does not print which law k2 belongs to; read as total loss it agrees with
        three other sources, read as the chlorate step it misses them by a factor of three.

    Source:
        Adam and Gordon, Hypochlorite ion decomposition: effects of temperature, ionic strength
        and chloride ion, Inorg Chem 1999;38:1299 (found, abstract).
    """
    kelvin = within("celsius", celsius, "°C", 0, 60) + 273.15
    mu = max(1.0, within("ionic_strength_mol_per_l", ionic_strength_mol_per_l, "mol/L", 0, 10))
    eyring = (
        2.083e10
        * kelvin
        * math.exp(-1.018e5 / (GAS_CONSTANT * kelvin))
        * math.exp(-56.5 / GAS_CONSTANT)
    )
    return float(10 ** (0.149 * mu) * eyring)


def half_life_days(
    concentration_pct_wv: float,
    celsius: float,
    hydroxide_mol_per_l: float = DEFAULT_HYDROXIDE_MOL_PER_L,
) -> float:
    """
    Time in which half the strength is lost.

        t_half = 1 / (k2 c0)

    Args:
        concentration_pct_wv: NaOCl at the start. [% w/v], > 0 to 15.75.
        celsius: Temperature. [°C], 0 to 60.
        hydroxide_mol_per_l: Free hydroxide. [mol/L], 0 to 2.

    Returns:
        Half-life. [d]; the time to nine tenths is a ninth of it.

    Raises:
        ValueError: Out of range.

    Source:
        Second-order rate law with `rate_per_molar_second`.
    """
    within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 15.75, above_low=True)
    k2 = rate_per_molar_second(celsius, ionic_strength(concentration_pct_wv, hydroxide_mol_per_l))
    return 1 / (k2 * molar(concentration_pct_wv)) / SECONDS_PER_DAY


def stored(
    concentration_pct_wv: float,
    history: Sequence[tuple[float, float]],
    hydroxide_mol_per_l: float = DEFAULT_HYDROXIDE_MOL_PER_L,
) -> Stored:
    """
    Strength after a history of temperatures.

        1/c = 1/c0 + sum(k2_i t_i)

    Args:
        concentration_pct_wv: NaOCl at the start. [% w/v], > 0 to 15.75.
        history: Stretches of (days, celsius). [d, °C], days >= 0; at least one.
        hydroxide_mol_per_l: Free hydroxide. [mol/L], 0 to 2.

    Returns:
        Best case, the band's low end, half-life, and whether the law was stretched.

    Raises:
        ValueError: Out of range, or no stretch.

    Examples:
        >>> round(stored(5.25, [(180, 25)]).remaining_pct_wv, 3)
        4.424

    Source:
        Integrated second-order law; mu is constant while the solution ages (derived).
    """
    within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 15.75, above_low=True)
    if not history:
        raise ValueError("history: found no stretch, expected at least one (days, celsius)")
    mu = ionic_strength(concentration_pct_wv, hydroxide_mol_per_l)
    c0 = molar(concentration_pct_wv)
    spent = 0.0
    for days, celsius in history:
        within("days", days, "d")
        spent += rate_per_molar_second(celsius, mu) * days * SECONDS_PER_DAY
    warm = [celsius for _, celsius in history]
    return Stored(
        remaining_pct_wv=concentration_pct_wv / (1 + c0 * spent),
        low_pct_wv=concentration_pct_wv / (1 + c0 * spent * BAND_FACTOR),
        half_life_days=half_life_days(concentration_pct_wv, warm[-1], hydroxide_mol_per_l),
        extrapolated=not 0.7 <= c0 <= 3.0
        or not 1.0 <= mu <= 6.0
        or min(warm) < 15
        or max(warm) > 55,
    )


def days_until(
    concentration_pct_wv: float,
    limit_pct_wv: float,
    celsius: float,
    hydroxide_mol_per_l: float = DEFAULT_HYDROXIDE_MOL_PER_L,
) -> float:
    """
    Days until the strength falls to a limit.

        t = (c0 / c - 1) t_half

    Args:
        concentration_pct_wv: NaOCl at the start. [% w/v], > 0 to 15.75.
        limit_pct_wv: The limit, such as the label's tolerance. [% w/v], > 0, at most the start.
        celsius: Temperature. [°C], 0 to 60.
        hydroxide_mol_per_l: Free hydroxide. [mol/L], 0 to 2.

    Returns:
        Days. [d], a best case.

    Raises:
        ValueError: Out of range, or a limit above the start.

    Source:
        Integrated second-order law.
    """
    limit = within("limit_pct_wv", limit_pct_wv, "% w/v", 0, 15.75, above_low=True)
    if limit > concentration_pct_wv:
        raise ValueError(
            f"limit_pct_wv: found {limit:g} % w/v, expected at most the"
            f" {concentration_pct_wv:g} % w/v at the start"
        )
    half = half_life_days(concentration_pct_wv, celsius, hydroxide_mol_per_l)
    return (concentration_pct_wv / limit - 1) * half


def day_below(
    concentration_pct_wv: float,
    limit_pct_wv: float,
    history: Sequence[tuple[float, float]],
    hydroxide_mol_per_l: float = DEFAULT_HYDROXIDE_MOL_PER_L,
    faster: float = 1.0,
) -> float:
    """
    Day of a history on which the strength falls to a limit.

        sum(k2_i t_i) = (c0 / c - 1) / (f c0)

    Args:
        concentration_pct_wv: NaOCl at the start. [% w/v], > 0 to 15.75.
        limit_pct_wv: The limit. [% w/v], > 0, at most the start.
        history: Stretches of (days, celsius). [d, °C]; at least one, the last one lasts on.
        hydroxide_mol_per_l: Free hydroxide. [mol/L], 0 to 2.
        faster: f, by which the loss is sped up; `BAND_FACTOR` gives the band's early end. [], >= 1.

    Returns:
        Day, counted from the start. [d]

    Raises:
        ValueError: Out of range, no stretch, or a limit above the start.

    Source:
        Integrated second-order law, as `stored`; for one stretch it is `days_until`.
    """
    f = within("faster", faster, "", 1)
    if not history:
        raise ValueError("history: found no stretch, expected at least one (days, celsius)")
    fresh = history[0][1]
    needed = days_until(concentration_pct_wv, limit_pct_wv, fresh, hydroxide_mol_per_l) / f
    mu = ionic_strength(concentration_pct_wv, hydroxide_mol_per_l)
    day = 0.0
    for index, (days, celsius) in enumerate(history):
        pace = rate_per_molar_second(celsius, mu) / rate_per_molar_second(fresh, mu)
        spent = pace * within("days", days, "d")
        if spent >= needed or index == len(history) - 1:
            return day + needed / pace
        needed -= spent
        day += days
    return day


def oxygen_share() -> float:
    """
    Share of the lost hypochlorite that leaves as oxygen.

        2 / (3 x 8.7 + 2) = 0.0712

    Returns:
        Share. []; a vented cap is usual for strong stock, local rules decide.

    Source:
        Derived from Adam and Gordon 1999 (found): 3 OCl- per ClO3-, 2 OCl- per O2.
    """
    return 2 / (3 * CHLORATE_PER_OXYGEN + 2)


def oxygen_ml_per_l(lost_pct_wv: float, celsius: float = 25.0) -> float:
    """
    Oxygen gas from the strength that one litre has lost.

    Args:
        lost_pct_wv: Strength lost. [% w/v], 0 to 15.75.
        celsius: Temperature of the gas at 1 atm. [°C], 0 to 60.

    Returns:
        Gas. [mL per litre of solution]

    Raises:
        ValueError: Out of range.

    Source:
        Ideal gas law, 0.082057 L atm/(mol K) (definition); `oxygen_share`.
    """
    lost = 10 * within("lost_pct_wv", lost_pct_wv, "% w/v", 0, 15.75) / NAOCL_G_PER_MOL
    kelvin = within("celsius", celsius, "°C", 0, 60) + 273.15
    return lost * oxygen_share() / 2 * 0.082057 * kelvin * 1000
