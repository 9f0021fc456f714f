"""Two things timed in turns, so that whatever slows the machine slows both: medians and a ratio."""

import gc
import statistics
import time
from collections.abc import Callable

from msgspec import Struct

ROUNDS = 21
LEAST_S = 0.02
"""A round repeats a thing until it has taken this long. [s]"""


class Ratio(Struct, frozen=True, kw_only=True):
    """One row of the table: medians over the rounds."""

    what: str
    ours: str
    other: str
    ours_s: float
    other_s: float
    ratio: float
    """Ours over the other, the median of each round's own ratio: both had the same neighbours."""
    rounds: int
    aim: str
    rates: bool = False
    """Whether `ours_s` and `other_s` are per second rather than seconds."""


def repeats(act: Callable[[], object]) -> int:
    """How often a thing is done in one round."""
    times, start = 0, time.perf_counter()
    while True:
        act()
        times += 1
        if time.perf_counter() - start > LEAST_S:
            return times


def once(act: Callable[[], object], times: int) -> float:
    """Mean time of one on its processor, over one round: others' turns are not in it. [s]"""
    start = time.thread_time()
    for _ in range(times):
        act()
    return (time.thread_time() - start) / times


def compared(
    what: str,
    ours: tuple[str, Callable[[], object]],
    other: tuple[str, Callable[[], object]],
    aim: str = "",
    rounds: int = ROUNDS,
) -> Ratio:
    """The medians of interleaved rounds of things that wait for nothing. [s]"""
    counts = repeats(ours[1]), repeats(other[1])
    gc.collect()
    spent: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        spent[0].append(once(ours[1], counts[0]))
        spent[1].append(once(other[1], counts[1]))
    return ratio(what, (ours[0], spent[0]), (other[0], spent[1]), aim)


def ratio(
    what: str,
    ours: tuple[str, list[float]],
    other: tuple[str, list[float]],
    aim: str = "",
    *,
    rates: bool = False,
) -> Ratio:
    """What both had in each round, summed up."""
    return Ratio(
        what=what,
        ours=ours[0],
        other=other[0],
        ours_s=statistics.median(ours[1]),
        other_s=statistics.median(other[1]),
        ratio=statistics.median(a / b for a, b in zip(ours[1], other[1], strict=True)),
        rounds=len(ours[1]),
        aim=aim,
        rates=rates,
    )
