"""One line of a plan: the steps of a canal or of the chamber, followed act by act.

By the chapter "The plan, exactly"; a twin in TypeScript is held to it by the vectors.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import Final, Literal

from msgspec import Struct

from canalclock.core.protocol.definition import Protocol, Stage, Step

Status = Literal["open", "done", "passed", "skipped"]
Slot = tuple[int, int, int]
"""Stage of the line, round (both from 0) and step of the stage in the line (from 0)."""
Fits = Callable[[Step], bool]

_QUIET: Final = ("check", "wait")
_BEFORE: Final[Slot] = (-1, 0, -1)


class Mark(Struct, frozen=True):
    """A person's word on a step or stage, and the event that carries it."""

    status: Literal["done", "skipped"]
    event: str


class LineStage(Struct, frozen=True):
    """A stage with the steps that are for this line, each with its place in the protocol."""

    index: int
    stage: Stage
    steps: tuple[tuple[int, Step], ...]


class Line:
    """The place in the protocol of one site."""

    def __init__(
        self,
        protocol: Protocol,
        visit: int,
        site: Literal["canal", "chamber"],
        gone_by: int = 0,
    ) -> None:
        """
        Lay out the stages of a visit for a site.

        Args:
            protocol: What is followed.
            visit: Which of its visits.
            site: Whose steps these are.
            gone_by: Stages of the protocol before this one are gone by (chamber).
        """
        self.stages = tuple(_stages(protocol, visit, site))
        self.place: Slot = _BEFORE
        self.taken: dict[Slot, str] = {}
        self.outside: list[str] = []
        self._marks: dict[tuple[str, int], Mark] = {}
        self._ended: dict[str, Mark] = {}
        self._gone_by = gone_by

    # --- following ---------------------------------------------------------------------------

    def mark(self, name: str, cycle: int, mark: Mark) -> None:
        """Take a person's word on a stage, which ends, or on a step in one round."""
        if any(s.stage.stage == name for s in self.stages):
            self._ended[name] = mark
        else:
            self._marks[name, cycle] = mark

    def take(self, event: str, fits: Fits) -> bool:
        """Give an act to the first slot it fits; False if there is none."""
        slot = next((s for s in self._candidates() if fits(self._step(s))), None)
        if slot is None:
            return False
        self.taken[slot] = event
        self.place = slot
        return True

    def _candidates(self) -> Iterator[Slot]:
        """Slots that the next act may take, in order."""
        s, r, k = self.place
        if s >= 0 and not self._is_ended(s):
            yield from self._unmarked(s, r, k + 1)
            repeats = self.stages[s].stage.repeats
            if repeats == "cycles":
                for later in range(r + 1, self.stages[s].stage.cycles):
                    yield from self._unmarked(s, later)
            elif repeats == "per_instrument":
                yield from self._entries(s, r + 1)
        for later in range(s + 1, len(self.stages)):
            if not self._is_ended(later):
                yield from self._entries(later, 0)
            if not self._is_light(later):
                return

    def _unmarked(self, s: int, r: int, start: int = 0) -> Iterator[Slot]:
        for k in range(start, len(self.stages[s].steps)):
            if self._mark((s, r, k)) is None:
                yield s, r, k

    def _entries(self, s: int, r: int) -> Iterator[Slot]:
        """Slots by which a round may begin."""
        begun = False
        for slot in self._unmarked(s, r):
            step = self._step(slot)
            if not begun or (
                step.act == "instrument" and self.stages[s].stage.repeats == "per_instrument"
            ):
                yield slot
            begun = begun or step.act not in _QUIET

    def _is_light(self, s: int) -> bool:
        if self._is_ended(s) or self.stages[s].index < self._gone_by:
            return True
        return all(self._step(slot).act in _QUIET for slot in self._unmarked(s, 0))

    def _is_ended(self, s: int) -> bool:
        return self.stages[s].stage.stage in self._ended

    def _step(self, slot: Slot) -> Step:
        return self.stages[slot[0]].steps[slot[2]][1]

    def _mark(self, slot: Slot) -> Mark | None:
        return self._marks.get((self._step(slot).step, slot[1] + 1))

    # --- answers -----------------------------------------------------------------------------

    def slots(self) -> Iterator[Slot]:
        """All slots of the rounds that are listed."""
        for s, stage in enumerate(self.stages):
            for r in range(self._rounds(s)):
                for k in range(len(stage.steps)):
                    yield s, r, k

    def _rounds(self, s: int) -> int:
        stage = self.stages[s].stage
        if stage.repeats == "cycles":
            return stage.cycles
        return 1 + max((r for t, r, _ in self.taken if t == s), default=0)

    def status(self, slot: Slot) -> tuple[Status, str | None]:
        """What became of a slot, and the event that says so."""
        if slot in self.taken:
            return "done", self.taken[slot]
        mark = self._mark(slot)
        if mark is not None:
            return mark.status, mark.event
        ended = self._ended.get(self.stages[slot[0]].stage.stage)
        if ended is not None:
            return ("skipped" if ended.status == "skipped" else "passed"), ended.event
        if slot < self.place or self.stages[slot[0]].index < self._gone_by:
            return "passed", None
        return "open", None

    def next(self) -> tuple[Slot | None, Slot | None]:
        """The slot that comes next, and what may come instead of another round."""
        s, r, _ = self.place
        ahead = next((t for t in self._ahead() if t[0] > s), None)
        here = next((t for t in self._ahead() if t[0] == s), None)
        if here is not None:
            return here, None
        if self._may_repeat(s):
            again = next(self._unmarked(s, r + 1), None)
            if again is not None:
                return again, ahead
        return ahead, None

    def _ahead(self) -> Iterator[Slot]:
        """Open slots that are listed, after the place."""
        return (t for t in self.slots() if t > self.place and self.status(t)[0] == "open")

    def _may_repeat(self, s: int) -> bool:
        if s < 0 or self._is_ended(s) or self.stages[s].index < self._gone_by:
            return False
        return self.stages[s].stage.repeats == "per_instrument"

    def open_steps(self) -> Sequence[Step]:
        """Steps of the open slots, as many times as they are open."""
        return [self._step(t) for t in self._ahead()]

    def may_grow(self) -> bool:
        """Whether a further round may still come, at the place or after it."""
        return any(self._may_repeat(s) for s in range(max(self.place[0], 0), len(self.stages)))


def _stages(
    protocol: Protocol, visit: int, site: Literal["canal", "chamber"]
) -> Iterator[LineStage]:
    for index, stage in enumerate(protocol.stages):
        steps = tuple((k, step) for k, step in enumerate(stage.steps) if step.site == site)
        if stage.visit == visit and steps:
            yield LineStage(index, stage, steps)
