"""Cells of CSV: no formulas, bare numbers, the text back by the stated rule."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as some

from canalclock.core.figures import ml
from canalclock.render.cells import Number, guarded, row, unguarded

HOSTILE = (
    "=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("http://x","y")', "\t=1+1", "\r=1", "\n=1+1",
    " =1+1", "\u00a0=1+1", "＝1+1", ";=1+1", "a; -1", "'=1", "''=1", "a\n=b", "x,\"y\";z\r\n@w",
)  # fmt: skip
STARTS = tuple("=+-@＝＋－＠")


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_begins_a_formula_at_any_place_where_a_cell_may_begin(text: str) -> None:
    for break_at in (";", "\t", "\r", "\n"):
        for part in guarded(text).split(break_at):
            assert not part.strip().startswith(STARTS)


@given(some.text(alphabet=some.sampled_from("=+-@'; \t\r\nab,\"＝"), max_size=12))
def test_the_text_comes_back_by_the_stated_rule(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(some.text(max_size=30))
def test_any_text_comes_back_through_a_strict_reader(text: str) -> None:
    line = row(["a", text, "z"])
    (read,) = csv.reader(io.StringIO(line, newline=""), strict=True)
    assert (read[0], unguarded(read[1]), read[2]) == ("a", text, "z")


def test_numbers_stay_bare_a_negative_one_too() -> None:
    assert row([Number(ml(2500)), Number(ml(-2500)), -3, None, True]) == "2.5,-2.5,-3,,yes\r\n"


def test_plain_text_is_left_as_it_is() -> None:
    assert row(["mb1", "µL ≤ 5.25 %", "Łukasz"]) == "mb1,µL ≤ 5.25 %,Łukasz\r\n"
