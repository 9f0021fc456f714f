"""Volume, section and exchanges of a prepared canal."""

from canalclock.core.calculators.asking import NOT_ADVICE, Answer, Calculator, Quantity
from canalclock.core.calculators.shape import Shaped, shaped
from canalclock.core.dosing import canal
from canalclock.core.dosing.ranges import within


class Asked(Shaped, frozen=True, kw_only=True):
    """A canal, a place in it, and a delivered volume."""

    short_of_wl_mm: float = 3.0
    volume_ml: float = 1.0


def ask(given: Asked) -> Answer:
    """Volume, and what lies below a place."""
    c = shaped(given)
    within("short_of_wl_mm", given.short_of_wl_mm, "mm", 0, c.length_mm)
    values: dict[str, Quantity] = {
        "volume_ul": canal.volume_ul(c),
        "diameter_mm": canal.diameter_mm(c, given.short_of_wl_mm),
        "section_mm2": canal.section_mm2(c, given.short_of_wl_mm),
        "below_ul": canal.volume_ul(c, 0, given.short_of_wl_mm),
        "share_below_pct": 100 * canal.share_below(c, given.short_of_wl_mm),
        "exchanges": canal.exchanges(c, given.volume_ml),
        "length_mm": c.length_mm,
        "points_mm": [list(p) for p in c.points],
    }
    return Answer(
        values=values,
        source=(
            "Truncated cone of ISO 3630-1 size and taper (found; working part memory, high)",
            "Cap of 1.2 mm (choice)",
        ),
        cautions=(
            "The instrumented lumen only: instruments leave a third or more of the wall untouched"
            " in some molars, so the real space is larger.",
            "Exchanges say little about the last millimetres.",
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="canal",
    about="Volume and exchanges of a prepared canal",
    inputs=Asked,
    ask=ask,
    example={"working_length_mm": 21, "apical_size": 25, "taper_pct": 6},
)
