"""Flow through a needle, the force behind it, and an estimate of back-pressure."""

from canalclock.core.calculators.asking import (
    NOT_ADVICE,
    Answer,
    Calculator,
    Inputs,
    Quantity,
)
from canalclock.core.calculators.shape import Shaped, shaped
from canalclock.core.dosing import back_pressure, flow, needle


class Asked(Inputs, frozen=True, kw_only=True):
    """A flow (or a volume and its time) through a needle; with a canal, back-pressure too."""

    needle_gauge: int
    needle_length_mm: float = 25.0
    syringe_ml: int = 5
    flow_ml_per_min: float | None = None
    volume_ml: float | None = None
    seconds: float | None = None
    working_length_mm: float | None = None
    apical_size: float | None = None
    taper_pct: float | None = None
    orifice_mm: float = 0.0
    short_of_wl_mm: float | None = None
    density_kg_per_m3: float = flow.DENSITY_KG_PER_M3
    viscosity_mpa_s: float = flow.VISCOSITY_MPA_S


def _flow(given: Asked) -> float:
    if given.flow_ml_per_min is not None:
        return given.flow_ml_per_min
    if given.volume_ml is None or given.seconds is None:
        raise ValueError("flow_ml_per_min: found nothing, expected it, or volume_ml and seconds")
    return flow.flow_ml_per_min(given.volume_ml, given.seconds)


def _pressure(given: Asked, q: float, inner_mm: float) -> float:
    return flow.pressure_kpa(
        q, inner_mm, given.needle_length_mm, given.density_kg_per_m3, given.viscosity_mpa_s
    )


def ask(given: Asked) -> Answer:
    """Reynolds number, pressure and force as bands, time and refills."""
    q = _flow(given)
    if given.needle_gauge not in needle.INNER_NOMINAL_MM:
        raise ValueError(f"needle_gauge: found {given.needle_gauge}, expected 21 to 31")
    bores = [b for b in needle.INNER_MIN_MM[given.needle_gauge] if b is not None]
    nominal = needle.INNER_NOMINAL_MM[given.needle_gauge]
    pressure = _pressure(given, q, nominal)
    low, high = _pressure(given, q, max(*bores, nominal)), _pressure(given, q, min(*bores, nominal))
    re = flow.reynolds(q, nominal, given.density_kg_per_m3, given.viscosity_mpa_s)
    values: dict[str, Quantity] = {
        "flow_ml_per_min": q,
        "reynolds": re,
        "pressure_kpa": pressure,
        "pressure_low_kpa": low,
        "pressure_high_kpa": high,
        "force_n": flow.force_n(pressure, given.syringe_ml),
        "force_low_n": flow.force_n(low, given.syringe_ml, flow.FRICTION_N[0]),
        "force_high_n": flow.force_n(high, given.syringe_ml, flow.FRICTION_N[1]),
        "seconds_per_ml": flow.seconds_for(1, q) if q > 0 else None,
        "marks": [
            {"flow_ml_per_min": m.flow_ml_per_min, "text": m.text, "tag": m.tag} for m in flow.MARKS
        ],
    }
    cautions = [
        "A model: the bore of one gauge varies by a factor of two in pressure. A measured time per"
        " volume beats it.",
        "Published flows disagree; none is a limit below which extrusion cannot happen.",
        NOT_ADVICE,
    ]
    if given.volume_ml is not None:
        values["refills"] = flow.refills(given.volume_ml, given.syringe_ml)
    if re > flow.LAMINAR_RE:
        cautions.insert(0, "Reynolds number above 2 000: pressure is understated.")
    if given.short_of_wl_mm is not None:
        _add_back_pressure(given, q, values)
        cautions.insert(0, "Estimated back-pressure: a model of a sealed canal, not a limit.")
    return Answer(
        values=values,
        source=(
            "Hagen-Poiseuille (found) with developing flow, Shah 1978 (memory, high)",
            "Bores: nominal tubing table (found) and ISO 9626 minima (memory)",
            "Barrels (found, approximate); plunger friction 0 to 5 N (choice)",
            "Ring flow: Bird, Stewart and Lightfoot; White (memory, high)",
        ),
        cautions=tuple(cautions),
    )


def _add_back_pressure(given: Asked, q: float, values: dict[str, Quantity]) -> None:
    if given.working_length_mm is None or given.apical_size is None or given.taper_pct is None:
        raise ValueError(
            "short_of_wl_mm: found without a canal, expected working_length_mm, apical_size and"
            " taper_pct beside it"
        )
    canal = shaped(
        Shaped(
            working_length_mm=given.working_length_mm,
            apical_size=given.apical_size,
            taper_pct=given.taper_pct,
            orifice_mm=given.orifice_mm,
        )
    )
    estimate = back_pressure.back_pressure(
        canal,
        needle.outer_max_mm(given.needle_gauge),
        given.short_of_wl_mm or 0.0,
        q,
        given.density_kg_per_m3,
        given.viscosity_mpa_s,
    )
    values["back_pressure_low_mmhg"] = estimate.low_mmhg
    values["back_pressure_mmhg"] = estimate.concentric_mmhg
    values["back_pressure_high_mmhg"] = estimate.high_mmhg
    values["references"] = [
        {"pressure_mmhg": r.pressure_mmhg, "text": r.text, "tag": r.tag}
        for r in back_pressure.REFERENCES
    ]


CALCULATOR = Calculator(
    name="flow",
    about="Pressure, force and time of a flow through a needle",
    inputs=Asked,
    ask=ask,
    example={"needle_gauge": 30, "flow_ml_per_min": 6, "syringe_ml": 5},
)
