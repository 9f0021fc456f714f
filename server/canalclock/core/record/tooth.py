"""The columns of a tooth, and where one canal runs into another.

Beyond a junction both canals are one: its stretches live in the column of the canal that is
joined, and every act in either canal reaches them there.
"""

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct, structs

from canalclock.core.record.contents import Column
from canalclock.core.record.depth import Known
from canalclock.core.record.values import Finding, Interval, Mix, Slice


class Junction(Struct, frozen=True, kw_only=True):
    """Where a canal runs into another: from `at_um` on it is `into`, deeper by `shift_um`."""

    into: str
    at_um: int
    shift_um: int


def junctions(canals: Iterable[Known]) -> tuple[dict[str, Junction], list[Finding]]:
    """
    Every junction that can be placed.

    Args:
        canals: The canals as last known; both lengths are needed to place a junction.

    Returns:
        Junctions by canal; findings `join_without_length` (a length or the other canal is
        unknown) and `join_in_a_ring`.
    """
    known = {c.canal: c for c in canals}
    placed: dict[str, Junction] = {}
    findings: list[Finding] = []
    for canal in known.values():
        if canal.joins is None:
            continue
        other = known.get(canal.joins.canal)
        sites = (canal.canal, canal.joins.canal)
        wl, other_wl = canal.working_length_um, None if other is None else other.working_length_um
        if wl is None or other_wl is None:
            findings.append(Finding(rule="join_without_length", severity="notice", sites=sites))
        elif _leads_back(canal.canal, canal.joins.canal, placed):
            findings.append(Finding(rule="join_in_a_ring", severity="notice", sites=sites))
        else:
            placed[canal.canal] = Junction(
                into=canal.joins.canal,
                at_um=max(0, wl - canal.joins.short_of_wl_um),
                shift_um=other_wl - wl,
            )
    return placed, findings


def _leads_back(start: str, into: str, placed: Mapping[str, Junction]) -> bool:
    while into != start:
        if into not in placed:
            return False
        into = placed[into].into
    return True


_Part = tuple[Column, int, int | None, int]
"""A column, two depths of its own, and how much deeper they are than the canal's. [µm]"""


class Tooth:
    """All columns of a tooth; private to the fold."""

    def __init__(self, canals: Iterable[str], joined: Mapping[str, Junction]) -> None:
        """Empty canals."""
        self._columns = {canal: Column(canal) for canal in canals}
        self._joined = joined

    def _parts(
        self, canal: str, top_um: int, bottom_um: int | None, shift_um: int = 0
    ) -> Iterable[_Part]:
        """The columns between two depths of a canal."""
        junction = self._joined.get(canal)
        if junction is None:
            return ((self._columns[canal], top_um, bottom_um, shift_um),)
        return self._joined_parts(canal, junction, top_um, bottom_um, shift_um)

    def _joined_parts(
        self, canal: str, junction: Junction, top_um: int, bottom_um: int | None, shift_um: int
    ) -> Iterator[_Part]:
        column = self._columns[canal]
        at = junction.at_um
        column.cut(at)
        if top_um < at:
            yield column, top_um, at if bottom_um is None else min(at, bottom_um), shift_um
        if bottom_um is None or bottom_um > at:
            by = junction.shift_um
            yield from self._parts(
                junction.into,
                max(0, max(top_um, at) + by),
                None if bottom_um is None else max(0, bottom_um + by),
                shift_um + by,
            )

    def fill(
        self,
        canal: str,
        top_um: int,
        bottom_um: int | None,
        contents: Mix,
        start_ms: int,
        fresh: Interval | None = None,
        dressing: bool = False,
    ) -> None:
        """Put contents between two depths of a canal from an instant on."""
        for column, top, bottom, _ in self._parts(canal, top_um, bottom_um):
            column.fill(top, bottom, contents, start_ms, fresh, dressing)

    def empty(self, canal: str, top_um: int, bottom_um: int | None, at_ms: int) -> None:
        """End whatever is between two depths of a canal at an instant."""
        for column, top, bottom, _ in self._parts(canal, top_um, bottom_um):
            column.empty(top, bottom, at_ms)

    def activate(self, canal: str, top_um: int, bottom_um: int, span: Interval) -> None:
        """An activation worked between two depths of a canal for a span of time."""
        for column, top, bottom, _ in self._parts(canal, top_um, bottom_um):
            column.activate(top, top if bottom is None else bottom, span)

    def carry(self, canal: str, top_um: int, bottom_um: int, at_ms: int) -> None:
        """A file worked between two depths of a canal, across its junctions."""
        above: Mix | None = None
        for column, top, bottom, _ in self._parts(canal, top_um, bottom_um):
            above = column.carry(top, top if bottom is None else bottom, at_ms, above)

    def at(self, canal: str, depth_um: int) -> Mix | None:
        """What is now just below a depth of a canal; None = nothing, or a dressing."""
        for column, top, _, _ in self._parts(canal, depth_um, None):
            return column.at(top)
        return None

    def slices(self, canal: str, top_um: int) -> Iterator[Slice]:
        """The stretches below a depth of a canal, those it shares marked, in its own depths."""
        for column, top, bottom, shift in self._parts(canal, top_um, None):
            for s in column.slices(top, bottom):
                if column.site == canal:
                    yield s
                else:
                    yield structs.replace(
                        s,
                        site=canal,
                        from_um=s.from_um - shift,
                        to_um=None if s.to_um is None else s.to_um - shift,
                        shared_with=column.site,
                    )
