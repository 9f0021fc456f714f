"""Which agents of a protocol react as they follow one another, and what it puts between them.

The steps of one visit are walked in their written order, as one canal lives them; what repeats is
walked twice. Not here: whether that is enough (protocol/neighbours.py tells an author), and what
is on record (record/residue.py).
"""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct, structs

from canalclock.core.kit import Kit
from canalclock.core.protocol.definition import Pair, PairLevel, Protocol, Step
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.record.values import Made

_ROUNDS: Final = 2
"""Walks of what repeats, so that its end meets its beginning."""


class Separation(Made, frozen=True, kw_only=True):
    """Two agents that react when the second follows the first, and what stands between them."""

    first: str
    first_step: str
    first_mg_per_l: int | None
    """The highest strength of it in the protocol; null = none is written. [mg/L]"""
    second: str
    second_step: str
    level: PairLevel
    """While a file works between them the pair's own level for that, if it has one."""
    rinse_ul: int
    """What the pair asks, in each canal. [µL]"""
    removals: int
    """And then so many removals by points in each canal, and at the chamber."""
    planned_rinse_ul: int
    """What the protocol has between them of rinses that both tolerate. [µL]"""
    planned_removals: int
    """And its removals by points in the canal after that."""


class _Left(Struct, frozen=True):
    irrigant: str
    step: str
    carried: bool
    since: tuple[Step, ...] = ()


def separations(kit: Kit, visit: int = 1) -> tuple[Separation, ...]:
    """
    Every reacting pair of a visit, in the order in which they first meet.

    Args:
        kit: Protocol and catalogue; without a protocol there is none.
        visit: Which of the protocol's visits, from 1.

    Returns:
        One a pair of agents; of several meetings the one with the least between them.
    """
    if kit.protocol is None:
        return ()
    met: dict[tuple[str, str], Separation] = {}
    for found in _meetings(kit, kit.protocol, visit):
        pair = (found.first, found.second)
        if pair not in met or _between(found) < _between(met[pair]):
            met[pair] = found
    return tuple(met.values())


def _between(found: Separation) -> tuple[int, int]:
    return (found.planned_rinse_ul, found.planned_removals)


def _meetings(kit: Kit, protocol: Protocol, visit: int) -> Iterator[Separation]:
    reactions = Reactions(kit.catalogue)
    contents = {s.solution: tuple(c.irrigant for c in s.contents) for s in protocol.solutions}
    left: dict[str, _Left] = {}
    for step in _walked(protocol, visit):
        brought = _brought(step, contents)
        for comes in brought:
            for there in left.values():
                pair = reactions.pair(there.irrigant, comes)
                if pair is not None and pair.level != "ok":
                    yield _separation(protocol, reactions, contents, there, step, comes, pair)
        filed = step.act in ("instrument", "recapitulate")
        for k, there in left.items():
            left[k] = structs.replace(
                there, carried=there.carried or filed, since=(*there.since, step)
            )
        for irrigant in brought:
            left[irrigant] = _Left(irrigant, step.step, step.on_file)


def _walked(protocol: Protocol, visit: int) -> Iterator[Step]:
    for stage in protocol.stages:
        if stage.visit == visit:
            for _ in range(1 if stage.repeats == "once" else _ROUNDS):
                yield from stage.steps


def _brought(step: Step, contents: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    if step.act == "irrigate" and step.solution is not None:
        return contents[step.solution]
    return (step.material,) if step.act == "dress" and step.material is not None else ()


def _separation(
    protocol: Protocol,
    reactions: Reactions,
    contents: dict[str, tuple[str, ...]],
    there: _Left,
    step: Step,
    comes: str,
    pair: Pair,
) -> Separation:
    rinses = reactions.rinses(there.irrigant, comes)
    volume, removals = 0, 0
    for act in there.since:
        brought = _brought(act, contents)
        if act.site == "canal" and brought and all(i in rinses for i in brought):
            volume += act.volume_ul or 0
        elif act.act == "remove" and act.by == "points" and volume >= pair.rinse_ul:
            removals += 1
    level = pair.level
    if there.carried and pair.shaping_level is not None:
        level = pair.shaping_level
    return Separation(
        first=there.irrigant,
        first_step=there.step,
        first_mg_per_l=_strongest(protocol, there.irrigant),
        second=comes,
        second_step=step.step,
        level=level,
        rinse_ul=pair.rinse_ul,
        removals=pair.removals,
        planned_rinse_ul=volume,
        planned_removals=removals,
    )


def _strongest(protocol: Protocol, irrigant: str) -> int | None:
    return max(
        (
            c.concentration_mg_per_l
            for s in protocol.solutions
            for c in s.contents
            if c.irrigant == irrigant and c.concentration_mg_per_l is not None
        ),
        default=None,
    )
