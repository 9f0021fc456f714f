"""What is wrong with a catalogue whose form is right: clashes, strangers, gaps."""

from collections.abc import Iterator

from canalclock.core.protocol.definition import Catalogue
from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.hints import nearest
from canalclock.core.protocol.problems import Path, Problem

UNKNOWN = "unknown"
"""The irrigant nobody can name; every catalogue has it."""


def catalogue_problems(
    catalogue: Catalogue, irrigants: Document, pairs: Document, needles: Document
) -> list[Problem]:
    """Every problem of meaning of the three files."""
    return [
        *_irrigants(catalogue, irrigants),
        *_pairs(catalogue, pairs),
        *_needles(catalogue, needles),
    ]


def _irrigants(catalogue: Catalogue, document: Document) -> Iterator[Problem]:
    names = [i.irrigant for i in catalogue.irrigants]
    letters: dict[str, str] = {}
    looks: dict[tuple[str, str], str] = {}
    seen: set[str] = set()
    if UNKNOWN not in names:
        yield document.problem(("irrigants",), "missing_irrigant", "expected an irrigant 'unknown'")
    for n, entry in enumerate(catalogue.irrigants):
        path: Path = ("irrigants", n)
        if entry.irrigant in seen:
            yield _twice(document, (*path, "irrigant"), entry.irrigant)
        seen.add(entry.irrigant)
        if entry.letter in letters:
            yield document.problem(
                (*path, "letter"),
                "letter_clash",
                f"found {entry.letter!r}, which {letters[entry.letter]!r} has already; "
                "expected another letter",
            )
        letters.setdefault(entry.letter, entry.irrigant)
        look = (entry.pattern, entry.hue)
        if look in looks:
            yield document.problem(
                (*path, "pattern"),
                "look_clash",
                f"found {entry.pattern} in {entry.hue}, which {looks[look]!r} has already; "
                "expected another pattern or hue",
            )
        looks.setdefault(look, entry.irrigant)
        agent = next((i for i in catalogue.irrigants if i.irrigant == entry.reacts_as), None)
        if agent is None:
            yield _stranger(document, (*path, "reacts_as"), entry.reacts_as, names)
        elif agent.reacts_as != agent.irrigant:
            yield document.problem(
                (*path, "reacts_as"),
                "reacts_as_chain",
                f"found {entry.reacts_as!r}, which itself reacts as {agent.reacts_as!r}; "
                "expected an agent that reacts as itself",
            )
        if entry.irrigant == UNKNOWN and (entry.reacts_as, entry.kind) != (UNKNOWN, "unknown"):
            yield document.problem(
                path,
                "unknown_tamed",
                f"found 'unknown' of kind {entry.kind!r} that reacts as {entry.reacts_as!r}; "
                "expected kind 'unknown' that reacts as itself: it reacts with everything",
            )
        low, high = entry.usual_low_mg_per_l, entry.usual_high_mg_per_l
        if low is not None and high is not None and low > high:
            yield document.problem(
                (*path, "usual_low_pct_wv"),
                "out_of_order",
                "found a usual low above the usual high",
            )


def _pairs(catalogue: Catalogue, document: Document) -> Iterator[Problem]:
    agents = [i.irrigant for i in catalogue.irrigants if i.reacts_as == i.irrigant]
    seen: set[tuple[str, str]] = set()
    for n, pair in enumerate(catalogue.pairs):
        path: Path = ("pairs", n)
        for key, agent in (("first", pair.first), ("second", pair.second)):
            if agent not in agents or agent == UNKNOWN:
                yield _stranger(document, (*path, key), agent, agents)
        if pair.first == pair.second:
            yield document.problem(
                (*path, "second"), "pair_with_itself", f"found {pair.first!r} with itself"
            )
        if (pair.first, pair.second) in seen:
            yield _twice(document, (*path, "first"), f"{pair.first} then {pair.second}")
        seen.add((pair.first, pair.second))
        asks_rinse = pair.level != "ok"
        if asks_rinse != (pair.rinse_ul > 0):
            yield document.problem(
                (*path, "rinse_ml"),
                "separation",
                f"found {pair.rinse_ul / 1000:g} mL with level {pair.level!r}; expected "
                + ("more than 0" if asks_rinse else "0"),
            )
        if (pair.level == "rinse_dry") != (pair.removals > 0):
            yield document.problem(
                (*path, "removals"),
                "separation",
                f"found {pair.removals} removals with level {pair.level!r}; expected "
                + ("1 or more" if pair.level == "rinse_dry" else "0"),
            )
        if pair.basis in ("found", "memory") and not pair.source:
            yield document.problem(
                (*path, "source"), "missing_source", f"missing, with basis {pair.basis!r}"
            )


def _needles(catalogue: Catalogue, document: Document) -> Iterator[Problem]:
    seen: set[int] = set()
    for n, needle in enumerate(catalogue.needles):
        if needle.needle_gauge in seen:
            yield _twice(document, ("needles", n, "needle_gauge"), str(needle.needle_gauge))
        seen.add(needle.needle_gauge)
        nominal = needle.outer_nominal_um
        if nominal is not None and nominal > needle.outer_max_um:
            yield document.problem(
                ("needles", n, "outer_nominal_mm"),
                "out_of_order",
                "found a nominal diameter above the largest",
            )
    tips: set[str] = set()
    for n, tip in enumerate(catalogue.reach.tips):
        if tip.needle_tip in tips:
            yield _twice(document, ("reach", "tips", n, "needle_tip"), tip.needle_tip)
        tips.add(tip.needle_tip)
    activations: set[str] = set()
    for n, a in enumerate(catalogue.reach.activations):
        if a.activation in activations:
            yield _twice(document, ("reach", "activations", n, "activation"), a.activation)
        activations.add(a.activation)


def _twice(document: Document, path: Path, what: str) -> Problem:
    return document.problem(path, "duplicate", f"found {what!r} a second time; expected it once")


def _stranger(document: Document, path: Path, what: str, known: list[str]) -> Problem:
    return document.problem(
        path,
        "unknown_irrigant",
        f"found {what!r}, which the catalogue does not have as an agent{nearest(what, known)}",
    )
