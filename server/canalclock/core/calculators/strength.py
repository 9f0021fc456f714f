"""A hypochlorite label on every other basis."""

from canalclock.core.calculators.asking import (
    NOMINAL,
    NOT_ADVICE,
    Answer,
    Calculator,
    Labelled,
    Quantity,
    labelled_pct_wv,
)
from canalclock.core.dosing import strength


class Asked(Labelled, frozen=True, kw_only=True):
    """A label; with pH the share of hypochlorous acid too."""

    ph: float | None = None
    celsius: float = 25.0


def ask(given: Asked) -> Answer:
    """The label's strength on every basis."""
    c = labelled_pct_wv(given)
    chlorine = strength.chlorine_g_per_l(c)
    w = strength.pct_ww_from_pct_wv(c, given.excess_naoh_pct_ww)
    values: dict[str, Quantity] = {
        "concentration_pct_wv": c,
        "concentration_pct_ww": w,
        "chlorine_g_per_l": chlorine,
        "chlorine_mg_per_l": 1000 * chlorine,
        "chlorine_pct_wv": chlorine / 10,
        "chlorine_pct_ww": w * strength.CHLORINE_PER_NAOCL,
        "degrees": chlorine / strength.G_PER_L_PER_DEGREE,
        "molar_mol_per_l": strength.molar(c),
        "density_g_per_ml": strength.density_g_per_ml(c, given.excess_naoh_pct_ww),
    }
    cautions = [NOMINAL, "Density is a fit, good to 0.5 to 1.5 % for fresh solutions.", NOT_ADVICE]
    if given.ph is not None:
        values["hypochlorous_share"] = strength.hypochlorous_share(given.ph, given.celsius)
        if not 5 <= given.celsius <= 35:
            cautions.insert(0, "The acid exponent was measured from 5 to 35 °C: extrapolated.")
    return Answer(
        values=values,
        source=(
            "Available chlorine: one mole of NaOCl counts as one mole of Cl2 (definition; found)",
            "Chlorometric degree, 3.17 g/L (legal text; found)",
            "Density fit to supplier data (derived)",
            "Morris, J Phys Chem 1966;70:3798 (memory, high)",
        ),
        cautions=tuple(cautions),
    )


CALCULATOR = Calculator(
    name="strength",
    about="What a hypochlorite label says on every other basis",
    inputs=Asked,
    ask=ask,
    example={"concentration_pct_ww": 5.25},
)
