"""Two solutions of one irrigant put together, or two stocks for a strength between them."""

from canalclock.core.calculators.asking import (
    NOMINAL,
    NOT_ADVICE,
    Answer,
    Calculator,
    Inputs,
    Quantity,
    missing,
)
from canalclock.core.dosing.dilution import blend, blend_pct_wv


class Asked(Inputs, frozen=True, kw_only=True):
    """Two strengths, with either both volumes or a target and a volume."""

    first_pct_wv: float
    second_pct_wv: float
    first_ml: float | None = None
    second_ml: float | None = None
    target_pct_wv: float | None = None
    volume_ml: float | None = None


def ask(given: Asked) -> Answer:
    """The mixture's strength, or what to draw of each."""
    values: dict[str, Quantity]
    if given.target_pct_wv is not None or given.volume_ml is not None:
        if given.first_ml is not None or given.second_ml is not None:
            raise ValueError(
                "first_ml, second_ml: found beside target_pct_wv or volume_ml, expected one of"
                " the two questions"
            )
        missing(given, "target_pct_wv", "volume_ml")
        target, volume = given.target_pct_wv or 0.0, given.volume_ml or 0.0
        drawn = blend(target, volume, given.first_pct_wv, given.second_pct_wv)
        values = {
            "first_ml": drawn.first_ml,
            "second_ml": drawn.second_ml,
            "concentration_pct_wv": target,
        }
    else:
        missing(given, "first_ml", "second_ml")
        first, second = given.first_ml or 0.0, given.second_ml or 0.0
        values = {
            "concentration_pct_wv": blend_pct_wv(
                given.first_pct_wv, first, given.second_pct_wv, second
            ),
            "volume_ml": first + second,
        }
    return Answer(
        values=values,
        source=("Conservation of amount, volumes additive (definition)",),
        cautions=(
            "Only for two strengths of one irrigant: different agents may react.",
            NOMINAL,
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="mix",
    about="Two strengths of one irrigant put together",
    inputs=Asked,
    ask=ask,
    example={"first_pct_wv": 5.25, "first_ml": 30, "second_pct_wv": 1, "second_ml": 20},
)
