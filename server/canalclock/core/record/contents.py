"""What stands at each depth of one canal: stretches of depth, each with its stays in time.

Built in the order of effective instants, which never run backwards for one canal.
"""

from canalclock.core.record.events import Component
from canalclock.core.record.values import Interval, Mix, Slice, Stay

_DEEPEST = 2**53


def mixed(contents: tuple[Component, ...]) -> Mix:
    """Contents in their one order: by irrigant, then strength, unknown first; repeats once."""
    return tuple(
        sorted(
            set(contents),
            key=lambda c: (
                c.irrigant,
                -1 if c.concentration_mg_per_l is None else c.concentration_mg_per_l,
            ),
        )
    )


class _Stay:
    __slots__ = ("contents", "dressing", "end_ms", "fresh", "start_ms")

    def __init__(self, contents: Mix, start_ms: int, dressing: bool) -> None:
        self.contents = contents
        self.start_ms = start_ms
        self.end_ms: int | None = None
        self.fresh: list[Interval] = []
        self.dressing = dressing

    def copy(self) -> "_Stay":
        twin = _Stay(self.contents, self.start_ms, self.dressing)
        twin.end_ms = self.end_ms
        twin.fresh = list(self.fresh)
        return twin

    def value(self) -> Stay:
        return Stay(
            contents=self.contents,
            start_ms=self.start_ms,
            end_ms=self.end_ms,
            fresh=tuple(self.fresh),
            dressing=self.dressing,
        )


class _Stretch:
    __slots__ = ("active", "bottom_um", "stays", "top_um")

    def __init__(
        self, top_um: int, bottom_um: int, stays: list[_Stay], active: list[Interval]
    ) -> None:
        self.top_um = top_um
        self.bottom_um = bottom_um
        self.stays = stays
        self.active = active

    def open_stay(self) -> _Stay | None:
        if self.stays and self.stays[-1].end_ms is None:
            return self.stays[-1]
        return None


class Column:
    """One canal from the reference point down; private to the fold."""

    def __init__(self, site: str) -> None:
        """An empty canal."""
        self.site = site
        self._stretches = [_Stretch(0, _DEEPEST, [], [])]

    def cut(self, at_um: int) -> None:
        """Make a boundary at a depth. [µm]"""
        for i, stretch in enumerate(self._stretches):
            if stretch.top_um < at_um < stretch.bottom_um:
                stays = [s.copy() for s in stretch.stays]
                lower = _Stretch(at_um, stretch.bottom_um, stays, list(stretch.active))
                stretch.bottom_um = at_um
                self._stretches.insert(i + 1, lower)
                return

    def _between(self, top_um: int, bottom_um: int | None) -> list[_Stretch]:
        bottom = _DEEPEST if bottom_um is None else bottom_um
        if bottom <= top_um:
            return []
        self.cut(top_um)
        self.cut(bottom)
        return [s for s in self._stretches if s.top_um >= top_um and s.bottom_um <= bottom]

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
            stay = stretch.open_stay()
            if stay is None or stay.contents != contents or stay.dressing != dressing:
                if stay is not None:
                    stay.end_ms = start_ms
                stay = _Stay(contents, start_ms, dressing)
                stretch.stays.append(stay)
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
        for stretch in self._stretches:
            if stretch.top_um <= depth_um < stretch.bottom_um:
                stay = stretch.open_stay()
                return None if stay is None or stay.dressing else stay.contents
        return None

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
                stretch.stays.append(_Stay(above, at_ms, dressing=False))
        return above

    def slices(self, top_um: int, bottom_um: int | None) -> tuple[Slice, ...]:
        """The stretches between two depths in which anything ever stayed, from the top down."""
        return tuple(
            Slice(
                site=self.site,
                from_um=s.top_um,
                to_um=None if s.bottom_um == _DEEPEST else s.bottom_um,
                stays=tuple(
                    stay.value()
                    for stay in s.stays
                    if stay.end_ms is None or stay.end_ms > stay.start_ms
                ),
                active=tuple(s.active),
            )
            for s in self._between(top_um, bottom_um)
            if s.stays
        )
