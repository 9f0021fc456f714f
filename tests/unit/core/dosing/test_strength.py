"""Strength against supplier tables, legal definitions and arithmetic.

`row` is the number of the evidence's check row; `tag` is how its source was known.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.dosing import strength


@pytest.mark.parametrize(
    ("row", "got", "expected", "within", "source"),
    [
        (1, strength.CHLORINE_PER_NAOCL, 0.95250, 0.00001, "molar masses; found"),
        (2, 6.00 * strength.CHLORINE_PER_NAOCL, 5.71, 0.01, "bleach strength table; found"),
        (3, 5.25 * strength.CHLORINE_PER_NAOCL, 5.00, 0.01, "bleach strength table; found"),
        (3, 8.25 * strength.CHLORINE_PER_NAOCL, 7.86, 0.01, "bleach strength table; found"),
        (
            4,
            strength.chlorine_g_per_l(strength.pct_wv_from_pct_ww(6.00)) / 10,
            6.17,
            0.02,
            "bleach strength table; found",
        ),
        (
            5,
            strength.pct_ww_from_pct_wv(strength.pct_wv(10, "chlorine_pct_wv")),
            9.24,
            0.08,
            "bleach strength table; found",
        ),
        (
            5,
            strength.pct_ww_from_pct_wv(strength.pct_wv(12.5, "chlorine_pct_wv")),
            11.34,
            0.08,
            "bleach strength table; found",
        ),
        (6, 142 / strength.CHLORINE_PER_NAOCL / (10 * 1.196), 12.5, 0.05, "supplier sheet; found"),
        (6, 142 / (10 * 1.196), 11.9, 0.05, "supplier sheet; found"),
        (7, strength.specific_gravity(120, 0), 1.157, 0.001, "supplier handbook; found"),
        (7, strength.specific_gravity(120, 0.2), 1.160, 0.001, "supplier handbook; found"),
        (7, strength.specific_gravity(120, 0.73), 1.168, 0.001, "supplier handbook; found"),
        (8, strength.specific_gravity(142, 0.6), 1.196, 0.006, "supplier sheet; found"),
        (9, 9 * strength.G_PER_L_PER_DEGREE, 28.5, 0.2, "legal text on degrees; found"),
        (9, 12 * strength.G_PER_L_PER_DEGREE, 38, 0.2, "legal text on degrees; found"),
        (9, 36 * strength.G_PER_L_PER_DEGREE, 114, 0.2, "legal text on degrees; found"),
        (9, 48 * strength.G_PER_L_PER_DEGREE, 152, 0.2, "legal text on degrees; found"),
        (10, strength.chlorine_g_per_l(2.5), 23.812, 0.0024, "arithmetic"),
        (10, strength.molar(2.5), 0.33583, 0.000034, "arithmetic"),
        (10, 1000 * strength.chlorine_g_per_l(2.5), 23812, 2.4, "arithmetic"),
        (11, strength.pct_wv_from_pct_ww(5.25), 5.6066, 0.001, "density fit; derived"),
        (12, strength.pct_wv_from_pct_ww(12.5), 14.774, 0.005, "density fit; derived"),
        (14, strength.chlorine_g_per_l(0.5) / strength.G_PER_L_PER_DEGREE, 1.50, 0.01, "found"),
        (15, strength.hypochlorous_pka(25), 7.5366, 0.0005, "Morris 1966; memory, form found"),
        (15, strength.hypochlorous_pka(20), 7.5818, 0.0005, "Morris 1966; memory, form found"),
        (15, strength.hypochlorous_pka(37), 7.4509, 0.0005, "Morris 1966; memory, form found"),
        (16, strength.hypochlorous_pka(25), 7.53, 0.02, "independent value; found"),
        (17, strength.hypochlorous_share(7.5, 25), 0.5211, 0.0005, "Morris 1966"),
        (18, strength.hypochlorous_share(12, 25), 3.441e-5, 0.002 * 3.441e-5, "Morris 1966"),
    ],
)
def test_strength_agrees_with_its_sources(
    row: int, got: float, expected: float, within: float, source: str
) -> None:
    assert abs(got - expected) <= within, (row, source)


@given(st.floats(0.5, 15))
def test_by_volume_and_by_mass_go_there_and_back(concentration_pct_wv: float) -> None:
    # row 13
    there = strength.pct_ww_from_pct_wv(concentration_pct_wv)
    assert math.isclose(strength.pct_wv_from_pct_ww(there), concentration_pct_wv, rel_tol=1e-9)


@given(st.floats(0, 60))
def test_half_is_acid_where_the_ph_is_the_exponent(celsius: float) -> None:
    # row 19
    share = strength.hypochlorous_share(strength.hypochlorous_pka(celsius), celsius)
    assert math.isclose(share, 0.5, rel_tol=1e-12)


def test_five_per_cent_means_five_things() -> None:
    # worked example 5 of the evidence, g/L available chlorine
    readings = {
        basis: strength.chlorine_g_per_l(strength.pct_wv(5, basis))
        for basis in ("pct_wv", "pct_ww", "chlorine_pct_wv", "chlorine_pct_ww", "degrees")
    }
    expected = {
        "pct_wv": 47.6, "pct_ww": 50.7, "chlorine_pct_wv": 50.0, "chlorine_pct_ww": 53.4,
        "degrees": 15.9,
    }  # fmt: skip
    assert readings == pytest.approx(expected, abs=0.0501)


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf, 99.0])
@pytest.mark.parametrize("basis", strength.BASES)
def test_a_strength_out_of_range_is_refused_with_its_unit(
    value: float, basis: strength.Basis
) -> None:
    value = value if value != 99.0 else 1e9
    with pytest.raises(ValueError, match="expected"):
        strength.pct_wv(value, basis)


def test_a_basis_nobody_knows_is_refused() -> None:
    with pytest.raises(ValueError, match="basis: found 'percent'"):
        strength.pct_wv(5, "percent")  # type: ignore[arg-type]
