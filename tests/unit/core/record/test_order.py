"""Which pairs of acts have no certain order."""

from canalclock.core.record.events import IrrigantDelivered
from canalclock.core.record.order import clocked, key, uncertain_at_sites, uncertain_where_they_meet


def act(
    id_: str, at_ms: int, device: str, error_ms: int | None, site: str = "mb", by_hand: bool = False
) -> IrrigantDelivered:
    return IrrigantDelivered(
        id=id_, visit="v", device=device, device_seq=1, staff="assistant-1",
        occurred_at_ms=at_ms, device_clock_ms=at_ms, clock_error_ms=error_ms,
        dated_by_hand=by_hand, site=site, how="read",
    )  # fmt: skip


def pairs(*acts: IrrigantDelivered) -> list[tuple[str, str]]:
    return list(uncertain_at_sites(clocked(sorted(acts, key=key), frozenset())))


def test_closer_than_both_errors_together_is_uncertain() -> None:
    assert pairs(act("a", 1000, "p", 40), act("b", 1079, "r", 40)) == [("a", "b")]
    assert pairs(act("a", 1000, "p", 40), act("b", 1080, "r", 40)) == []


def test_one_device_knows_its_own_order() -> None:
    assert pairs(act("a", 1000, "p", 500), act("b", 1001, "p", 500)) == []


def test_two_sites_have_no_order_to_doubt() -> None:
    assert pairs(act("a", 1000, "p", 500, "mb"), act("b", 1001, "r", 500, "d")) == []


def test_an_unbounded_clock_is_doubted_against_its_neighbours_alone() -> None:
    acts = [act("a", 0, "p", 40), act("b", 90_000, "r", None), act("c", 990_000, "p", 40)]
    assert pairs(*acts) == [("a", "b"), ("b", "c")]


def test_a_time_typed_by_a_person_is_not_a_clock() -> None:
    assert pairs(act("a", 1000, "p", 500), act("b", 1001, "r", 500, by_hand=True)) == []


def test_a_wide_error_reaches_past_a_nearer_act() -> None:
    acts = [act("a", 1000, "p", 10), act("b", 1100, "p", 10), act("c", 1200, "r", 500)]
    assert pairs(*acts) == [("a", "c"), ("b", "c")]


def test_two_canals_meet_in_the_chamber() -> None:
    acts = [act("a", 1000, "p", 500, "mb"), act("b", 1001, "r", 500, "d")]
    assert list(uncertain_where_they_meet(acts)) == [("a", "b")]


def test_a_chamber_delivery_meets_every_canal() -> None:
    acts = [act("a", 1000, "p", 500, "chamber"), act("b", 1001, "r", 500, "d")]
    assert list(uncertain_where_they_meet(acts)) == [("a", "b")]
