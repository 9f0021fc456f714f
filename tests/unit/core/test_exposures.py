"""Expected exposure: nominal by the label, the low end by consumption, and where it counts."""

import math

import pytest

from canalclock.core.exposures import ExposureRow, exposures
from canalclock.core.record.fold import fold
from tests.builders import EDTA, HYPOCHLORITE, WATER, Chair, a_kit, a_visit, contents

MIN = 60_000


def told(chair: Chair, as_of_ms: int) -> tuple[ExposureRow, ...]:
    return exposures(a_kit(), fold(a_kit(), chair.read()), as_of_ms)


def soaked(**more: object) -> Chair:
    """3 % from minute 0 to minute 5, then water."""
    chair = a_visit("mb")
    chair.delivered("mb", HYPOCHLORITE, 0, duration_ms=0, **more)
    chair.delivered("mb", WATER, 5 * MIN, duration_ms=0)
    return chair


def test_the_nominal_figure_is_strength_times_minutes() -> None:
    (row,) = told(soaked(), 10 * MIN)
    assert (row.site, row.irrigant, row.at_least) == ("mb", "sodium_hypochlorite", False)
    assert row.nominal_pct_min == pytest.approx(15.0)
    assert row.low_pct_min == pytest.approx(3 * (1 - math.exp(-0.3 * 5)) / 0.3)


def test_each_renewal_lifts_the_low_end_and_leaves_the_nominal_one() -> None:
    chair = a_visit("mb")
    for minute in range(5):
        chair.delivered("mb", HYPOCHLORITE, minute * MIN, duration_ms=0)
    chair.delivered("mb", WATER, 5 * MIN, duration_ms=0)
    (row,) = told(chair, 10 * MIN)
    assert row.nominal_pct_min == pytest.approx(15.0)
    assert row.low_pct_min == pytest.approx(5 * 3 * (1 - math.exp(-0.3)) / 0.3)


def test_the_last_3_mm_have_what_reached_them_and_nothing_else() -> None:
    (deep,) = told(soaked(tip_um=20_000), 10 * MIN)
    (short,) = told(soaked(tip_um=15_000), 10 * MIN)
    assert deep.last_3mm_nominal_pct_min == pytest.approx(15.0)
    assert (short.last_3mm_nominal_pct_min, short.last_3mm_low_pct_min) == (0.0, 0.0)
    assert short.nominal_pct_min == pytest.approx(15.0)


def test_without_a_working_length_nothing_is_said_of_the_last_3_mm() -> None:
    chair = Chair()
    chair.opened("mb")
    chair.delivered("mb", HYPOCHLORITE, 0, duration_ms=0)
    (row,) = told(chair, 5 * MIN)
    assert row.last_3mm_nominal_pct_min is None


def test_an_unknown_strength_counts_nothing_and_says_at_least() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", contents(sodium_hypochlorite=None), 0, duration_ms=0)
    (row,) = told(chair, 5 * MIN)
    assert (row.nominal_pct_min, row.at_least) == (0.0, True)


def test_only_hypochlorite_has_an_exposure() -> None:
    chair = a_visit("mb")
    chair.delivered("mb", EDTA, 0)
    assert told(chair, 5 * MIN) == ()


def test_a_canal_that_joins_another_sees_what_stood_in_the_shared_part() -> None:
    chair = a_visit("mb", "ml")
    chair.log("canal_set", 0, canal="ml", joins={"canal": "mb", "short_of_wl_um": 4_000})
    chair.delivered("mb", HYPOCHLORITE, 0, duration_ms=0)
    chair.delivered("mb", WATER, 5 * MIN, duration_ms=0)
    rows = {r.site: r for r in told(chair, 10 * MIN)}
    assert rows["ml"].last_3mm_nominal_pct_min == pytest.approx(15.0)


def test_the_low_end_never_passes_the_nominal_one() -> None:
    for minutes in (0, 1, 5, 60):
        chair = a_visit("mb")
        chair.delivered("mb", HYPOCHLORITE, 0, duration_ms=0)
        for row in told(chair, minutes * MIN):
            assert 0 <= row.low_pct_min <= row.nominal_pct_min
