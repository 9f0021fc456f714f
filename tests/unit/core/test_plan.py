"""Shipped protocols followed as written: what the plan asks next, and what the guard then says.

The rules of the plan itself are held by `tests/vectors/plan/`.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import msgspec
import pytest

from canalclock.core.guard import ProposedAct, Warning, guard
from canalclock.core.kit import Kit
from canalclock.core.plan import Next, draw_up, plan
from canalclock.core.protocol.binding import bind
from canalclock.core.protocol.definition import Protocol, Solution, Step
from canalclock.core.protocol.documents import Document, read_document
from canalclock.core.record.events import AnyEvent, Component, Unread
from canalclock.core.record.fold import fold
from canalclock.core.record.reading import read_event
from canalclock.core.record.totals import totals
from canalclock.core.record.values import Record
from canalclock.protocol_files import kit_for, shipped_protocol, shipped_protocols

WORKING_LENGTH_UM = 20_000
APART_MS = 12_000


class Visit:
    """A visit in which whoever works does what the plan says next, and nothing else."""

    def __init__(self, protocol: Protocol, canals: tuple[str, ...], number: int) -> None:
        self.kit: Kit = kit_for(protocol)
        self.protocol = protocol
        self.events: list[AnyEvent | Unread] = []
        self.said: list[Warning] = []
        dressing = [
            {"site": c, "dressing": True, "contents": [{"irrigant": step.material}]}
            for c in canals
            for stage in protocol.stages
            for step in stage.steps
            if step.act == "dress" and number == 2
        ]
        self.add("visit_opened", course="c", tooth="36", label="A", room="r", kit="0" * 64,
                 canals=canals, present_at_start=dressing)  # fmt: skip
        for question in protocol.questions:
            answer = "yes" if question == "open_apex" and protocol.case.apex == "open" else "no"
            self.add("question_answered", question=question, answer=answer)

    def add(self, kind: str, **payload: object) -> str:
        seq = len(self.events) + 1
        at = seq * APART_MS
        event = {
            "id": f"e{seq}", "kind": kind, "visit": "v", "device": "d", "device_seq": seq,
            "staff": "s", "occurred_at_ms": at, "device_clock_ms": at, "clock_error_ms": 0,
            **payload,
        }  # fmt: skip
        self.events.append(read_event(msgspec.json.encode(event)))
        return f"e{seq}"

    def record(self) -> Record:
        return fold(self.kit, self.events)

    def follow(self, rounds: int = 1) -> None:
        """Do what is next until nothing is; each stage per instrument that many times."""
        for _ in range(600):
            record = self.record()
            told = plan(self.kit, record).next
            if told is None:
                return
            stage = next(s for s in self.protocol.stages if s.stage == told.stage)
            if stage.repeats == "per_instrument" and told.cycle > rounds:
                self.add("step_done", step=told.stage, canal=told.site)
            else:
                step = next(s for s in stage.steps if s.step == told.step)
                self.do(record, told, step)
        raise AssertionError("the plan never ends")

    def do(self, record: Record, told: Next, step: Step) -> None:
        """One step as the protocol has it."""
        site = told.site
        match step.act:
            case "irrigate":
                self.deliver(record, site, step)
            case "instrument" | "recapitulate":
                kind = "instrument_used" if step.act == "instrument" else "canal_recapitulated"
                self.add(kind, canal=site, size=25, motion=step.motion,
                         length_um=WORKING_LENGTH_UM)  # fmt: skip
            case "activate":
                start = {"canal": site, "activation": step.activation}
                self.add("activation_started", **start, tip_um=WORKING_LENGTH_UM - 2000)
                self.add("activation_stopped", **start)
            case "remove":
                self.add("irrigant_removed", site=site, by=step.by)
            case "check":
                self.add("check_done", what=step.check, site=site)
                if step.check == "radiograph":
                    self.add("canal_set", canal=site, working_length_um=WORKING_LENGTH_UM,
                             apical_size=35, taper_um_per_mm=60, state="length_set")  # fmt: skip
            case "wait":
                self.add("step_done", step=step.step, cycle=told.cycle, canal=site)
            case "dress":
                self.add("dressing_placed", site=site, material=step.material)
            case "fill":
                self.add("canal_filled", site=site, material=step.material)

    def deliver(self, record: Record, site: str, step: Step) -> None:
        solution: Solution = next(s for s in self.protocol.solutions if s.solution == step.solution)
        contents = tuple(
            Component(irrigant=c.irrigant, concentration_mg_per_l=c.concentration_mg_per_l)
            for c in solution.contents
        )
        by: Literal["on_file"] | None = "on_file" if step.on_file else None
        short = step.tip_short_of_wl_um
        tip = None if short is None else WORKING_LENGTH_UM - short
        act = ProposedAct(contents=contents, site=site, by=by, tip_um=tip,
                          at_ms=(len(self.events) + 1) * APART_MS)  # fmt: skip
        for warning in guard(self.kit, record, act):
            self.said.append(warning)
            self.add("guard_spoke", rule=warning.rule, level=warning.level, about=warning.about,
                     sites=warning.sites, act="next")  # fmt: skip
        self.add("irrigant_delivered", site=site, contents=msgspec.to_builtins(contents), by=by,
                 volume_ul=step.volume_ul, duration_ms=5000, tip_um=tip, how="planned")  # fmt: skip


def visits() -> Iterator[tuple[str, int]]:
    for protocol in shipped_protocols():
        for number in range(1, protocol.case.visits + 1):
            yield protocol.protocol, number


@pytest.mark.parametrize(("name", "number"), list(visits()))
def test_a_sound_protocol_as_written_meets_no_hold_no_caution_and_two_notes_at_most(
    name: str, number: int
) -> None:
    visit = Visit(shipped_protocol(name), ("mb", "d"), number)
    visit.follow()
    loud = [w for w in visit.said if w.level != "note"]
    assert loud == []
    quiet = {(w.rule, w.about) for w in visit.said}
    limit = 4 if name == "retreatment" else 2  # a solvent's pairs are not published: said as notes
    assert len(quiet) <= limit, quiet


@pytest.mark.parametrize(("name", "number"), list(visits()))
def test_following_the_plan_leaves_nothing_open_and_nothing_outside(name: str, number: int) -> None:
    visit = Visit(shipped_protocol(name), ("mb", "d"), number)
    visit.follow()
    told = plan(visit.kit, visit.record())
    assert told.visit == number
    assert [line.outside for line in told.lines] == [()] * len(told.lines)
    for line in told.lines:
        for step in line.steps:
            assert step.status in ("done", "passed"), (line.site, step.step)
            if step.asked.act != "wait":
                assert step.event is not None, (line.site, step.step, step.cycle)


def test_the_volumes_delivered_are_those_drawn_up() -> None:
    protocol = shipped_protocol("mature-apex-one-visit")
    visit = Visit(protocol, ("mb", "ml", "d"), 1)
    visit.follow(rounds=2)
    record = visit.record()
    poured = {v.irrigant: v.volume_ul for v in totals(record, 10**9).tooth if v.volume_ul}
    drawn = {
        d.solution.contents[0].irrigant: d.volume_ul
        for d in draw_up(protocol, 3, 1, instruments=2)
        if d.volume_ul
    }
    assert poured == drawn
    # hypochlorite, by hand: chamber 2; each canal 2 x (1 + 3 + 2 + 3) while shaping, 3 closing
    assert drawn["sodium_hypochlorite"] == 2000 + 3 * (2 * 9000 + 3000)


def test_syringes_are_rounded_up_and_nonsense_is_refused() -> None:
    protocol = shipped_protocol("mature-apex-one-visit")
    by = {d.solution.solution: d for d in draw_up(protocol, 4, 1, 1, syringe_ul=3000)}
    assert (by["e17"].volume_ul, by["e17"].syringes) == (4000, 2)
    assert (by["gel"].volume_ul, by["gel"].syringes) == (0, 1)
    for nonsense in ({"syringe_ul": 0}, {"instruments": -1}):
        with pytest.raises(ValueError, match="expected"):
            draw_up(protocol, 4, 1, **nonsense)


@pytest.mark.parametrize(
    ("file", "number"),
    [
        ("chelator-then-hypochlorite", 1),
        ("a-rinse-too-small", 1),
        ("a-rinse-that-reacts-itself", 1),
        ("chlorhexidine-after-hypochlorite", 1),
        ("the-chamber-left-wet", 1),
        ("the-end-meets-the-beginning", 1),
        ("a-dressing-met-at-the-next-visit", 2),
    ],
)
def test_a_protocol_refused_for_its_neighbours_is_one_that_the_guard_speaks_up_at(
    file: str, number: int
) -> None:
    path = Path(__file__).parents[2] / "protocols" / "invalid" / f"{file}.toml"
    document = read_document(path.read_bytes(), path.name)
    assert isinstance(document, Document)
    protocol = bind(document, Protocol)
    assert isinstance(protocol, Protocol)
    visit = Visit(protocol, ("mb", "d"), number)
    visit.follow(rounds=2)
    assert [w for w in visit.said if w.level != "note"]
