"""The core's rows: fold, plan, check, each against the least work that walks the same input."""

import tomllib
from collections.abc import Iterator

from canalclock.core.plan import draw_up, plan
from canalclock.core.protocol.definition import Protocol
from canalclock.core.protocol.reading import read_protocol
from canalclock.core.record.fold import fold
from canalclock.core.record.totals import totals
from canalclock.core.set_out import set_out
from canalclock.protocol_files import protocols_dir, shipped_catalogue
from tests.bench.floor import bare_loop, bare_steps
from tests.bench.rounds import Ratio, compared
from tests.bench.visit import the_kit, the_visit


def rows() -> Iterator[Ratio]:
    """One row a thing."""
    kit, events = the_kit(), the_visit()
    record = fold(kit, events)
    loop = ("bare loop", lambda: bare_loop(events))
    yield compared(
        "fold of 200 events, by depth", ("fold", lambda: fold(kit, events)), loop, "<= 12"
    )
    yield compared(
        "the same without the carried account",
        ("fold", lambda: fold(kit, events, with_carried=False)),
        loop,
    )
    yield compared("its totals", ("totals", lambda: totals(record, 10**9)), loop)
    protocol = kit.protocol
    assert protocol is not None
    yield from _plans(protocol)
    file = protocols_dir() / "mature-apex-one-visit.toml"
    text, catalogue = file.read_bytes(), shipped_catalogue()
    checked = read_protocol(text, file.name, catalogue)
    assert isinstance(checked, Protocol)
    yield compared(
        "check of a shipped protocol",
        ("check", lambda: read_protocol(text, file.name, catalogue)),
        ("tomllib alone", lambda: tomllib.loads(text.decode())),
        "under 1 s",
    )


def _plans(protocol: Protocol) -> Iterator[Ratio]:
    kit, events = the_kit(), the_visit()
    record = fold(kit, events)
    walk = ("sum over the steps", lambda: bare_steps(protocol, len(record.canals)))
    yield compared(
        "plan of four canals after 200 events",
        ("plan", lambda: plan(kit, record)),
        walk,
        "under 50 ms on a phone",
    )
    yield compared(
        "to draw up for four canals",
        ("draw_up", lambda: draw_up(protocol, len(record.canals))),
        walk,
    )
    canals = record.canals
    yield compared("set-out sheet of four canals", ("set_out", lambda: set_out(kit, canals)), walk)
