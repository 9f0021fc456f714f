"""Strength of hypochlorite left after storage, as a band with its caveats."""

from canalclock.core.calculators.asking import (
    NOT_ADVICE,
    Answer,
    Calculator,
    Labelled,
    labelled_pct_wv,
)
from canalclock.core.dosing import storage
from canalclock.core.dosing.ranges import within


class Asked(Labelled, frozen=True, kw_only=True):
    """A label, the days and temperature; or a history of both."""

    days: float | None = None
    celsius: float | None = None
    history: str | None = None
    """Stretches "days:celsius", comma-separated, such as "30:20,10:30"."""
    hydroxide_mol_per_l: float = storage.DEFAULT_HYDROXIDE_MOL_PER_L
    tolerance_pct: float = 10.0
    """How far below the label the strength may fall. [% of it]"""


def _stretches(given: Asked) -> list[tuple[float, float]]:
    if given.history is not None:
        if given.days is not None or given.celsius is not None:
            raise ValueError("history: found beside days or celsius, expected one of the two")
        stretches = []
        for part in given.history.split(","):
            days, colon, celsius = part.partition(":")
            try:
                stretches.append((float(days), float(celsius)))
            except ValueError:
                colon = ""
            if not colon:
                raise ValueError(f"history: found {part!r}, expected days:celsius such as 30:20")
        return stretches
    if given.days is None or given.celsius is None:
        raise ValueError("days, celsius: found nothing, expected both, or a history")
    return [(given.days, given.celsius)]


def ask(given: Asked) -> Answer:
    """What is left, as a best case with a low end."""
    c0 = labelled_pct_wv(given)
    stretches = _stretches(given)
    kept = storage.stored(c0, stretches, given.hydroxide_mol_per_l)
    tolerance = within("tolerance_pct", given.tolerance_pct, "%", 0, 100, above_low=True)
    limit = c0 * (1 - tolerance / 100)

    def day(faster: float) -> float | None:
        if limit <= 0:
            return None
        return storage.day_below(c0, limit, stretches, given.hydroxide_mol_per_l, faster)

    cautions = [
        "Best case: closed, dark, alkaline, free of metals. Opened, lit or neutralised solutions"
        " lose strength far faster; the practice's own limit comes first.",
        "Studies of dental dilutions disagree from hours to months.",
        NOT_ADVICE,
    ]
    if kept.extrapolated:
        cautions.insert(
            0,
            "Outside the law's stated range (0.7 to 3 mol/L, 15 to 55 °C, ionic strength 1 to 6):"
            " extrapolated.",
        )
    return Answer(
        values={
            "remaining_pct_wv": kept.remaining_pct_wv,
            "low_pct_wv": kept.low_pct_wv,
            "remaining_share_pct": 100 * kept.remaining_pct_wv / c0,
            "half_life_days": kept.half_life_days,
            "days_to_tolerance": day(1.0),
            "days_to_tolerance_low": day(storage.BAND_FACTOR),
            "tolerance_pct_wv": limit,
            "extrapolated": kept.extrapolated,
        },
        source=(
            "Adam and Gordon, Inorg Chem 1999;38:1299 (found, abstract)",
            "Band: classic handbook half-lives are up to 1.4 times shorter (memory)",
        ),
        cautions=tuple(cautions),
    )


CALCULATOR = Calculator(
    name="storage",
    about="Hypochlorite left after storage",
    inputs=Asked,
    ask=ask,
    example={"concentration_pct_wv": 5.25, "days": 180, "celsius": 25},
)
