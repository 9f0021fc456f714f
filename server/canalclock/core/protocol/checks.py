"""What is wrong with a protocol whose form is right: strangers, doubles, gaps, contradictions.

The files beside this one hold a family each: step_checks (what an act needs), neighbours
(irrigants that react without what separates them).
"""

from collections.abc import Iterable, Iterator

from canalclock.core.protocol.definition import Catalogue, Protocol, Solution
from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.hints import nearest
from canalclock.core.protocol.neighbours import neighbour_problems
from canalclock.core.protocol.problems import Path, Problem
from canalclock.core.protocol.questions import known_questions, needed_questions
from canalclock.core.protocol.step_checks import step_problems
from canalclock.core.protocol.visits import irrigants_of_visit


def protocol_problems(
    protocol: Protocol, document: Document, catalogue: Catalogue
) -> list[Problem]:
    """Every problem of meaning of a protocol; neighbours only once all names are known."""
    problems = [
        *_source(protocol, document),
        *_solutions(protocol, document, catalogue),
        *_stages(protocol, document),
        *step_problems(protocol, document, catalogue),
        *_questions(protocol, document, catalogue),
        *_targets(protocol, document),
    ]
    if any(p.code in ("unknown_irrigant", "unknown_solution", "step_needs") for p in problems):
        return problems
    return [*problems, *neighbour_problems(protocol, document, catalogue)]


def used_irrigants(protocol: Protocol) -> tuple[str, ...]:
    """Irrigants of the solutions and dressings, in the order of first mention."""
    poured = (c.irrigant for s in protocol.solutions for c in s.contents)
    dressed = (
        step.material
        for stage in protocol.stages
        for step in stage.steps
        if step.act == "dress" and step.material is not None
    )
    return tuple(dict.fromkeys((*poured, *dressed)))


def _source(protocol: Protocol, document: Document) -> Iterator[Problem]:
    if protocol.source.kind == "published" and protocol.source.cite is None:
        yield document.problem(
            ("source", "cite"),
            "missing_source",
            "missing with kind 'published'; expected authors, title, publication and year, or "
            "kind 'common_practice'",
        )


def _solutions(protocol: Protocol, document: Document, catalogue: Catalogue) -> Iterator[Problem]:
    names = [s.solution for s in protocol.solutions]
    yield from _doubles(document, ((("solutions", n, "solution"), s) for n, s in enumerate(names)))
    drawn = {step.solution for stage in protocol.stages for step in stage.steps}
    for n, solution in enumerate(protocol.solutions):
        if solution.solution not in drawn:
            yield document.problem(
                ("solutions", n, "solution"),
                "unused_solution",
                f"found {solution.solution!r}, which no step uses",
            )
        yield from _contents(solution, n, document, catalogue)


def _contents(
    solution: Solution, n: int, document: Document, catalogue: Catalogue
) -> Iterator[Problem]:
    entries = {i.irrigant: i for i in catalogue.irrigants}
    barrels = {(p.first, p.second): p.same_barrel for p in catalogue.pairs}
    agents: list[str] = []
    for k, component in enumerate(solution.contents):
        path: Path = ("solutions", n, "contents", k)
        entry = entries.get(component.irrigant)
        if entry is None:
            yield document.problem(
                (*path, "irrigant"),
                "unknown_irrigant",
                f"found {component.irrigant!r}, which the catalogue does not have"
                + nearest(component.irrigant, tuple(entries)),
            )
            continue
        yield from _strength(
            component.concentration_mg_per_l,
            entry.usual_low_mg_per_l,
            entry.usual_high_mg_per_l,
            component.irrigant,
            path,
            document,
        )
        for other in agents:
            if other == entry.reacts_as:
                yield document.problem(
                    (*path, "irrigant"), "duplicate", f"found {other!r} a second time in one barrel"
                )
            elif "never" in (
                barrels.get((other, entry.reacts_as)), barrels.get((entry.reacts_as, other))
            ):  # fmt: skip
                yield document.problem(
                    (*path, "irrigant"),
                    "never_in_one_barrel",
                    f"found {entry.reacts_as!r} with {other!r} in one barrel; the catalogue's "
                    "pair says never",
                )
        agents.append(entry.reacts_as)


def _strength(
    strength: int | None,
    low: int | None,
    high: int | None,
    irrigant: str,
    path: Path,
    document: Document,
) -> Iterator[Problem]:
    """A strength far from the usual ones is taken for a slip of the point: below a fifth of the
    least usual, or above twice the greatest (both bounds a choice)."""
    key = (*path, "concentration_pct_wv")
    if high is not None and strength is None:
        yield document.problem(key, "missing_key", f"missing, expected the strength of {irrigant}")
    if strength is None or low is None or high is None:
        return
    if strength * 5 < low or strength > high * 2:
        yield document.problem(
            key,
            "strength_implausible",
            f"found {strength / 10_000:g} % w/v of {irrigant}; usual is {low / 10_000:g} to "
            f"{high / 10_000:g} % w/v: is the point in the right place?",
        )


def _stages(protocol: Protocol, document: Document) -> Iterator[Problem]:
    names: list[tuple[Path, str]] = []
    visit = 1
    for n, stage in enumerate(protocol.stages):
        path: Path = ("stages", n)
        names.append(((*path, "stage"), stage.stage))
        names += [((*path, "steps", k, "step"), step.step) for k, step in enumerate(stage.steps)]
        if (stage.repeats == "cycles") != (stage.cycles > 1):
            yield document.problem(
                (*path, "cycles"),
                "cycles",
                f"found {stage.cycles} cycles with repeats {stage.repeats!r}; expected "
                + ("2 or more" if stage.repeats == "cycles" else "1, or repeats 'cycles'"),
            )
        acts = {step.act for step in stage.steps}
        if stage.repeats == "per_instrument" and "instrument" not in acts:
            yield document.problem(
                (*path, "repeats"),
                "no_instrument",
                "found 'per_instrument' without a step of act 'instrument'",
            )
        if stage.visit < visit:
            yield document.problem(
                (*path, "visit"), "visit_order", f"found visit {stage.visit} after visit {visit}"
            )
        visit = max(visit, stage.visit)
    yield from _doubles(document, names)
    yield from _visits(protocol, document)


def _visits(protocol: Protocol, document: Document) -> Iterator[Problem]:
    held = {stage.visit for stage in protocol.stages}
    expected = set(range(1, protocol.case.visits + 1))
    if held != expected:
        yield document.problem(
            ("case", "visits"),
            "visits",
            f"found {protocol.case.visits} visits, but stages for "
            + ", ".join(str(v) for v in sorted(held)),
        )


def _questions(protocol: Protocol, document: Document, catalogue: Catalogue) -> Iterator[Problem]:
    known = known_questions(catalogue)
    yield from _doubles(document, ((("questions", n), q) for n, q in enumerate(protocol.questions)))
    for n, question in enumerate(protocol.questions):
        if question not in known:
            yield document.problem(
                ("questions", n),
                "unknown_question",
                f"found {question!r}{nearest(question, known)}",
            )
    for question, irrigant in needed_questions(used_irrigants(protocol), catalogue).items():
        if question not in protocol.questions:
            yield document.problem(
                ("questions",),
                "missing_question",
                f"expected {question!r}, since the protocol uses {irrigant}",
            )


def _targets(protocol: Protocol, document: Document) -> Iterator[Problem]:
    used = used_irrigants(protocol)
    for kind, irrigants in (
        ("asks", [a.irrigant for a in protocol.asks]),
        ("limits", [limit.irrigant for limit in protocol.limits]),
    ):
        paths = [((kind, n, "irrigant"), irrigant) for n, irrigant in enumerate(irrigants)]
        if kind == "limits":
            yield from _doubles(document, paths)
        for path, irrigant in paths:
            if irrigant not in used:
                yield document.problem(
                    path,
                    "not_used",
                    f"found {irrigant!r}, which no solution holds{nearest(irrigant, used)}",
                )
    for n, ask in enumerate(protocol.asks):
        yield from _asked_at(protocol, document, n)
        amounts = (ask.contact_ms, ask.last_3mm_ms, ask.fresh_ms, ask.activated_ms, ask.volume_ul)
        if all(a is None for a in amounts):
            yield document.problem(("asks", n), "asks_nothing", "found no amount to ask for")
    contact = {a.irrigant: a.contact_ms for a in protocol.asks}
    for n, limit in enumerate(protocol.limits):
        asked = contact.get(limit.irrigant)
        if limit.longest_run_ms == 0:
            yield document.problem(
                ("limits", n, "longest_run_s"), "limit_below_minimum", "found 0 s, expected more"
            )
        elif asked is not None and limit.longest_run_ms < asked and _once(protocol, limit.irrigant):
            yield document.problem(
                ("limits", n, "longest_run_s"),
                "limit_below_minimum",
                f"found {limit.longest_run_ms / 1000:g} s, below the {asked / 1000:g} s that the "
                "protocol asks for, in the one step that brings it",
            )


def _asked_at(protocol: Protocol, document: Document, n: int) -> Iterator[Problem]:
    """One ask's visit: one that uses the irrigant, and that no earlier ask covers."""
    ask = protocol.asks[n]
    for earlier, other in enumerate(protocol.asks[:n]):
        meet = None in (ask.visit, other.visit) or ask.visit == other.visit
        if other.irrigant == ask.irrigant and meet:
            line = document.line(("asks", earlier, "irrigant"))
            yield document.problem(
                ("asks", n, "irrigant"),
                "duplicate",
                f"found {ask.irrigant!r} a second time; line {line} has it already",
            )
            break
    visit = ask.visit
    if visit is not None and ask.irrigant not in irrigants_of_visit(protocol, visit):
        yield document.problem(
            ("asks", n, "visit"),
            "not_used",
            f"found visit {visit}, whose stages do not use {ask.irrigant!r}",
        )


def _once(protocol: Protocol, irrigant: str) -> bool:
    """Whether a single step brings an irrigant, once."""
    holding = {
        s.solution for s in protocol.solutions if irrigant in [c.irrigant for c in s.contents]
    }
    times = [
        stage.repeats
        for stage in protocol.stages
        for step in stage.steps
        if step.solution in holding
    ]
    return times == ["once"]


def _doubles(document: Document, names: Iterable[tuple[Path, str]]) -> Iterator[Problem]:
    """Names that stand a second time."""
    seen: dict[str, Path] = {}
    for path, name in names:
        if name in seen:
            line = document.line(seen[name])
            yield document.problem(
                path, "duplicate", f"found {name!r} a second time; line {line} has it already"
            )
        seen.setdefault(name, path)
