"""Sets of spans of time, half-open, in whole milliseconds."""

from collections.abc import Iterable

from canalclock.core.record.values import Interval


def merged(intervals: Iterable[Interval]) -> list[Interval]:
    """Spans without overlap, touching ones joined, in order; empty ones left out."""
    out: list[Interval] = []
    for start, end in sorted(intervals):
        if end <= start:
            continue
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return out


def common(left: Iterable[Interval], right: Iterable[Interval]) -> list[Interval]:
    """What two sets of spans have in common."""
    rights = merged(right)
    return merged(
        (max(a, c), min(b, d)) for a, b in merged(left) for c, d in rights if a < d and c < b
    )


def length_ms(intervals: Iterable[Interval]) -> int:
    """How long a set of spans lasts, overlaps counted once. [ms]"""
    return sum(end - start for start, end in merged(intervals))


def longest_ms(intervals: Iterable[Interval]) -> int:
    """Its longest unbroken span. [ms]"""
    return max((end - start for start, end in merged(intervals)), default=0)
