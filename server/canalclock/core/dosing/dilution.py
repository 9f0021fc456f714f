"""Dilution and mixing, in amounts per volume; volumes are taken as additive.

All strengths here are % w/v; another basis is converted first (strength.py).
"""

import math

from msgspec import Struct

from canalclock.core.dosing.ranges import within


class Dilution(Struct, frozen=True, kw_only=True):
    """What to draw of a stock and of a diluent."""

    stock_ml: float
    diluent_ml: float


class Blend(Struct, frozen=True, kw_only=True):
    """What to draw of two stocks."""

    first_ml: float
    second_ml: float


def dilution(target_pct_wv: float, volume_ml: float, stock_pct_wv: float) -> Dilution:
    """
    Stock and diluent for a wanted volume and strength.

        V_stock = V C_target / C_stock,   V_diluent = V - V_stock

    Args:
        target_pct_wv: Wanted strength. [% w/v], > 0.
        volume_ml: Wanted volume. [mL], > 0.
        stock_pct_wv: Strength of the stock, aged or titrated if known. [% w/v], > 0.

    Returns:
        Volumes. [mL]

    Raises:
        ValueError: Out of range, or a target above the stock.

    Examples:
        >>> round(dilution(2.5, 100, 5.0).stock_ml, 6)
        50.0

    Notes:
        Nominal: labels were found 14.3 % below to 23.5 % above what the bottle held.

    Source:
        Conservation of amount (definition). Label truth: van der Waal et al., Int Endod J 2014
        (found).
    """
    target = within("target_pct_wv", target_pct_wv, "% w/v", 0, 100, above_low=True)
    volume = within("volume_ml", volume_ml, "mL", 0, above_low=True)
    stock = within("stock_pct_wv", stock_pct_wv, "% w/v", 0, 100, above_low=True)
    if target > stock:
        raise ValueError(
            f"target_pct_wv: found {target:g} % w/v, expected at most the stock's {stock:g} % w/v:"
            " dilution cannot make a solution stronger"
        )
    return Dilution(
        stock_ml=volume * (target / stock), diluent_ml=volume * ((stock - target) / stock)
    )


def blend_pct_wv(
    first_pct_wv: float, first_ml: float, second_pct_wv: float, second_ml: float
) -> float:
    """
    Strength of two solutions of one irrigant put together.

        C = (C1 V1 + C2 V2) / (V1 + V2)

    Args:
        first_pct_wv: Strength. [% w/v], 0 to 100.
        first_ml: Volume. [mL], >= 0.
        second_pct_wv: Strength. [% w/v], 0 to 100.
        second_ml: Volume. [mL], >= 0; not both zero.

    Returns:
        Strength. [% w/v]

    Raises:
        ValueError: Out of range, or no volume at all.

    Examples:
        >>> round(blend_pct_wv(5.25, 30, 1.0, 20), 9)
        3.55

    Source:
        Conservation of amount (definition).
    """
    c1 = within("first_pct_wv", first_pct_wv, "% w/v", 0, 100)
    c2 = within("second_pct_wv", second_pct_wv, "% w/v", 0, 100)
    v1 = within("first_ml", first_ml, "mL")
    v2 = within("second_ml", second_ml, "mL")
    if v1 + v2 == 0:
        raise ValueError("first_ml: found 0 mL and second_ml 0 mL, expected some volume")
    return (c1 * v1 + c2 * v2) / (v1 + v2)


def blend(
    target_pct_wv: float, volume_ml: float, first_pct_wv: float, second_pct_wv: float
) -> Blend:
    """
    Volumes of two stocks of one irrigant for a wanted volume and strength.

        V1 / V2 = (C - C2) / (C1 - C)

    Args:
        target_pct_wv: Wanted strength, between the two. [% w/v]
        volume_ml: Wanted volume. [mL], > 0.
        first_pct_wv: Strength. [% w/v], 0 to 100.
        second_pct_wv: Strength. [% w/v], 0 to 100.

    Returns:
        Volumes. [mL]

    Raises:
        ValueError: Out of range, or a target outside the two strengths.

    Source:
        Conservation of amount (definition).
    """
    c1 = within("first_pct_wv", first_pct_wv, "% w/v", 0, 100)
    c2 = within("second_pct_wv", second_pct_wv, "% w/v", 0, 100)
    low, high = min(c1, c2), max(c1, c2)
    c = within("target_pct_wv", target_pct_wv, "% w/v", 0, 100)
    volume = within("volume_ml", volume_ml, "mL", 0, above_low=True)
    if not low <= c <= high:
        raise ValueError(
            f"target_pct_wv: found {c:g} % w/v, expected between the stocks' {low:g} and {high:g}"
            " % w/v: mixing cannot reach beyond either"
        )
    if math.isclose(c1, c2, rel_tol=1e-12, abs_tol=0.0):
        return Blend(first_ml=volume, second_ml=0.0)
    return Blend(
        first_ml=volume * ((c - c2) / (c1 - c2)), second_ml=volume * ((c1 - c) / (c1 - c2))
    )
