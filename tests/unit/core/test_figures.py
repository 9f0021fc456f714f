"""Figures in the trade's units, exact and without trailing zeros."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as some

from canalclock.core.figures import distance, mg, ml, pct_wv, shifted, span
from canalclock.core.quantities import WHOLE_MAX


@given(small=some.integers(-WHOLE_MAX, WHOLE_MAX), places=some.integers(0, 9))
def test_a_shifted_figure_is_the_exact_decimal_and_has_no_trailing_zeros(
    small: int, places: int
) -> None:
    text = shifted(small, places)
    assert Decimal(text) == Decimal(small).scaleb(-places)
    assert not ("." in text and text.endswith(("0", ".")))


def test_the_trades_units() -> None:
    assert (ml(2500), ml(1), ml(0)) == ("2.5", "0.001", "0")
    assert pct_wv(52_500) == "5.25"
    assert mg(157_500_000) == "157.5"


@pytest.mark.parametrize(
    ("span_ms", "text"),
    [(0, "0 s"), (59_999, "59.999 s"), (60_000, "1 min"), (245_500, "4 min 5.5 s")],
)
def test_spans_for_reading(span_ms: int, text: str) -> None:
    assert span(span_ms) == text


@pytest.mark.parametrize(
    ("apart_ms", "text"),
    [(59_999, "59 s"), (60_000, "1 min"), (3_600_000, "1 h"), (172_800_000, "2 days")],
)
def test_distances_are_rounded_down(apart_ms: int, text: str) -> None:
    assert distance(apart_ms) == text
