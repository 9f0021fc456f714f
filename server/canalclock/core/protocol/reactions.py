"""What the kit knows of one agent after another: levels, what separates, who may rinse between.

Agents are compared by `reacts_as`, so a chelating gel has the pairs of its chelator.
"""

from msgspec import structs

from canalclock.core.protocol.definition import UNKNOWN, Catalogue, IrrigantKind, Pair


class Reactions:
    """The catalogue's pairs, ready to be asked."""

    def __init__(self, catalogue: Catalogue) -> None:
        """Index a catalogue."""
        self._pairs = {(p.first, p.second): p for p in catalogue.pairs}
        self._agent = {i.irrigant: i.reacts_as for i in catalogue.irrigants}
        self._kind: dict[str, IrrigantKind] = {i.irrigant: i.kind for i in catalogue.irrigants}

    def agent(self, irrigant: str) -> str:
        """The agent whose pairs hold for an irrigant; itself when the catalogue has none."""
        return self._agent.get(irrigant, irrigant)

    def kind(self, irrigant: str) -> IrrigantKind:
        """What sort of irrigant it is; `unknown` when the catalogue has none."""
        return self._kind.get(irrigant, "unknown")

    def pair(self, first: str, second: str) -> Pair | None:
        """
        What holds when `second` comes after `first`.

        Returns:
            The pair; a pair of level `ok` for an agent after itself; a `rinse_dry` pair for
            unknown contents against all but rinses; None when the catalogue has none.
        """
        a, b = self.agent(first), self.agent(second)
        if a == b and a != UNKNOWN:
            return _tolerated(a, b)
        if UNKNOWN in (a, b):
            return self._with_unknown(a, b)
        return self._pairs.get((a, b))

    def rinses(self, first: str, second: str) -> frozenset[str]:
        """Irrigants that both tolerate: `ok` after the first and before the second."""
        return frozenset(
            m
            for m, agent in self._agent.items()
            if agent not in (self.agent(first), self.agent(second), UNKNOWN)
            and self._ok(first, m)
            and self._ok(m, second)
        )

    def _ok(self, first: str, second: str) -> bool:
        pair = self.pair(first, second)
        return pair is not None and pair.level == "ok"

    def _with_unknown(self, a: str, b: str) -> Pair:
        other = b if a == UNKNOWN else a
        if self.kind(other) == "rinse":
            return _tolerated(a, b)
        strictest = [p for p in self._pairs.values() if p.level == "rinse_dry"]
        return structs.replace(
            _tolerated(a, b),
            level="rinse_dry",
            rinse_ul=max((p.rinse_ul for p in strictest), default=0),
            removals=max((p.removals for p in strictest), default=1),
            same_barrel="never",
        )


def _tolerated(a: str, b: str) -> Pair:
    return Pair(
        first=a, second=b, level="ok", rinse_ul=0, removals=0, same_barrel="ok", basis="reasoned"
    )
