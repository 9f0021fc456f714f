"""Strength as it probably was: only on request, with its low end and what it rests on."""

import pytest

from canalclock.core.dosing.storage import stored
from canalclock.core.record.fold import fold
from canalclock.core.strength_left import Kept, StrengthRow, strength_left
from tests.builders import EDTA, STRONG_HYPOCHLORITE, Chair, a_kit, a_visit, contents

DAY = 86_400_000


def told(chair: Chair, **kept: float) -> tuple[StrengthRow, ...]:
    return strength_left(a_kit(), fold(a_kit(), chair.read()), Kept(**kept))


def used(at_ms: int = 60_000) -> Chair:
    chair = a_visit("mb")
    chair.log("syringe_prepared", 1, syringe="n", contents=STRONG_HYPOCHLORITE)
    chair.delivered("mb", STRONG_HYPOCHLORITE, at_ms, syringe="n", contents=None)
    return chair


def test_a_stock_of_180_days_has_lost_what_the_evidence_file_says() -> None:
    # 5.25 %, 25 °C, 180 d: 4.424 % (chemistry 3.8, computed)
    (row,) = told(used(), stock_days=180, celsius=25)
    assert row.remaining_pct_wv == pytest.approx(4.424, abs=0.001)
    assert row.low_pct_wv < row.remaining_pct_wv
    assert (row.labelled_mg_per_l, row.syringe) == (52_500, "n")
    assert row.text.startswith("Model, not measured: 4.42 % w/v at best")


def test_a_stock_of_unknown_age_says_so() -> None:
    (row,) = told(used())
    assert row.remaining_pct_wv == pytest.approx(5.25, abs=0.001)
    assert "age is not on record" in row.text


def test_the_age_of_a_filling_runs_to_its_last_delivery() -> None:
    (row,) = told(used(30 * DAY + 1), stock_days=10, celsius=30)
    assert row.days == pytest.approx(40)
    assert row.remaining_pct_wv == pytest.approx(stored(5.25, [(40, 30)]).remaining_pct_wv)


def test_what_nobody_used_what_is_no_hypochlorite_and_what_is_unknown_has_no_row() -> None:
    chair = a_visit("mb")
    chair.log("syringe_prepared", 1, syringe="unused", contents=STRONG_HYPOCHLORITE)
    for name, what in (("e", EDTA), ("x", contents(sodium_hypochlorite=None))):
        chair.log("syringe_prepared", 1, syringe=name, contents=what)
        chair.delivered("mb", what, 60_000, syringe=name, contents=None)
    assert told(chair) == ()


def test_an_age_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="days"):
        told(used(), stock_days=-1)
