"""An estimate of pressure at a needle's tip from flow back through the ring beside it.

A model, not a limit: sealed apex, round straight canal, laminar. It grows without bound as the
ring closes, which is the right warning for a needle that binds. It is never shown as a reason
to think an act free of risk.
"""

import itertools
import math
from functools import lru_cache
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.canal import Canal, diameter_mm
from canalclock.core.dosing.flow import DENSITY_KG_PER_M3, VISCOSITY_MPA_S
from canalclock.core.dosing.ranges import within

PA_PER_MMHG: Final = 133.322
"""[Pa] (definition)"""
ECCENTRIC_FACTOR: Final = 2.5
"""How much more an eccentric needle that touches the wall lets through, narrow gap. (found)"""
_STEPS_PER_PIECE: Final = 400


class Reference(Struct, frozen=True, kw_only=True):
    """A pressure that a study compared with; they disagree."""

    pressure_mmhg: float
    text: str
    tag: str


REFERENCES: Final = (
    Reference(pressure_mmhg=5.73, text="extrusion threshold of an open-apex study", tag="found"),
    Reference(pressure_mmhg=5.88, text="central venous pressure as used in 2013", tag="found"),
    Reference(pressure_mmhg=30.0, text="intraosseous back-pressure of a third model", tag="found"),
)


class BackPressure(Struct, frozen=True, kw_only=True):
    """The estimate's band. [mmHg]"""

    low_mmhg: float
    """Needle touching the wall, viscous part alone."""
    concentric_mmhg: float
    """Needle central, viscous part alone."""
    high_mmhg: float
    """Needle central, with one velocity head in the ring."""


def ring_gradient_pa_per_m(
    outer_mm: float,
    inner_mm: float,
    flow_ml_per_min: float,
    viscosity_mpa_s: float = VISCOSITY_MPA_S,
) -> float:
    """
    Pressure gradient of laminar flow in a concentric ring.

        dp/dx = 8 mu Q / (pi [R^4 - r^4 - (R^2 - r^2)^2 / ln(R/r)])

    Args:
        outer_mm: Diameter of the canal, 2 R. [mm], more than the needle's.
        inner_mm: Diameter of the needle, 2 r. [mm], > 0.
        flow_ml_per_min: Flow. [mL/min], >= 0.
        viscosity_mpa_s: Viscosity. [mPa s], 0.1 to 100.

    Returns:
        Gradient. [Pa/m]

    Raises:
        ValueError: Out of range, or no ring.

    Source:
        Bird, Stewart and Lightfoot, Transport Phenomena; White, Fluid Mechanics (memory, high).
    """
    r = within("inner_mm", inner_mm, "mm", 0, 5, above_low=True) / 2000
    outer = within("outer_mm", outer_mm, "mm", inner_mm, 10, above_low=True) / 2000
    q = within("flow_ml_per_min", flow_ml_per_min, "mL/min") * 1e-6 / 60
    mu = within("viscosity_mpa_s", viscosity_mpa_s, "mPa s", 0.1, 100) * 1e-3
    room = outer**4 - r**4 - (outer**2 - r**2) ** 2 / math.log(outer / r)
    return 8 * mu * q / (math.pi * room)


def back_pressure(
    canal: Canal,
    needle_outer_mm: float,
    short_of_wl_mm: float,
    flow_ml_per_min: float,
    density_kg_per_m3: float = DENSITY_KG_PER_M3,
    viscosity_mpa_s: float = VISCOSITY_MPA_S,
) -> BackPressure:
    """
    Estimated pressure at the tip relative to the orifice.

        p = integral from s to L of dp/dx,   high end + rho V_a^2 / 2,   low end p / 2.5

    Args:
        canal: The prepared canal, working length to orifice.
        needle_outer_mm: Outer diameter. [mm], > 0; less than the canal at the tip.
        short_of_wl_mm: Position of the tip s. [mm], 0 to the canal's length.
        flow_ml_per_min: Flow. [mL/min], >= 0.
        density_kg_per_m3: Density. [kg/m³], 500 to 2000.
        viscosity_mpa_s: Viscosity. [mPa s], 0.1 to 100.

    Returns:
        The band. [mmHg]

    Raises:
        ValueError: Out of range, or a needle that binds there.

    Source:
        Lubrication approximation over `ring_gradient_pa_per_m` (derived; checked against finite
        differences); eccentric factor 1 + 1.5 e^2 (found).
    """
    s = within("short_of_wl_mm", short_of_wl_mm, "mm", 0, canal.length_mm)
    at_tip = diameter_mm(canal, s)
    if at_tip <= needle_outer_mm:
        raise ValueError(
            f"short_of_wl_mm: found {s:g} mm, where the canal is {at_tip:.3f} mm wide; the needle"
            f" of {needle_outer_mm:g} mm binds there"
        )
    rho = within("density_kg_per_m3", density_kg_per_m3, "kg/m³", 500, 2000)
    flow = within("flow_ml_per_min", flow_ml_per_min, "mL/min")
    cuts = [s, *(x for x, _ in canal.points if x > s)]
    viscous = flow * sum(
        _pa_at_unit_flow(canal, needle_outer_mm, viscosity_mpa_s, a, b)
        for a, b in itertools.pairwise(cuts)
    )
    q = flow * 1e-6 / 60
    velocity = 4 * q / (math.pi * (at_tip**2 - needle_outer_mm**2) * 1e-6)
    return BackPressure(
        low_mmhg=viscous / ECCENTRIC_FACTOR / PA_PER_MMHG,
        concentric_mmhg=viscous / PA_PER_MMHG,
        high_mmhg=(viscous + rho * velocity * velocity / 2) / PA_PER_MMHG,
    )


@lru_cache(maxsize=64)
def _pa_at_unit_flow(
    canal: Canal, needle_mm: float, viscosity: float, a_mm: float, b_mm: float
) -> float:
    """
    Simpson's integral of the gradient over one straight piece, in steps even in the gap.

    At 1 mL/min, since the gradient is linear in flow: a curve over flows integrates once.
    [Pa/(mL/min)]
    """
    gap_a, gap_b = (diameter_mm(canal, x) - needle_mm for x in (a_mm, b_mm))
    n = _STEPS_PER_PIECE
    if math.isclose(gap_a, gap_b):
        xs = [a_mm + (b_mm - a_mm) * i / n for i in range(n + 1)]
    else:
        ratio = gap_b / gap_a
        xs = [
            a_mm + (b_mm - a_mm) * (gap_a * ratio ** (i / n) - gap_a) / (gap_b - gap_a)
            for i in range(n + 1)
        ]
        xs[-1] = b_mm
    total = 0.0
    for low, high in itertools.pairwise(xs):
        middle = (low + high) / 2
        values = [
            ring_gradient_pa_per_m(diameter_mm(canal, x), needle_mm, 1.0, viscosity)
            for x in (low, middle, high)
        ]
        total += (high - low) * 1e-3 / 6 * (values[0] + 4 * values[1] + values[2])
    return total
