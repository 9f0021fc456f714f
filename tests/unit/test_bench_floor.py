"""The floor of `poe bench` does the work it stands for: it comes to the fold's own volumes."""

from canalclock.core.plan import draw_up
from canalclock.core.record.fold import fold
from canalclock.core.record.totals import totals
from tests.bench.floor import bare_loop, bare_steps
from tests.bench.visit import EVENTS, the_kit, the_visit


def test_the_bare_loop_comes_to_the_volumes_of_the_record() -> None:
    events = the_visit()
    assert len(events) == EVENTS
    contact, volume = bare_loop(events)
    rows = totals(fold(the_kit(), events), 10**12).volumes
    assert volume == {(r.site, r.irrigant): r.volume_ul for r in rows}
    assert set(contact) == set(volume)
    assert all(ms > 0 for ms in contact.values())


def test_the_bare_steps_come_to_what_is_drawn_up() -> None:
    protocol = the_kit().protocol
    assert protocol is not None
    drawn = {d.solution.solution: d.volume_ul for d in draw_up(protocol, 4)}
    assert bare_steps(protocol, 4) == drawn
