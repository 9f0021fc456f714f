"""Irrigants of a protocol that would meet without what the catalogue asks between them.

The stages are walked in order, as one canal and the chamber live them. Stages are walls: a stage
is done in every canal before the next begins; within a stage the other canals may be anywhere in
it. What repeats is walked twice, so that its end meets its beginning. It is a walk along the order
of the steps, not a proof over all paths: a skipped step is not thought of.

The rules are those of the chapters "The record, exactly" (Residue) and "The guard, exactly"
(`pair`), so that whoever follows a protocol without these problems hears no caution of a pair.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct, structs

from canalclock.core.protocol.definition import (
    Catalogue,
    Pair,
    PairLevel,
    Protocol,
    Stage,
    Step,
)
from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.problems import Path, Problem
from canalclock.core.protocol.reactions import Reactions

_CANAL: Final = "canal"
_CHAMBER: Final = "chamber"
_WORDS: Final = {
    "own": "in the canal",
    "chamber": "in the chamber",
    "others": "in other canals of the same chamber",
}


class _Cleared(Struct, frozen=True):
    """An act since the soil: a delivery with its irrigants and volume, or a removal."""

    irrigants: tuple[str, ...] = ()
    volume_ul: int = 0
    removal: bool = False


class _Left(Struct, frozen=True):
    """What a step put somewhere, and what was done there since."""

    irrigant: str
    step: str
    carried: bool = False
    dressing: bool = False
    since: tuple[_Cleared, ...] = ()


_Site = dict[str, _Left]
"""Residues by irrigant."""


class _Meeting(Struct, frozen=True):
    """Two agents that meet: who is left from which step, where, and what would separate them."""

    left: str
    left_step: str
    comes: str
    pair: Pair
    place: str


def neighbour_problems(
    protocol: Protocol, document: Document, catalogue: Catalogue
) -> list[Problem]:
    """One problem for each step and each agent that it meets unseparated."""
    walk = _Walk(protocol, Reactions(catalogue))
    walk.all()
    problems = []
    for (path, _), meetings in walk.met.items():
        problems.append(
            document.problem(path, "reacting_neighbours", _told(meetings, protocol, path))
        )
    return problems


class _Walk:
    """One canal and the chamber along the order of the steps."""

    def __init__(self, protocol: Protocol, reactions: Reactions) -> None:
        self.protocol = protocol
        self.reactions = reactions
        self.contents = {
            s.solution: tuple(c.irrigant for c in s.contents) for s in protocol.solutions
        }
        self.canal: _Site = {}
        self.chamber: _Site = {}
        self.met: dict[tuple[Path, str], list[_Meeting]] = {}

    def all(self) -> None:
        """Walk every stage of every visit."""
        visit = 1
        for n, stage in enumerate(self.protocol.stages):
            if stage.visit != visit:
                visit = stage.visit
                self._next_visit()
            self._stage(n, stage)

    def _next_visit(self) -> None:
        """Only a dressing is still there."""
        self.canal = {k: left for k, left in self.canal.items() if left.dressing}
        self.chamber = {}

    def _stage(self, n: int, stage: Stage) -> None:
        """A stage, twice if it repeats: where other canals may be in it, then what meets."""
        rounds = 1 if stage.repeats == "once" else 2
        start = (self.canal, self.chamber)
        elsewhere = [dict(self.canal)]
        for _ in range(rounds):
            for step in stage.steps:
                self._apply(step)
                elsewhere.append(dict(self.canal))
        self.canal, self.chamber = start
        for _ in range(rounds):
            for k, step in enumerate(stage.steps):
                for irrigant in self._brought(step):
                    self._meet(("stages", n, "steps", k), step, irrigant, elsewhere)
                self._apply(step)

    def _brought(self, step: Step) -> Sequence[str]:
        """Irrigants that a step brings."""
        if step.act == "irrigate" and step.solution is not None:
            return self.contents[step.solution]
        if step.act == "dress" and step.material is not None:
            return (step.material,)
        return ()

    def _meet(self, path: Path, step: Step, comes: str, elsewhere: Sequence[_Site]) -> None:
        """Note every residue that an irrigant meets at its site, the chamber or other canals."""
        if step.site == _CANAL:
            for left in self.canal.values():
                self._note(path, left, comes, "own", ("rinse", "rinse_dry"))
        for left in self.chamber.values():
            self._note(path, left, comes, "chamber", ("rinse", "rinse_dry"))
        for site in elsewhere:
            for left in site.values():
                self._note(path, left, comes, "others", ("rinse_dry",))

    def _note(
        self, path: Path, left: _Left, comes: str, place: str, levels: tuple[PairLevel, ...]
    ) -> None:
        pair = self.reactions.pair(left.irrigant, comes)
        if pair is None or pair.level == "ok" or self._separated(left, pair, comes):
            return
        level: PairLevel = pair.level
        if left.carried and pair.shaping_level is not None:
            level = pair.shaping_level
        if level not in levels and not left.dressing:
            return
        key = (path, self.reactions.agent(left.irrigant))
        meeting = _Meeting(left.irrigant, left.step, comes, pair, place)
        there = self.met.setdefault(key, [])
        if place not in [m.place for m in there]:
            there.append(meeting)

    def _separated(self, left: _Left, pair: Pair, comes: str) -> bool:
        """Whether the rinse and then the removals have been done since."""
        rinses = self.reactions.rinses(left.irrigant, comes)
        volume, removals, rinsed = 0, 0, pair.rinse_ul == 0
        for act in left.since:
            if act.irrigants and not rinsed and all(i in rinses for i in act.irrigants):
                volume += act.volume_ul
                rinsed = volume >= pair.rinse_ul
            elif act.removal and rinsed:
                removals += 1
        return rinsed and removals >= pair.removals

    def _apply(self, step: Step) -> None:
        """What a step leaves behind and clears."""
        match step.act:
            case "irrigate":
                self._deliver(step)
            case "instrument" | "recapitulate":
                self.canal = _filed(self.canal)
                self.chamber = _filed(self.chamber)
            case "remove" if step.site == _CHAMBER:
                self.chamber = _cleared(self.chamber, _Cleared(removal=True))
            case "remove" if step.by == "points":
                self.canal = _cleared(self.canal, _Cleared(removal=True))
            case "dress":
                self.canal = {
                    **self.canal,
                    **{
                        i: _Left(irrigant=i, step=step.step, dressing=True)
                        for i in self._brought(step)
                    },
                }
            case "fill":
                self.canal = {}
            case _:
                pass

    def _deliver(self, step: Step) -> None:
        irrigants = tuple(self._brought(step))
        act = _Cleared(irrigants=irrigants, volume_ul=step.volume_ul or 0)
        left = {i: _Left(irrigant=i, step=step.step, carried=step.on_file) for i in irrigants}
        if step.site == _CANAL:  # a chamber delivery soils a canal, never clears it
            self.canal = _cleared(self.canal, act)
        self.canal = {**self.canal, **left}
        self.chamber = {**_cleared(self.chamber, act), **left}


def _filed(site: _Site) -> _Site:
    """A file has worked here: what is left is carried."""
    return {k: structs.replace(left, carried=True) for k, left in site.items()}


def _cleared(site: _Site, act: _Cleared) -> _Site:
    return {k: structs.replace(left, since=(*left.since, act)) for k, left in site.items()}


def _told(meetings: Sequence[_Meeting], protocol: Protocol, path: Path) -> str:
    """Both steps by name, where they meet, and what would separate them."""
    first = meetings[0]
    step = protocol.stages[int(path[1])].steps[int(path[3])].step
    places = ", ".join(_WORDS[m.place] for m in meetings)
    return (
        f"step {step!r} brings {first.comes} where {first.left} is left from step "
        f"{first.left_step!r} ({places}); expected between them {' then '.join(_asked(first.pair))}"
    )


def _asked(pair: Pair) -> Iterator[str]:
    if pair.rinse_ul:
        yield f"{pair.rinse_ul / 1000:g} mL of a rinse that both tolerate, in each canal"
    if pair.removals:
        yield (
            f"{pair.removals} removal by points in each canal and at the chamber"
            if pair.removals == 1
            else f"{pair.removals} removals by points in each canal and at the chamber"
        )
    if not pair.rinse_ul and not pair.removals:
        yield "the dressing's removal"
