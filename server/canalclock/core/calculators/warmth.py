"""Cooling of a warmed irrigant and what warmth does to rates."""

from canalclock.core.calculators.asking import NOT_ADVICE, Answer, Calculator, Inputs
from canalclock.core.dosing import warmth
from canalclock.core.dosing.ranges import within

DISSOLUTION_Q10 = (1.54, 1.94)
"""Tissue dissolution per 10 degrees. (derived from found and memory)"""


class Asked(Inputs, frozen=True, kw_only=True):
    """Temperature at the end of delivery and the time since."""

    celsius: float
    seconds: float
    limit_celsius: float = 45.0


def ask(given: Asked) -> Answer:
    """Temperature now, how long it stays above a limit, and the rate factors' span."""
    within("celsius", given.celsius, "°C", 0, 100)
    after = warmth.cooled_celsius(given.celsius, given.seconds)
    return Answer(
        values={
            "after_celsius": after,
            "seconds_above_limit": warmth.seconds_above(given.celsius, given.limit_celsius)
            if given.celsius >= warmth.BODY_CELSIUS
            else 0.0,
            "rate_ratio_low": warmth.rate_ratio(DISSOLUTION_Q10[0], after - 21),
            "rate_ratio_high": warmth.rate_ratio(DISSOLUTION_Q10[1], after - 21),
            "viscosity_mpa_s": warmth.water_viscosity_mpa_s(after),
        },
        source=(
            "Newton's cooling, 55 s in the apical third of a canine model (derived from found)",
            "Rate factors: Sirtes et al., J Endod 2005 (found) and a collagen study (memory)",
        ),
        cautions=(
            "One small canal of one tooth; published apical temperatures disagree.",
            "Rate ratios against 21 °C; never carry an equivalent into a limit.",
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="warmth",
    about="Cooling of a warmed irrigant in the canal",
    inputs=Asked,
    ask=ask,
    example={"celsius": 52.2, "seconds": 60},
)
