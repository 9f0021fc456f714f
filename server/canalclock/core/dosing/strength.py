"""Strength of sodium hypochlorite on every basis that a label may use.

One mole of NaOCl counts as one mole of Cl2 ("available chlorine"). A strength without its
basis cannot be converted, so the basis is part of every function's name.
"""

from typing import Final, Literal

from canalclock.core.dosing.ranges import within

NAOCL_G_PER_MOL: Final = 74.442
"""Molar mass of NaOCl. [g/mol] (found)"""
CL2_G_PER_MOL: Final = 70.906
"""Molar mass of Cl2. [g/mol] (found)"""
CHLORINE_PER_NAOCL: Final = CL2_G_PER_MOL / NAOCL_G_PER_MOL
"""Available chlorine per NaOCl by mass, 0.95250. [g/g] (derived)"""
WATER_20C_G_PER_ML: Final = 0.9982
"""Density of water at 20 °C. [g/mL] (found)"""
SG_PER_G_PER_L: Final = 0.001308
"""Rise of specific gravity per g/L available chlorine, fresh equimolar solution. (derived fit)"""
SG_PER_PCT_NAOH: Final = 0.015
"""Rise of specific gravity per % w/w of excess sodium hydroxide. (derived fit)"""
G_PER_L_PER_DEGREE: Final = 3.17
"""Mass of one litre of dry chlorine gas at 0 °C and 1 bar, the chlorometric degree. [g] (found)"""

Basis = Literal[
    "pct_wv", "pct_ww", "chlorine_pct_wv", "chlorine_pct_ww", "chlorine_g_per_l",
    "chlorine_mg_per_l", "degrees",
]  # fmt: skip
"""What a label's number is a number of: NaOCl w/v or w/w; available chlorine w/v ("trade per
cent"), w/w, g/L, mg/L ("ppm" by volume); chlorometric degrees."""

BASES: Final[tuple[Basis, ...]] = (
    "pct_wv", "pct_ww", "chlorine_pct_wv", "chlorine_pct_ww", "chlorine_g_per_l",
    "chlorine_mg_per_l", "degrees",
)  # fmt: skip

_MAX_CHLORINE_G_PER_L: Final = 150.0


def chlorine_g_per_l(concentration_pct_wv: float) -> float:
    """
    Available chlorine of a hypochlorite strength.

        A = 10 f C,   f = M(Cl2) / M(NaOCl) = 0.95250

    Args:
        concentration_pct_wv: NaOCl. [% w/v], 0 to 15.75.

    Returns:
        Available chlorine. [g/L]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(chlorine_g_per_l(2.5), 3)
        23.812

    Source:
        Definition of available chlorine; molar masses as above.
    """
    c = within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 15.75)
    return 10 * CHLORINE_PER_NAOCL * c


def specific_gravity(chlorine_g_per_l: float, excess_naoh_pct_ww: float = 0.0) -> float:
    """
    Specific gravity (20/20 °C) of a fresh solution made from chlorine and soda.

        SG = 1 + 0.001308 A + 0.015 a

    Args:
        chlorine_g_per_l: Available chlorine A. [g/L], 0 to 150.
        excess_naoh_pct_ww: Excess soda a. [% w/w], 0 to 2.

    Returns:
        Specific gravity. [], expected error 0.5 to 1.5 %.

    Raises:
        ValueError: Out of range.

    Notes:
        Below 3 % the correction is under 4 % and the label's own error dominates.

    Source:
        Fit (derived) to supplier data: SG 1.157 at 120 g/L without excess soda, 1.168 with
        0.73 % (found); 6 % w/w given as 6.17 trade per cent (found).
    """
    a = within("chlorine_g_per_l", chlorine_g_per_l, "g/L", 0, _MAX_CHLORINE_G_PER_L)
    naoh = within("excess_naoh_pct_ww", excess_naoh_pct_ww, "% w/w", 0, 2)
    return 1 + SG_PER_G_PER_L * a + SG_PER_PCT_NAOH * naoh


def density_g_per_ml(concentration_pct_wv: float, excess_naoh_pct_ww: float = 0.0) -> float:
    """
    Density at 20 °C.

        rho = 0.9982 SG

    Args:
        concentration_pct_wv: NaOCl. [% w/v], 0 to 15.75.
        excess_naoh_pct_ww: Excess soda. [% w/w], 0 to 2.

    Returns:
        Density. [g/mL]

    Raises:
        ValueError: Out of range.

    Source:
        As `specific_gravity`.
    """
    return WATER_20C_G_PER_ML * specific_gravity(
        chlorine_g_per_l(concentration_pct_wv), excess_naoh_pct_ww
    )


def pct_wv_from_pct_ww(concentration_pct_ww: float, excess_naoh_pct_ww: float = 0.0) -> float:
    """
    Strength by volume from strength by mass.

        C = w rho(C),   closed form  C = w 0.9982 (1 + 0.015 a) / (1 - 0.9982 0.001308 10 f w)

    Args:
        concentration_pct_ww: NaOCl w. [% w/w], 0 to 13.1.
        excess_naoh_pct_ww: Excess soda a. [% w/w], 0 to 2.

    Returns:
        NaOCl. [% w/v]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(pct_wv_from_pct_ww(5.25), 3)
        5.607

    Source:
        Derived from `density_g_per_ml`.
    """
    w = within("concentration_pct_ww", concentration_pct_ww, "% w/w", 0, 13.1)
    naoh = within("excess_naoh_pct_ww", excess_naoh_pct_ww, "% w/w", 0, 2)
    slope = WATER_20C_G_PER_ML * SG_PER_G_PER_L * 10 * CHLORINE_PER_NAOCL
    return w * WATER_20C_G_PER_ML * (1 + SG_PER_PCT_NAOH * naoh) / (1 - slope * w)


def pct_ww_from_pct_wv(concentration_pct_wv: float, excess_naoh_pct_ww: float = 0.0) -> float:
    """
    Strength by mass from strength by volume.

        w = C / rho(C)

    Args:
        concentration_pct_wv: NaOCl. [% w/v], 0 to 15.75.
        excess_naoh_pct_ww: Excess soda. [% w/w], 0 to 2.

    Returns:
        NaOCl. [% w/w]

    Raises:
        ValueError: Out of range.

    Source:
        Definition; density as `density_g_per_ml`.
    """
    return concentration_pct_wv / density_g_per_ml(concentration_pct_wv, excess_naoh_pct_ww)


def pct_wv(value: float, basis: Basis, excess_naoh_pct_ww: float = 0.0) -> float:
    """
    NaOCl by volume from a label's number on its stated basis.

    Args:
        value: The label's number, in the unit of its basis, >= 0.
        basis: What the number is a number of; none is assumed.
        excess_naoh_pct_ww: Excess soda, for the w/w bases. [% w/w], 0 to 2.

    Returns:
        NaOCl. [% w/v]

    Raises:
        ValueError: Out of range, or a basis that is not one of `BASES`.

    Examples:
        >>> round(pct_wv(12.5, "chlorine_pct_wv"), 2)
        13.12

    Source:
        Trade per cent = A / 10 = f C; degrees D = A / 3.17 (found); mg/L = 1000 A.
    """
    match basis:
        case "pct_wv":
            return within("value", value, "% w/v", 0, 15.75)
        case "pct_ww":
            return pct_wv_from_pct_ww(value, excess_naoh_pct_ww)
        case "chlorine_pct_wv":
            chlorine = 10 * within("value", value, "% w/v available chlorine", 0, 15)
        case "chlorine_pct_ww":
            return pct_wv_from_pct_ww(
                within("value", value, "% w/w available chlorine", 0, 12.47) / CHLORINE_PER_NAOCL,
                excess_naoh_pct_ww,
            )
        case "chlorine_g_per_l":
            chlorine = within("value", value, "g/L available chlorine", 0, 150)
        case "chlorine_mg_per_l":
            chlorine = within("value", value, "mg/L available chlorine", 0, 150_000) / 1000
        case "degrees":
            chlorine = G_PER_L_PER_DEGREE * within("value", value, "chlorometric degrees", 0, 47.3)
        case _:
            raise ValueError(f"basis: found {basis!r}, expected one of {', '.join(BASES)}")
    return chlorine / (10 * CHLORINE_PER_NAOCL)


def molar(concentration_pct_wv: float) -> float:
    """
    Amount of NaOCl by volume.

        M = 10 C / 74.442

    Args:
        concentration_pct_wv: NaOCl. [% w/v], 0 to 15.75.

    Returns:
        Amount. [mol/L]

    Raises:
        ValueError: Out of range.

    Source:
        Definition of molarity.
    """
    return (
        10
        * within("concentration_pct_wv", concentration_pct_wv, "% w/v", 0, 15.75)
        / (NAOCL_G_PER_MOL)
    )


def hypochlorous_pka(celsius: float) -> float:
    """
    Acid exponent of hypochlorous acid.

        pKa = 3000.00 / T - 10.0686 + 0.0253 T,   T in kelvin

    Args:
        celsius: Temperature. [°C], 0 to 60; measured from 5 to 35, beyond it extrapolated.

    Returns:
        pKa. []

    Raises:
        ValueError: Out of range.

    Examples:
        >>> round(hypochlorous_pka(25), 4)
        7.5366

    Source:
        Morris, The acid ionization constant of HOCl from 5 to 35 °C, J Phys Chem 1966;70:3798
        (memory, high; the formula found in public source code).
    """
    kelvin = within("celsius", celsius, "°C", 0, 60) + 273.15
    return 3000.00 / kelvin - 10.0686 + 0.0253 * kelvin


def hypochlorous_share(ph: float, celsius: float) -> float:
    """
    Share of free chlorine that is hypochlorous acid.

        f = 1 / (1 + 10^(pH - pKa))

    Args:
        ph: pH. [], 5 to 14; below 5 chlorine itself appears and this split no longer holds.
        celsius: Temperature. [°C], 0 to 60.

    Returns:
        HOCl / (HOCl + OCl-). [], 0 to 1.

    Raises:
        ValueError: Out of range.

    Source:
        Henderson-Hasselbalch with `hypochlorous_pka`.
    """
    return 1 / (1 + 10 ** (within("ph", ph, "", 5, 14) - hypochlorous_pka(celsius)))
