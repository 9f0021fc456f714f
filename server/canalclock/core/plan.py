"""The plan: a kit's protocol bound to the canals on record; what is done, next and left.

By the chapter "The plan, exactly". Always derived, never stored; it refuses nothing and asks
nothing of the guard or the totals. Not here: what was drawn on screen of it, or said aloud.
"""

from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct

from canalclock.core.kit import Kit
from canalclock.core.plan_line import Fits, Line, Mark, Slot, Status
from canalclock.core.protocol.definition import Protocol, Solution, Step
from canalclock.core.record.events import (
    CHAMBER,
    ActivationStarted,
    AnyEvent,
    CanalFilled,
    CanalRecapitulated,
    CheckDone,
    DressingPlaced,
    InstrumentUsed,
    IrrigantDelivered,
    IrrigantRemoved,
    StepDone,
    StepSkipped,
    VisitClosed,
)
from canalclock.core.record.values import Canal, Record

INSTRUMENTS: Final = 3
"""Rounds of a stage per instrument that are drawn up for. []  A choice."""
SYRINGE_UL: Final = 5000
"""Filling of one syringe that is drawn up. [µL]  A choice."""

_RESTING: Final = ("suspected", "filled", "left")


class Planned(Struct, frozen=True, kw_only=True):
    """One slot: a step of a stage in one round, what it asks, and what became of it."""

    stage: str
    step: str
    cycle: int
    status: Status
    event: str | None
    """The act or word that made it done, skipped or passed."""
    asked: Step
    tip_um: int | None
    """Where the needle's or activation's tip is asked to be, once the working length is known."""


class At(Struct, frozen=True, kw_only=True):
    """A slot by its names."""

    stage: str
    step: str
    cycle: int


class Left(Struct, frozen=True, kw_only=True):
    """What open steps still ask for."""

    volumes: dict[str, int]
    """By solution. [µL]"""
    activations: int
    activation_ms: int
    at_least: bool
    """Another instrument may still come."""


class PlanLine(Struct, frozen=True, kw_only=True):
    """The plan of one canal or of the chamber."""

    site: str
    steps: tuple[Planned, ...]
    next: At | None
    or_next: At | None
    """What comes instead of another round, if `next` begins one."""
    left: Left
    outside: tuple[str, ...]
    """Acts that fit no step."""


class Next(Struct, frozen=True, kw_only=True):
    """The next step of the tooth."""

    site: str
    stage: str
    step: str
    cycle: int


class DrawUp(Struct, frozen=True, kw_only=True):
    """What to draw into syringes before the start."""

    solution: Solution
    volume_ul: int
    syringes: int


class Plan(Struct, frozen=True, kw_only=True):
    """A protocol bound to a record."""

    protocol: str | None
    version: int | None
    visit: int
    lines: tuple[PlanLine, ...]
    next: Next | None
    draw_up: tuple[DrawUp, ...]


def plan(kit: Kit, record: Record, visit: int | None = None) -> Plan:
    """
    The protocol of a kit, bound to the canals of a record.

    Args:
        kit: The visit's kit; without a protocol the plan is empty.
        record: The record so far.
        visit: Which of the protocol's visits, from 1; None = told by a dressing left in.

    Returns:
        The plan: canals in the record's order, then the chamber.
    """
    protocol = kit.protocol
    if protocol is None:
        return Plan(protocol=None, version=None, visit=1, lines=(), next=None, draw_up=())
    number = visit_number(protocol, record) if visit is None else visit
    bound = _Bound(protocol, record, number)
    canals = [(c.canal, bound.line(c.canal, "canal"), c) for c in record.canals]
    reached = [line.stages[line.place[0]].index for _, line, _ in canals if line.place[0] >= 0]
    chamber = bound.line(CHAMBER, "chamber", max(reached, default=0))
    followed: list[tuple[str, Line, Canal | None]] = [*canals, (CHAMBER, chamber, None)]
    return Plan(
        protocol=protocol.protocol,
        version=protocol.version,
        visit=number,
        lines=tuple(_plan_line(site, line, canal) for site, line, canal in followed),
        next=_tooth_next(followed),
        draw_up=draw_up(protocol, len(record.canals), number),
    )


def visit_number(protocol: Protocol, record: Record) -> int:
    """Which of the protocol's visits a record is of, as far as what was left in tells."""
    opened = record.opened
    dressed = opened is not None and any(left.dressing for left in opened.present_at_start)
    return min(2, protocol.case.visits) if dressed else 1


def draw_up(
    protocol: Protocol,
    canals: int,
    visit: int = 1,
    instruments: int = INSTRUMENTS,
    syringe_ul: int = SYRINGE_UL,
) -> tuple[DrawUp, ...]:
    """
    What to draw up before a visit, by solution.

    Args:
        protocol: What will be followed.
        canals: Canals of the tooth. [], >= 0.
        visit: Which of its visits, from 1.
        instruments: Rounds of a stage per instrument. [], >= 0.
        syringe_ul: Filling of one syringe. [µL], > 0.

    Returns:
        Volume and syringes of each solution that a step of the visit uses.

    Raises:
        ValueError: A syringe of no volume, or a negative count.
    """
    if syringe_ul <= 0 or canals < 0 or instruments < 0:
        raise ValueError("expected a syringe of more than 0 µL, and counts of 0 or more")
    volumes: dict[str, int] = {}
    for stage in protocol.stages:
        if stage.visit != visit:
            continue
        rounds = instruments if stage.repeats == "per_instrument" else stage.cycles
        for step in stage.steps:
            if step.act == "irrigate" and step.solution is not None:
                times = rounds * (canals if step.site == "canal" else 1)
                before = volumes.get(step.solution, 0)
                volumes[step.solution] = before + times * (step.volume_ul or 0)
    return tuple(
        DrawUp(
            solution=s,
            volume_ul=volumes[s.solution],
            syringes=max(1, -(-volumes[s.solution] // syringe_ul)),
        )
        for s in protocol.solutions
        if s.solution in volumes
    )


class _Bound:
    """A protocol and a record, ready to lay out lines."""

    def __init__(self, protocol: Protocol, record: Record, visit: int) -> None:
        self.protocol = protocol
        self.visit = visit
        self.acts = tuple(_until_close(record))
        self.solutions = {
            s.solution: frozenset(c.irrigant for c in s.contents) for s in protocol.solutions
        }
        self.contents = {d.id: frozenset(c.irrigant for c in d.contents) for d in record.deliveries}

    def line(self, site: str, kind: Literal["canal", "chamber"], gone_by: int = 0) -> Line:
        """A site's line, followed to its present place."""
        line = Line(self.protocol, self.visit, kind, gone_by)
        for event in self.acts:
            if isinstance(event, StepDone | StepSkipped):
                if event.canal == site:
                    word: Literal["done", "skipped"] = (
                        "done" if isinstance(event, StepDone) else "skipped"
                    )
                    line.mark(event.step, event.cycle, Mark(word, event.id))
                continue
            fits = self._fit(event, site)
            if fits is not None and not line.take(event.id, fits):
                if not isinstance(event, CheckDone):
                    line.outside.append(event.id)
        return line

    def _fit(self, event: AnyEvent, site: str) -> Fits | None:
        """The steps that an event at a site fits; None if it is no act there."""
        match event:
            case IrrigantDelivered(site=s) if s == site:
                poured = self.contents.get(event.id, frozenset())
                on_file = event.by == "on_file"
                return lambda step: (
                    step.act == "irrigate"
                    and step.on_file == on_file
                    and step.solution is not None
                    and self.solutions[step.solution] == poured
                )
            case IrrigantRemoved(site=s) if s == site:
                by = event.by
                return lambda step: (
                    step.act == "remove" and (step.by == by or step.site == "chamber")
                )
            case CheckDone() if event.site is None or event.site == site:
                what = event.what
                return lambda step: step.act == "check" and step.check == what
            case InstrumentUsed(canal=c) if c == site:
                motion = event.motion
                return lambda step: (
                    step.act == "instrument" and (motion is None or step.motion == motion)
                )
            case CanalRecapitulated(canal=c) if c == site:
                return lambda step: step.act == "recapitulate"
            case ActivationStarted(canal=c) if c == site:
                activation = event.activation
                return lambda step: step.act == "activate" and step.activation == activation
            case DressingPlaced(site=s) if s == site:
                return lambda step: step.act == "dress"
            case CanalFilled(site=s) if s == site:
                return lambda step: step.act == "fill"
            case _:
                return None


def _until_close(record: Record) -> Iterator[AnyEvent]:
    for event in record.standing:
        if isinstance(event, VisitClosed):
            return
        yield event


def _at(line: Line, slot: Slot | None) -> At | None:
    if slot is None:
        return None
    s, r, k = slot
    stage = line.stages[s]
    return At(stage=stage.stage.stage, step=stage.steps[k][1].step, cycle=r + 1)


def _plan_line(site: str, line: Line, canal: Canal | None) -> PlanLine:
    resting = canal is not None and canal.state in _RESTING
    following, instead = (None, None) if resting else line.next()
    return PlanLine(
        site=site,
        steps=tuple(_planned(line, slot, canal) for slot in line.slots()),
        next=_at(line, following),
        or_next=_at(line, instead),
        left=_left(line, following is not None),
        outside=tuple(line.outside),
    )


def _planned(line: Line, slot: Slot, canal: Canal | None) -> Planned:
    s, r, k = slot
    step = line.stages[s].steps[k][1]
    status, event = line.status(slot)
    tip = None
    if canal is not None and canal.working_length_um is not None:
        if step.tip_short_of_wl_um is not None:
            tip = max(0, canal.working_length_um - step.tip_short_of_wl_um)
    return Planned(
        stage=line.stages[s].stage.stage,
        step=step.step,
        cycle=r + 1,
        status=status,
        event=event,
        asked=step,
        tip_um=tip,
    )


def _left(line: Line, going_on: bool) -> Left:
    volumes: dict[str, int] = {}
    activations = activation_ms = 0
    for step in line.open_steps() if going_on else ():
        if step.act == "irrigate" and step.solution is not None and step.volume_ul:
            volumes[step.solution] = volumes.get(step.solution, 0) + step.volume_ul
        if step.act == "activate":
            activations += 1
            activation_ms += step.duration_ms or 0
    return Left(
        volumes=volumes,
        activations=activations,
        activation_ms=activation_ms,
        at_least=going_on and line.may_grow(),
    )


def _tooth_next(followed: list[tuple[str, Line, Canal | None]]) -> Next | None:
    """The least next of all lines; ties in the order of the lines, the chamber last."""
    best: tuple[tuple[int, int, int], Next] | None = None
    for site, line, canal in followed:
        if canal is not None and canal.state in _RESTING:
            continue
        slot, _ = line.next()
        at = _at(line, slot)
        if slot is None or at is None:
            continue
        s, r, k = slot
        rank = (line.stages[s].index, r, line.stages[s].steps[k][0])
        if best is None or rank < best[0]:
            best = rank, Next(site=site, stage=at.stage, step=at.step, cycle=at.cycle)
    return None if best is None else best[1]
