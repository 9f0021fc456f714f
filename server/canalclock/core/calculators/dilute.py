"""Stock and diluent for a wanted volume and strength."""

from canalclock.core.calculators.asking import (
    NOMINAL,
    NOT_ADVICE,
    Answer,
    Calculator,
    Labelled,
    labelled_pct_wv,
)
from canalclock.core.dosing.dilution import dilution


class Asked(Labelled, frozen=True, kw_only=True):
    """The stock's label, and what is wanted."""

    target_pct_wv: float
    volume_ml: float


def ask(given: Asked) -> Answer:
    """What to draw of stock and of diluent."""
    stock = labelled_pct_wv(given)
    drawn = dilution(given.target_pct_wv, given.volume_ml, stock)
    return Answer(
        values={
            "stock_ml": drawn.stock_ml,
            "diluent_ml": drawn.diluent_ml,
            "stock_pct_wv": stock,
            "target_pct_wv": given.target_pct_wv,
        },
        source=("Conservation of amount, volumes additive (definition)",),
        cautions=(
            NOMINAL,
            "Stock into water, in a clean opaque container; label it with strength and its basis,"
            " date, initials and a discard date.",
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="dilute",
    about="Stock and diluent for a wanted volume and strength",
    inputs=Asked,
    ask=ask,
    example={"concentration_pct_wv": 5.25, "target_pct_wv": 2.5, "volume_ml": 100},
)
