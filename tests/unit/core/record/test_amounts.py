"""Readings of a syringe share what was measured, to the last microlitre."""

from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.record.amounts import shared
from canalclock.core.record.events import How, IrrigantDelivered


def delivered(n: int, volume_ul: int | None, how: How = "planned") -> IrrigantDelivered:
    return IrrigantDelivered(
        id=f"d{n:03}", visit="v", device="p", device_seq=n, staff="assistant-1",
        occurred_at_ms=1000 * n, device_clock_ms=1000 * n, clock_error_ms=0,
        site="mb", syringe="s", volume_ul=volume_ul, how=how,
    )  # fmt: skip


amounts = st.lists(st.integers(0, 5000), min_size=1, max_size=9)


@given(amounts, st.integers(0, 20_000))
def test_shares_sum_exactly_to_what_the_syringe_lost(volumes: list[int], used_ul: int) -> None:
    stretch = [delivered(n, volume) for n, volume in enumerate(volumes)]
    shares = shared(stretch, used_ul)
    if sum(volumes) == 0:
        assert shares is None
    else:
        assert shares is not None
        assert sum(shares.values()) == used_ul
        assert all(share >= 0 for share in shares.values())


@given(amounts)
def test_a_reading_that_agrees_changes_nothing(volumes: list[int]) -> None:
    stretch = [delivered(n, volume) for n, volume in enumerate(volumes)]
    shares = shared(stretch, sum(volumes))
    if sum(volumes):
        assert shares == {d.id: d.volume_ul for d in stretch}


def test_measured_amounts_are_left_alone() -> None:
    stretch = [delivered(1, 1000, "timed"), delivered(2, 1000), delivered(3, 1000)]
    assert shared(stretch, 4000) == {"d002": 1500, "d003": 1500}


def test_the_spare_microlitre_goes_to_the_largest_fraction_then_the_first() -> None:
    stretch = [delivered(1, 1000), delivered(2, 1000), delivered(3, 1000)]
    assert shared(stretch, 1000) == {"d001": 334, "d002": 333, "d003": 333}


def test_an_unknown_amount_is_never_guessed() -> None:
    assert shared([delivered(1, None), delivered(2, 1000)], 3000) is None


def test_less_than_was_measured_cannot_be_shared() -> None:
    assert shared([delivered(1, 2000, "read"), delivered(2, 1000)], 1500) is None
