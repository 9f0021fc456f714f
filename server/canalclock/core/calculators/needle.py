"""Where a needle sits loosely, and what it is not expected to reach."""

from canalclock.core.calculators.asking import NOT_ADVICE, Answer, Calculator, Quantity
from canalclock.core.calculators.shape import Shaped, open_ended, shaped
from canalclock.core.dosing import canal, needle


class Asked(Shaped, frozen=True, kw_only=True):
    """A canal and a needle; with a position, whether it binds there."""

    needle_gauge: int
    needle_tip: str
    clearance_mm: float = needle.CLEARANCE_MM
    short_of_wl_mm: float | None = None


def ask(given: Asked) -> Answer:
    """Position, stop and what stays unreached."""
    c = shaped(given)
    is_open = open_ended(given.needle_tip)
    outer = needle.outer_max_mm(given.needle_gauge)
    fit = needle.fit(c, given.needle_gauge, is_open, given.working_length_mm, given.clearance_mm)
    values: dict[str, Quantity] = {
        "shortest_of_wl_mm": fit.shortest_of_wl_mm,
        "stop_mm": fit.stop_mm,
        "not_reached_mm": fit.not_reached_mm,
        "not_reached_ul": fit.not_reached_ul,
        "outer_max_mm": outer,
        "reach_mm": needle.REACH_OPEN_MM if is_open else needle.REACH_CLOSED_MM,
        "smallest_size_1_mm": needle.smallest_size(outer, given.taper_pct, 1, given.clearance_mm),
        "smallest_size_3_mm": needle.smallest_size(outer, given.taper_pct, 3, given.clearance_mm),
    }
    cautions = [
        "A best case for a straight canal: curved canals, debris and the hub only make it worse."
        " Never an instruction to go deeper; a needle never binds.",
        "Reach beyond the tip is expected, not measured.",
        NOT_ADVICE,
    ]
    if given.short_of_wl_mm is not None:
        s = given.short_of_wl_mm
        binds = needle.binds(c, outer, s, given.clearance_mm)
        bare = needle.not_reached_mm(s, is_open)
        values["binds"] = binds
        values["stop_mm"] = given.working_length_mm - s
        values["not_reached_mm"] = bare
        values["not_reached_ul"] = canal.volume_ul(c, 0, min(bare, c.length_mm))
        if binds:
            cautions.insert(0, f"It would bind {s:g} mm short of working length.")
    if given.apical_size < 30:
        cautions.insert(0, "Below size 30 exchange at working length is not to be expected.")
    return Answer(
        values=values,
        source=(
            "ISO 9626 outer diameters (memory, high); clearance 0.05 mm (choice)",
            "Reach: flow simulation series on tip and insertion depth (found, abstracts)",
        ),
        cautions=tuple(cautions),
    )


CALCULATOR = Calculator(
    name="needle",
    about="Where a needle sits loosely and what it leaves",
    inputs=Asked,
    ask=ask,
    example={
        "working_length_mm": 20, "apical_size": 30, "taper_pct": 6, "needle_gauge": 30,
        "needle_tip": "side_vented",
    },
)  # fmt: skip
