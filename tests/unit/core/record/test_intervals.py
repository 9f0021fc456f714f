"""Sets of spans, held to a bare count of milliseconds."""

import itertools

from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.record.intervals import common, length_ms, longest_ms, merged
from canalclock.core.record.values import Interval

spans = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), max_size=8)


def covered(intervals: list[Interval]) -> set[int]:
    return {ms for start, end in intervals for ms in range(start, end)}


@given(spans)
def test_a_merged_set_covers_the_same_and_never_touches_itself(some: list[Interval]) -> None:
    whole = merged(some)
    assert covered(whole) == covered(some)
    assert all(a[1] < b[0] for a, b in itertools.pairwise(whole))


@given(spans, spans)
def test_what_is_common_is_the_intersection(one: list[Interval], other: list[Interval]) -> None:
    assert covered(common(one, other)) == covered(one) & covered(other)


@given(spans)
def test_length_counts_each_millisecond_once(some: list[Interval]) -> None:
    assert length_ms(some) == len(covered(some))
    assert longest_ms(some) <= length_ms(some)


def test_touching_spans_are_one_unbroken_run() -> None:
    assert longest_ms([(0, 10), (10, 25), (30, 40)]) == 25
