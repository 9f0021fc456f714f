"""Concentration times time, with the band for consumed chlorine."""

from canalclock.core.calculators.asking import NOT_ADVICE, Answer, Calculator, Inputs
from canalclock.core.dosing import exposure


class Asked(Inputs, frozen=True, kw_only=True):
    """A hypochlorite strength, its contact and how often it was renewed."""

    concentration_pct_wv: float
    minutes: float
    fillings: int = 1


def ask(given: Asked) -> Answer:
    """Nominal, low end and gain from renewal."""
    got = exposure.exposure(given.concentration_pct_wv, given.minutes, given.fillings)
    return Answer(
        values={
            "nominal_pct_min": got.nominal_pct_min,
            "low_pct_min": got.low_pct_min,
            "renewal_gain_pct_min": got.renewal_gain_pct_min,
            "consumption_low_per_min": exposure.CONSUMPTION_BAND_PER_MIN[0],
            "consumption_high_per_min": exposure.CONSUMPTION_BAND_PER_MIN[1],
        },
        source=(
            "Definition of concentration times time",
            "First-order consumption, 0 to 0.3 per min (choice; no published value for canals)",
        ),
        cautions=(
            "Not a validated dose: strength and time are not shown to trade one for one in canals.",
            "Longer and larger hypochlorite exposure weakened bovine roots (found).",
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="exposure",
    about="Concentration times time, nominal and with consumption",
    inputs=Asked,
    ask=ask,
    example={"concentration_pct_wv": 2.5, "minutes": 5, "fillings": 5},
)
