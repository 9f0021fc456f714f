"""Teeth in three notations against a printed crosswalk, and the canals they usually have."""

import unicodedata

import pytest

from canalclock.core.anatomy import (
    all_teeth,
    default_canals,
    form_of,
    from_symbol,
    from_universal,
    is_plausible,
    is_primary,
    quadrant_name,
    symbol,
    tooth_of,
    universal,
)

CROSSWALK = """
    11 8 1⏌  21 9 ⎿1  31 24 ⎾1  41 25 1⏋
    12 7 2⏌  22 10 ⎿2  32 23 ⎾2  42 26 2⏋
    13 6 3⏌  23 11 ⎿3  33 22 ⎾3  43 27 3⏋
    14 5 4⏌  24 12 ⎿4  34 21 ⎾4  44 28 4⏋
    15 4 5⏌  25 13 ⎿5  35 20 ⎾5  45 29 5⏋
    16 3 6⏌  26 14 ⎿6  36 19 ⎾6  46 30 6⏋
    17 2 7⏌  27 15 ⎿7  37 18 ⎾7  47 31 7⏋
    18 1 8⏌  28 16 ⎿8  38 17 ⎾8  48 32 8⏋
    51 E A⏌  61 F ⎿A  71 O ⎾A  81 P A⏋
    52 D B⏌  62 G ⎿B  72 N ⎾B  82 Q B⏋
    53 C C⏌  63 H ⎿C  73 M ⎾C  83 R C⏋
    54 B D⏌  64 I ⎿D  74 L ⎾D  84 S D⏋
    55 A E⏌  65 J ⎿E  75 K ⎾E  85 T E⏋
"""
"""ISO 3950, Universal, quadrant symbol. Source: crosswalk of all teeth in the HL7 dental data
exchange guide (its last row, 85 = T, recalled); symbols by their names in Unicode."""


def rows() -> list[tuple[str, str, str]]:
    words = CROSSWALK.split()
    return [(words[n], words[n + 1], words[n + 2]) for n in range(0, len(words), 3)]


def test_all_52_teeth_stand_in_the_crosswalk() -> None:
    assert sorted(row[0] for row in rows()) == sorted(all_teeth())
    assert len(rows()) == 52


@pytest.mark.parametrize(("iso", "number", "sign"), rows())
def test_each_notation_goes_there_and_back(iso: str, number: str, sign: str) -> None:
    assert universal(iso) == number
    assert symbol(iso) == sign
    assert from_universal(number) == iso
    assert from_symbol(sign) == iso


def test_the_corner_is_that_of_the_quadrant() -> None:
    names = {q: unicodedata.name(symbol(f"{q}1").strip("1")) for q in range(1, 5)}
    start = "DENTISTRY SYMBOL LIGHT VERTICAL AND "
    assert names == {
        1: start + "BOTTOM LEFT", 2: start + "BOTTOM RIGHT",
        3: start + "TOP RIGHT", 4: start + "TOP LEFT",
    }  # fmt: skip


def test_quadrants_can_be_written_without_symbols() -> None:
    assert [quadrant_name(t) for t in ("16", "26", "36", "46", "55", "71")] == [
        "UR6", "UL6", "LL6", "LR6", "URE", "LLA",
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["19", "56", "86", "00", "1", "116", "a1", "１６", "-1", "", "9 "])
def test_what_is_no_tooth_is_refused_with_what_was_expected(text: str) -> None:
    with pytest.raises(ValueError, match="expected an ISO 3950 code"):
        tooth_of(text)


@pytest.mark.parametrize("text", ["0", "33", "a", "U", "", "01"])
def test_what_is_no_universal_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="expected 1 to 32"):
        from_universal(text)


@pytest.mark.parametrize("text", ["\u23cc6", "6\u23bf", "9\u23cc", "6", "F\u23cc"])
def test_a_corner_on_the_wrong_side_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="corner"):
        from_symbol(text)


def test_the_usual_canals() -> None:
    assert default_canals("16") == default_canals("26") == ("mb1", "mb2", "db", "p")
    assert default_canals("36") == default_canals("46") == ("mb", "ml", "d")
    assert default_canals("14") == ("b", "p")
    assert default_canals("11") == default_canals("71") == ("single",)
    assert default_canals("75") == ("mb", "ml", "db", "dl")
    assert is_plausible("17", "mb2") and not is_plausible("17", "dl")


def test_every_tooth_has_a_form_that_agrees_with_itself() -> None:
    for tooth in all_teeth():
        form = form_of(tooth)
        assert form.fewest <= len(form.canals) <= form.most
        assert not set(form.canals) & set(form.also)
        assert (form.length_um is None) == is_primary(tooth)
        assert form.length_um is None or 17_000 <= form.length_um <= 27_000
    assert form_of("16").palatal_length_um == 20_500
    assert form_of("23").length_um == 27_000
