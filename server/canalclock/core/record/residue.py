"""What may still be at a site, and whether a rinse has been recorded since.

Per site and component: since when, and every act since then that could clear it.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from canalclock.core.protocol.definition import Pair
from canalclock.core.record.events import CHAMBER
from canalclock.core.record.values import Clearing, Mix, Residue


class _Soil(Struct):
    event: str
    at_ms: int
    origin: str
    dressing: bool
    carried: bool
    before: int
    """How many of the site's clearing acts came before it."""


class Residues:
    """Residues while events are read in order; private to the fold."""

    def __init__(self) -> None:
        """A tooth of which nothing is known to be in it."""
        self._by_site: dict[str, dict[str, _Soil]] = {}
        self._acts: dict[str, list[Clearing]] = {}
        """Everything done at a site that may clear what was there then."""

    def soil(
        self,
        origin: str,
        reached: Iterable[str],
        contents: Mix,
        event: str,
        at_ms: int,
        *,
        dressing: bool = False,
        carried: bool = False,
    ) -> None:
        """Contents came from an act at `origin` to the sites it reached, and to the chamber."""
        for site in (*reached, CHAMBER):
            there = self._by_site.setdefault(site, {})
            before = len(self._acts.get(site, ()))
            for component in contents:
                there[component.irrigant] = _Soil(event, at_ms, origin, dressing, carried, before)

    def clear(self, site: str, act: Clearing) -> None:
        """Something was done at a site that may clear it."""
        self._acts.setdefault(site, []).append(act)

    def filed(self, canal: str) -> None:
        """A file has worked in a canal: it carries what is there, and what came of it above."""
        for soil in self._by_site.get(canal, {}).values():
            soil.carried = True
        for soil in self._by_site.get(CHAMBER, {}).values():
            soil.carried = soil.carried or soil.origin in (canal, CHAMBER)

    def forget(self, canal: str) -> None:
        """A canal was filled for good."""
        self._by_site.pop(canal, None)

    def value(self) -> tuple[Residue, ...]:
        """All residues, by site in the order of first soil."""
        return tuple(
            Residue(
                site=site,
                irrigant=irrigant,
                soil=soil.event,
                at_ms=soil.at_ms,
                origin=soil.origin,
                dressing=soil.dressing,
                carried=soil.carried,
                clearing=tuple(self._acts.get(site, ())[soil.before :]),
            )
            for site, there in self._by_site.items()
            for irrigant, soil in there.items()
        )


def separated(
    residue: Residue,
    pair: Pair,
    rinses: frozenset[str],
    uncertain: frozenset[frozenset[str]],
) -> bool:
    """
    Whether the record holds, in order, what the pair asks between a residue and the next agent.

    Args:
        residue: What was there, and the acts since.
        pair: The level and what separates; `ok` asks nothing.
        rinses: Irrigants that both agents tolerate (`ok` after the one and before the other).
        uncertain: Pairs of events whose order is not certain: the worse order is taken.

    Returns:
        True once the rinse volume, then the removals are on record.
    """
    if pair.level == "ok":
        return True
    usable = [c for c in residue.clearing if frozenset((c.event, residue.soil)) not in uncertain]
    after = _after_rinse(usable, pair.rinse_ul, rinses)
    if after is None:
        return False
    last, rest = after
    removals = [
        c
        for c in rest
        if c.removes and (last is None or frozenset((c.event, last)) not in uncertain)
    ]
    return len(removals) >= pair.removals


def _after_rinse(
    acts: Sequence[Clearing], rinse_ul: int, rinses: frozenset[str]
) -> tuple[str | None, Sequence[Clearing]] | None:
    """The rinse that reached the volume and the acts after it; None while it is not reached."""
    if rinse_ul == 0:
        return None, acts
    volume = 0
    for i, act in enumerate(acts):
        if act.rinses and act.contents and all(c.irrigant in rinses for c in act.contents):
            volume += act.volume_ul or 0
            if volume >= rinse_ul:
                return act.event, acts[i + 1 :]
    return None
