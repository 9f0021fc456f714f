"""What stands at each depth of one canal: stretches of depth, each with its stays in time.

Built in the order of effective instants, which never run backwards for one canal.
"""

from bisect import bisect_left, bisect_right

from msgspec import Struct

from canalclock.core.record.events import Component
from canalclock.core.record.values import Interval, Mix, Slice, Stay

_DEEPEST = 2**53


def mixed(contents: tuple[Component, ...]) -> Mix:
    """Contents in their one order: by irrigant, then strength, unknown first; repeats once."""
    if len(contents) == 1:
        return contents
    return tuple(
        sorted(
            set(contents),
            key=lambda c: (
                c.irrigant,
                -1 if c.concentration_mg_per_l is None else c.concentration_mg_per_l,
            ),
        )
    )


class _Stay(Struct):
    contents: Mix
    start_ms: int
    dressing: bool
    fresh: list[Interval]
    end_ms: int | None = None

    def copy(self) -> "_Stay":
        return _Stay(self.contents, self.start_ms, self.dressing, list(self.fresh), self.end_ms)

    def value(self) -> Stay:
        return Stay(
            contents=self.contents,
            start_ms=self.start_ms,
            end_ms=self.end_ms,
            fresh=tuple(self.fresh),
            dressing=self.dressing,
        )


class _Stretch(Struct):
    stays: list[_Stay]
    active: list[Interval]

    def copy(self) -> "_Stretch":
        return _Stretch([s.copy() for s in self.stays], list(self.active))

    def open_stay(self) -> _Stay | None:
        if self.stays and self.stays[-1].end_ms is None:
            return self.stays[-1]
        return None


class Column:
    """One canal from the reference point down; private to the fold."""

    def __init__(self, site: str) -> None:
        """An empty canal."""
        self.site = site
        self._tops_um = [0]
        """Where each stretch begins; it ends where the next begins, the last nowhere."""
        self._stretches = [_Stretch([], [])]

    def cut(self, at_um: int) -> int:
        """Make a boundary at a depth; the number of the stretch that begins there. [µm]"""
        tops = self._tops_um
        i = bisect_left(tops, at_um)
        if (i == len(tops) or tops[i] != at_um) and at_um < _DEEPEST:
            self._stretches.insert(i, self._stretches[i - 1].copy())
            tops.insert(i, at_um)
        return i

    def _between(self, top_um: int, bottom_um: int | None) -> list[_Stretch]:
        bottom = _DEEPEST if bottom_um is None else bottom_um
        if bottom <= top_um:
            return []
        first = self.cut(top_um)
        return self._stretches[first : self.cut(bottom)]

    def fill(
        self,
        top_um: int,
        bottom_um: int | None,
        contents: Mix,
        start_ms: int,
        fresh: Interval | None = None,
        dressing: bool = False,
    ) -> None:
        """Put contents between two depths from an instant on; the same contents go on."""
        for stretch in self._between(top_um, bottom_um):
            stays = stretch.stays
            stay = stays[-1] if stays and stays[-1].end_ms is None else None
            if stay is None or stay.contents != contents or stay.dressing != dressing:
                if stay is not None:
                    stay.end_ms = start_ms
                stay = _Stay(contents, start_ms, dressing, [])
                stays.append(stay)
            if fresh is not None:
                stay.fresh.append(fresh)

    def empty(self, top_um: int, bottom_um: int | None, at_ms: int) -> None:
        """End whatever is between two depths at an instant."""
        for stretch in self._between(top_um, bottom_um):
            stay = stretch.open_stay()
            if stay is not None:
                stay.end_ms = at_ms

    def at(self, depth_um: int) -> Mix | None:
        """What is now just below a depth; None = nothing, or a dressing. [µm]"""
        if depth_um >= _DEEPEST:
            return None
        stay = self._stretches[bisect_right(self._tops_um, depth_um) - 1].open_stay()
        return None if stay is None or stay.dressing else stay.contents

    def activate(self, top_um: int, bottom_um: int, span: Interval) -> None:
        """An activation worked between two depths for a span of time."""
        for stretch in self._between(top_um, bottom_um):
            stretch.active.append(span)

    def carry(self, top_um: int, bottom_um: int, at_ms: int, above: Mix | None) -> Mix | None:
        """
        A file takes deeper, between two depths, what stands just above an empty part.

        Args:
            top_um: Where the file came from. [µm]
            bottom_um: Where it went. [µm]
            at_ms: When. [ms]
            above: What stands nearest above `top_um`; None = nothing, or a dressing.

        Returns:
            What stands nearest above `bottom_um` afterwards.
        """
        for stretch in self._between(top_um, bottom_um):
            stay = stretch.open_stay()
            if stay is not None:
                above = None if stay.dressing else stay.contents
            elif above is not None:
                stretch.stays.append(_Stay(above, at_ms, False, []))
        return above

    def slices(self, top_um: int, bottom_um: int | None) -> tuple[Slice, ...]:
        """The stretches between two depths in which anything ever stayed, from the top down."""
        within = self._between(top_um, bottom_um)
        first = bisect_left(self._tops_um, top_um)
        ends_um = [*self._tops_um[1:], None]
        return tuple(
            Slice(
                site=self.site,
                from_um=self._tops_um[i],
                to_um=ends_um[i],
                stays=tuple(
                    stay.value()
                    for stay in s.stays
                    if stay.end_ms is None or stay.end_ms > stay.start_ms
                ),
                active=tuple(s.active),
            )
            for i, s in enumerate(within, first)
            if s.stays
        )
