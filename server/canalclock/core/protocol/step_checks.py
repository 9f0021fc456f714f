"""What each act of a protocol needs, and what has no place in it."""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct, structs

from canalclock.core.protocol.definition import Act, Catalogue, Protocol, Step
from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.hints import nearest
from canalclock.core.protocol.problems import Path, Problem
from canalclock.core.protocol.trade import written_key


class Needs(Struct, frozen=True):
    """Fields that an act must have, and those it may have beside them."""

    must: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


_EVERY: Final = ("step", "act", "text")
NEEDS: Final[dict[Act, Needs]] = {
    "irrigate": Needs(
        ("solution",),
        ("site", "on_file", "volume_ul", "contact_ms", "contact_limit_ms", "tip_short_of_wl_um"),
    ),
    "instrument": Needs(("motion",), ("size", "taper_um_per_mm")),
    "recapitulate": Needs(("size",), ("taper_um_per_mm", "motion")),
    "activate": Needs(("activation", "duration_ms"), ("tip_short_of_wl_um",)),
    "remove": Needs(("by",), ("site",)),
    "check": Needs(("check",), ("site",)),
    "wait": Needs(("duration_ms",), ("site",)),
    "dress": Needs(("material",)),
    "fill": Needs(("material",)),
}

PASSIVE_SHORT_UM: Final = 2000
"""Least distance from working length of a delivery without pressure: the published reach of an
open-ended tip (Boutsioukis et al., J Endod 2010;36:1664-1668), taken as a choice."""


def step_problems(
    protocol: Protocol, document: Document, catalogue: Catalogue
) -> Iterator[Problem]:
    """Every problem of the single steps."""
    solutions = [s.solution for s in protocol.solutions]
    irrigants = [i.irrigant for i in catalogue.irrigants]
    for n, stage in enumerate(protocol.stages):
        for k, step in enumerate(stage.steps):
            path: Path = ("stages", n, "steps", k)
            yield from _needs(step, path, document)
            yield from _amounts(step, path, document)
            yield from _sites(step, path, document)
            if step.solution is not None and step.solution not in solutions:
                yield document.problem(
                    (*path, "solution"),
                    "unknown_solution",
                    f"found {step.solution!r}, which [[solutions]] does not have"
                    + nearest(step.solution, solutions),
                )
            if step.act == "dress" and step.material and step.material not in irrigants:
                yield document.problem(
                    (*path, "material"),
                    "unknown_irrigant",
                    f"found {step.material!r}, expected an irrigant of the catalogue, since the "
                    f"next visit finds it in the canal{nearest(step.material, irrigants)}",
                )
            if protocol.case.pressure == "none":
                yield from _passive(step, path, document)


def _set_fields(step: Step) -> list[str]:
    """Fields that differ from their default."""
    return [
        f.name for f in structs.fields(Step) if f.required or getattr(step, f.name) != f.default
    ]


def _needs(step: Step, path: Path, document: Document) -> Iterator[Problem]:
    needs = NEEDS[step.act]
    given = _set_fields(step)
    must = needs.must
    if step.act == "irrigate" and not step.on_file:
        must = (*must, "volume_ul")
    for field in must:
        if field not in given:
            yield document.problem(
                (*path, written_key(field)),
                "step_needs",
                f"missing, an act {step.act!r} needs it",
            )
    for field in given:
        if field not in (*_EVERY, *needs.must, *needs.may):
            yield document.problem(
                (*path, written_key(field)),
                "step_has_stray",
                f"found with act {step.act!r}, which has no use for it",
            )


def _amounts(step: Step, path: Path, document: Document) -> Iterator[Problem]:
    if (
        step.contact_ms is not None
        and step.contact_limit_ms is not None
        and step.contact_limit_ms < step.contact_ms
    ):
        yield document.problem(
            (*path, "contact_limit_s"),
            "limit_below_minimum",
            f"found {step.contact_limit_ms / 1000:g} s, below the step's own minimum of "
            f"{step.contact_ms / 1000:g} s",
        )
    for field in ("volume_ul", "duration_ms"):
        if getattr(step, field) == 0:
            key = written_key(field)
            yield document.problem((*path, key), "out_of_bounds", "found 0, expected more than 0")
    if step.tip_short_of_wl_um == 0 and step.act == "irrigate":
        yield document.problem(
            (*path, "tip_short_of_wl_mm"),
            "tip_at_working_length",
            "found 0 mm; a delivery stays short of working length",
        )


def _sites(step: Step, path: Path, document: Document) -> Iterator[Problem]:
    if step.site != "chamber":
        return
    if step.on_file or step.tip_short_of_wl_um is not None:
        key = "on_file" if step.on_file else "tip_short_of_wl_mm"
        yield document.problem(
            (*path, key), "step_has_stray", "found at the chamber, which has no working length"
        )
    if step.by == "points":
        yield document.problem(
            (*path, "by"), "step_has_stray", "found points at the chamber; expected 'aspiration'"
        )


def _passive(step: Step, path: Path, document: Document) -> Iterator[Problem]:
    """Without pressure: deliveries name how far they stay away, and nothing pumps."""
    if step.act == "irrigate" and step.site == "canal" and not step.on_file:
        short = step.tip_short_of_wl_um
        if short is None or short < PASSIVE_SHORT_UM:
            found = "missing" if short is None else f"found {short / 1000:g} mm"
            yield document.problem(
                (*path, "tip_short_of_wl_mm"),
                "pressure",
                f"{found}; with case.pressure 'none' a delivery stays at least "
                f"{PASSIVE_SHORT_UM / 1000:g} mm short of working length",
            )
    if step.activation == "manual_dynamic":
        yield document.problem(
            (*path, "activation"),
            "pressure",
            "found 'manual_dynamic', which pumps toward the apex, with case.pressure 'none'",
        )
