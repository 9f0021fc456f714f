"""The calculators: named questions to `dosing`, asked alike by command, door and screen.

Each has its inputs as one struct (fields named with their units) and answers one value a
quantity, with source and cautions. Not here: any formula (dosing), any warning (guard).
"""

from collections.abc import Mapping

from canalclock.core.calculators import (
    canal,
    dilute,
    exposure,
    flow,
    mix,
    needle,
    rinse,
    storage,
    strength,
    warmth,
)
from canalclock.core.calculators.asking import Calculator

CALCULATORS: Mapping[str, Calculator] = {
    c.name: c
    for c in (
        strength.CALCULATOR,
        dilute.CALCULATOR,
        mix.CALCULATOR,
        storage.CALCULATOR,
        canal.CALCULATOR,
        needle.CALCULATOR,
        flow.CALCULATOR,
        rinse.CALCULATOR,
        exposure.CALCULATOR,
        warmth.CALCULATOR,
    )
}
"""Every calculator by its name."""
