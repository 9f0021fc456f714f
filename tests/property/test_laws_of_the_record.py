"""Laws that hold for every visit, however it was recorded."""

import random
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.record.fold import fold
from canalclock.core.record.totals import Totals, totals
from canalclock.core.record.values import Record
from tests import builders as b
from tests.property.visits import Raw, instants, visits

KIT = b.a_kit()


def record_of(events: list[Raw]) -> Record:
    """The record of events in that order of arrival."""
    return fold(KIT, [b.read(event) for event in events])


def figures_in(value: Any) -> Iterator[int]:
    """Every whole number anywhere in a value."""
    if isinstance(value, bool):
        return
    if isinstance(value, int):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from figures_in(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from figures_in(part)


@given(visits(), st.randoms(use_true_random=False))
def test_every_order_of_arrival_gives_the_same_record(
    events: list[Raw], order: random.Random
) -> None:
    shuffled = events.copy()
    order.shuffle(shuffled)
    assert record_of(shuffled) == record_of(events)


@given(visits(), st.data())
def test_repetition_and_split_give_the_same_record(events: list[Raw], data: st.DataObject) -> None:
    cut = data.draw(st.integers(0, len(events)))
    again = data.draw(st.lists(st.sampled_from(events), max_size=8))
    assert record_of(events[cut:] + again + events[:cut] + again) == record_of(events)


@given(visits(), instants)
def test_the_same_set_gives_the_same_totals(events: list[Raw], as_of_ms: int) -> None:
    one, other = record_of(events), record_of(events[::-1] + events)
    assert totals(one, as_of_ms) == totals(other, as_of_ms)


@given(visits(), instants)
def test_canals_and_chamber_sum_to_the_tooth(events: list[Raw], as_of_ms: int) -> None:
    figures = totals(record_of(events), as_of_ms)
    sums: dict[tuple[str, int | None], list[int]] = defaultdict(lambda: [0, 0])
    for row in figures.volumes:
        into = sums[row.irrigant, row.concentration_mg_per_l]
        into[0] += row.volume_ul
        into[1] += row.passed_ng or 0
    assert {
        (row.irrigant, row.concentration_mg_per_l): [row.volume_ul, row.passed_ng or 0]
        for row in figures.tooth
    } == dict(sums)


@given(visits())
def test_a_site_at_least_or_about_makes_the_tooth_so(events: list[Raw]) -> None:
    figures = totals(record_of(events), 600_000)
    for row in figures.tooth:
        parts = [
            part
            for part in figures.volumes
            if (part.irrigant, part.concentration_mg_per_l)
            == (row.irrigant, row.concentration_mg_per_l)
        ]
        assert row.at_least == any(part.at_least for part in parts)
        assert row.about == any(part.about for part in parts)


@given(visits(), instants)
def test_no_figure_is_negative(events: list[Raw], as_of_ms: int) -> None:
    figures = msgspec.to_builtins(totals(record_of(events), as_of_ms))
    assert min(figures_in(figures)) >= 0


@given(visits(), instants)
def test_contents_at_one_depth_follow_each_other_within_the_visit(
    events: list[Raw], as_of_ms: int
) -> None:
    """All contents of a depth together can never be there longer than the visit lasted."""
    record = record_of(events)
    for account in (record.slices, record.carried):
        for part in account:
            end = 0
            for stay in part.stays:
                assert stay.start_ms >= end
                assert stay.end_ms is None or stay.end_ms >= stay.start_ms
                end = stay.start_ms if stay.end_ms is None else stay.end_ms
            assert all(stay.end_ms is not None for stay in part.stays[:-1])
    assert all(row.contact_ms <= as_of_ms for row in totals(record, as_of_ms).depths)


@given(visits(), instants)
def test_the_parts_of_a_figure_never_exceed_it(events: list[Raw], as_of_ms: int) -> None:
    figures = totals(record_of(events), as_of_ms)
    for depth in figures.depths:
        assert depth.contact_ms > 0
        assert max(depth.fresh_ms, depth.activated_ms) <= depth.contact_ms
        assert depth.to_um is None or depth.from_um < depth.to_um
    for row in figures.headlines:
        inside = (row.orifice_ms, row.longest_run_ms, row.fresh_ms, row.activated_ms)
        assert max(inside) <= row.anywhere_ms
        if row.last_3mm_least_ms is not None and row.last_3mm_mean_ms is not None:
            assert row.last_3mm_least_ms <= row.last_3mm_mean_ms <= row.anywhere_ms


@given(visits(), instants)
def test_slices_of_a_canal_do_not_overlap_and_depth_rows_are_merged(
    events: list[Raw], as_of_ms: int
) -> None:
    rows: dict[tuple[str, str, int | None], list[Any]] = defaultdict(list)
    for row in totals(record_of(events), as_of_ms).depths:
        rows[row.site, row.irrigant, row.concentration_mg_per_l].append(row)
    for own in rows.values():
        for upper, lower in pairwise(own):
            assert upper.to_um is not None and upper.to_um <= lower.from_um
            if upper.to_um == lower.from_um:
                assert (upper.contact_ms, upper.fresh_ms, upper.activated_ms) != (
                    lower.contact_ms,
                    lower.fresh_ms,
                    lower.activated_ms,
                )


def anywhere(figures: Totals) -> dict[tuple[str, str], int]:
    """Contact anywhere by canal and irrigant."""
    return {(row.site, row.irrigant): row.anywhere_ms for row in figures.headlines}


@given(visits(), instants, instants)
def test_contact_only_grows_as_time_goes_on(events: list[Raw], one: int, other: int) -> None:
    record = record_of(events)
    before, after = (anywhere(totals(record, at)) for at in sorted((one, other)))
    assert all(contact <= after[key] for key, contact in before.items())


@given(visits(), st.data())
def test_more_of_the_same_never_lessens_its_contact(events: list[Raw], data: st.DataObject) -> None:
    """The same again, with the same tip, in the instant in which a delivery ended."""
    given_out = [e for e in events if e["kind"] == "irrigant_delivered" and "contents" in e]
    amended = {e["entry"] for e in events if "entry" in e}
    given_out = [e for e in given_out if e["id"] not in amended]
    if not given_out:
        return
    once = data.draw(st.sampled_from(given_out))
    again = once | {"id": once["id"] + "~", "duration_ms": 0}
    before = anywhere(totals(record_of(events), 600_000))
    after = anywhere(totals(record_of([*events, again]), 600_000))
    for component in once["contents"]:
        for (site, irrigant), contact in before.items():
            if irrigant == component["irrigant"]:
                assert after[site, irrigant] >= contact


@given(visits())
def test_a_finding_cites_only_what_is_on_record(events: list[Raw]) -> None:
    record = record_of(events)
    ids = {event["id"] for event in events}
    sites = {canal.canal for canal in record.canals} | {"chamber"}
    sites |= {str(event.get("site", event.get("canal"))) for event in events}
    for finding in record.findings:
        assert set(finding.events) <= ids, finding
        assert set(finding.sites) <= sites, finding


@given(visits())
def test_voiding_every_act_leaves_no_contact_of_them(events: list[Raw]) -> None:
    """What nobody did was never there; only what was left in before the visit remains."""
    plain = [e for e in events if "entry" not in e]
    hand = b.Chair("hand")
    for event in plain:
        if event["kind"] != "visit_opened":
            hand.voided(event["id"], 600_000)
    record = record_of(plain + hand.events)
    left_in = {c["irrigant"] for left in plain[0]["present_at_start"] for c in left["contents"]}
    figures = totals(record, 600_000)
    assert {row.irrigant for row in figures.headlines} <= left_in
    assert figures.volumes == ()
