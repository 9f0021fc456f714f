"""Laws of the guard: it is never silent for lack of a kit, and its order and levels hold."""

from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.guard import guard
from canalclock.core.record.fold import fold
from tests import builders as b
from tests.property.visits import CANALS, MIXES, Raw, instants, visits

KIT = b.a_kit()
mixes = st.sampled_from(MIXES)
places = st.sampled_from((*CANALS, "chamber", None))


@given(visits(), mixes, places, instants)
def test_without_a_kit_it_never_answers_nothing(
    events: list[Raw], what: b.Mix, where: str | None, at_ms: int
) -> None:
    record = fold(KIT, [b.read(event) for event in events])
    said = guard(None, record, b.an_act(what, where, at_ms))
    assert [(warning.rule, warning.level) for warning in said] == [("guard_unavailable", "note")]


@given(visits(), mixes, places, instants)
def test_holds_come_first_and_nothing_is_said_twice(
    events: list[Raw], what: b.Mix, where: str | None, at_ms: int
) -> None:
    record = fold(KIT, [b.read(event) for event in events])
    said = guard(KIT, record, b.an_act(what, where, at_ms))
    ranks = [("hold", "caution", "note").index(warning.level) for warning in said]
    assert ranks == sorted(ranks)
    keys = [(warning.rule, warning.level, warning.about) for warning in said]
    assert len(keys) == len(set(keys))


@given(visits(), mixes, places, instants, st.randoms(use_true_random=False))
def test_it_depends_on_the_set_of_events_alone(
    events: list[Raw], what: b.Mix, where: str | None, at_ms: int, order: object
) -> None:
    act = b.an_act(what, where, at_ms)
    one = guard(KIT, fold(KIT, [b.read(event) for event in events]), act)
    other = guard(KIT, fold(KIT, [b.read(event) for event in events[::-1] + events]), act)
    assert one == other


@given(st.lists(mixes, max_size=6), st.integers(0, 2))
def test_hypochlorite_unrinsed_anywhere_holds_chlorhexidine(
    before: list[b.Mix], where: int
) -> None:
    """Whatever followed it without a rinse that both tolerate, every residue is looked at."""
    chair = b.a_visit(*CANALS)
    chair.delivered(CANALS[where], b.HYPOCHLORITE, 10_000)
    for number, mix in enumerate(before):
        if mix not in (b.WATER, b.SALINE):
            chair.delivered("mb", mix, 20_000 + 10_000 * number, volume_ul=100)
    said = guard(KIT, fold(KIT, chair.read()), b.an_act(b.CHLORHEXIDINE, "mb", 300_000))
    holds = [w for w in said if w.about == "chlorhexidine+sodium_hypochlorite"]
    assert [w.level for w in holds] == ["hold"]
    assert {CANALS[where], "chamber"} <= set(holds[0].sites)
