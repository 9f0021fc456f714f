"""Flow through a needle: Reynolds number, pressure with entrance effect, force, time, refills.

Pressure and force are shown as a band, since the bore of one gauge varies by a factor of two in
what matters. A measured time per volume beats every figure here.
"""

import math
from typing import Final

from msgspec import Struct

from canalclock.core.dosing.ranges import within

DENSITY_KG_PER_M3: Final = 1040.0
VISCOSITY_MPA_S: Final = 0.99
"""The pair used for 1 % hypochlorite in the published flow simulations. (memory, high)"""
LAMINAR_RE: Final = 2000.0
"""Above this Reynolds number the laminar formula understates pressure. (found)"""

BARREL_MM: Final = {1: 4.69, 3: 8.59, 5: 11.99, 10: 14.48, 20: 19.05}
"""Inner diameter of generic plastic barrels by nominal volume in mL. [mm] (found, approximate)"""
FRICTION_N: Final = (0.0, 5.0)
"""Plunger friction, as a band. [N] (choice, after 4.5 to 5.5 measured dry: found)"""


class Mark(Struct, frozen=True, kw_only=True):
    """A flow named in the literature; never a limit."""

    flow_ml_per_min: float
    text: str
    tag: str


MARKS: Final = (
    Mark(flow_ml_per_min=1.0, text="may exceed venous pressure above, closed model", tag="found"),
    Mark(flow_ml_per_min=3.0, text="against 30 mmHg, side-vented 1 mm short", tag="found"),
    Mark(flow_ml_per_min=4.0, text="largest dye clearance at acceptable pressure", tag="found"),
    Mark(flow_ml_per_min=5.4, text="mean of five specialists, 30 gauge", tag="found"),
    Mark(flow_ml_per_min=8.4, text="lower rate of an extrusion study", tag="found"),
    Mark(flow_ml_per_min=11.4, text="mean of five specialists, 27 gauge", tag="found"),
    Mark(flow_ml_per_min=15.6, text="high rate of simulation and extrusion studies", tag="found"),
    Mark(flow_ml_per_min=16.2, text="mean of five specialists, 26 gauge", tag="found"),
)
"""Published flows that disagree with one another, shown side by side."""


def flow_ml_per_min(volume_ml: float, seconds: float) -> float:
    """
    Mean flow of a delivery.

        Q = V / t

    Args:
        volume_ml: Volume. [mL], >= 0.
        seconds: Time. [s], > 0.

    Returns:
        Flow. [mL/min]

    Raises:
        ValueError: Out of range.

    Examples:
        >>> flow_ml_per_min(0.5, 6)
        5.0

    Source:
        Definition.
    """
    return (
        within("volume_ml", volume_ml, "mL")
        * 60
        / within("seconds", seconds, "s", 0, above_low=True)
    )


def seconds_for(volume_ml: float, flow_ml_per_min: float) -> float:
    """
    Time that a volume takes at a flow.

        t = V / Q

    Args:
        volume_ml: Volume. [mL], >= 0.
        flow_ml_per_min: Flow. [mL/min], > 0.

    Returns:
        Time. [s]

    Raises:
        ValueError: Out of range.

    Source:
        Definition.
    """
    flow = within("flow_ml_per_min", flow_ml_per_min, "mL/min", 0, above_low=True)
    return within("volume_ml", volume_ml, "mL") * 60 / flow


def refills(volume_ml: float, syringe_ml: float) -> int:
    """
    Fillings after the first that a volume needs.

        ceil(V / V_syringe) - 1

    Args:
        volume_ml: Volume. [mL], >= 0.
        syringe_ml: Volume of one filling. [mL], > 0.

    Returns:
        Refills. [], >= 0.

    Raises:
        ValueError: Out of range.

    Examples:
        >>> refills(20, 3)
        6

    Source:
        Definition.
    """
    syringe = within("syringe_ml", syringe_ml, "mL", 0, above_low=True)
    return max(0, math.ceil(within("volume_ml", volume_ml, "mL") / syringe - 1e-9) - 1)


def velocity_m_per_s(flow_ml_per_min: float, inner_mm: float) -> float:
    """
    Mean velocity in a bore.

        V = 4 Q / (pi D^2)

    Args:
        flow_ml_per_min: Flow. [mL/min], >= 0.
        inner_mm: Inner diameter. [mm], > 0 to 5.

    Returns:
        Velocity. [m/s]

    Raises:
        ValueError: Out of range.

    Source:
        Continuity (definition).
    """
    q = within("flow_ml_per_min", flow_ml_per_min, "mL/min") * 1e-6 / 60
    d = within("inner_mm", inner_mm, "mm", 0, 5, above_low=True) * 1e-3
    return 4 * q / (math.pi * d * d)


def reynolds(
    flow_ml_per_min: float,
    inner_mm: float,
    density_kg_per_m3: float = DENSITY_KG_PER_M3,
    viscosity_mpa_s: float = VISCOSITY_MPA_S,
) -> float:
    """
    Reynolds number in a bore.

        Re = rho V D / mu

    Args:
        flow_ml_per_min: Flow. [mL/min], >= 0.
        inner_mm: Inner diameter. [mm], > 0 to 5.
        density_kg_per_m3: Density. [kg/m³], 500 to 2000.
        viscosity_mpa_s: Viscosity. [mPa s], 0.1 to 100.

    Returns:
        Reynolds number. []

    Raises:
        ValueError: Out of range.

    Source:
        Definition.
    """
    rho = within("density_kg_per_m3", density_kg_per_m3, "kg/m³", 500, 2000)
    mu = within("viscosity_mpa_s", viscosity_mpa_s, "mPa s", 0.1, 100) * 1e-3
    return rho * velocity_m_per_s(flow_ml_per_min, inner_mm) * inner_mm * 1e-3 / mu


def poiseuille_kpa(
    flow_ml_per_min: float,
    inner_mm: float,
    needle_length_mm: float,
    viscosity_mpa_s: float = VISCOSITY_MPA_S,
) -> float:
    """
    Pressure of fully developed laminar flow along a needle.

        dp = 128 mu L Q / (pi D^4)

    Args:
        flow_ml_per_min: Flow. [mL/min], >= 0.
        inner_mm: Inner diameter. [mm], > 0 to 5.
        needle_length_mm: Length. [mm], > 0 to 100.
        viscosity_mpa_s: Viscosity. [mPa s], 0.1 to 100.

    Returns:
        Pressure. [kPa]

    Raises:
        ValueError: Out of range.

    Source:
        Hagen-Poiseuille (found, also stated for endodontic needles).
    """
    q = within("flow_ml_per_min", flow_ml_per_min, "mL/min") * 1e-6 / 60
    d = within("inner_mm", inner_mm, "mm", 0, 5, above_low=True) * 1e-3
    length = within("needle_length_mm", needle_length_mm, "mm", 0, 100, above_low=True) * 1e-3
    mu = within("viscosity_mpa_s", viscosity_mpa_s, "mPa s", 0.1, 100) * 1e-3
    return 128 * mu * length * q / (math.pi * d**4) / 1000


def apparent_friction(x_plus: float) -> float:
    """
    Apparent friction of laminar flow that is still developing, times the Reynolds number.

        f_app Re = 3.44/sqrt(x+) + [1.25/(4 x+) + 16 - 3.44/sqrt(x+)] / (1 + 0.00021 x+^-2)

    Args:
        x_plus: Length over diameter and Reynolds number, L / (D Re). [], > 0.

    Returns:
        Fanning f_app Re. []

    Raises:
        ValueError: Out of range.

    Source:
        Shah, A correlation for laminar hydrodynamic entry length solutions, J Fluids Eng
        1978;100:177 (memory, high; within 2 % of a boundary-layer march).
    """
    x = within("x_plus", x_plus, "", 0, above_low=True)
    entry = 3.44 / math.sqrt(x)
    return entry + (1.25 / (4 * x) + 16 - entry) / (1 + 0.00021 / (x * x))


def pressure_kpa(
    flow_ml_per_min: float,
    inner_mm: float,
    needle_length_mm: float,
    density_kg_per_m3: float = DENSITY_KG_PER_M3,
    viscosity_mpa_s: float = VISCOSITY_MPA_S,
    entrance: float = 0.0,
) -> float:
    """
    Pressure from barrel to tip with the entrance effect.

        dp = (4 f_app L / D + 1 + K_c) rho V^2 / 2

    Args:
        flow_ml_per_min: Flow. [mL/min], >= 0.
        inner_mm: Inner diameter. [mm], > 0 to 5.
        needle_length_mm: Length. [mm], > 0 to 100.
        density_kg_per_m3: Density. [kg/m³], 500 to 2000.
        viscosity_mpa_s: Viscosity. [mPa s], 0.1 to 100.
        entrance: Entrance loss K_c. [], 0 (rounded) to 0.57 (sharp).

    Returns:
        Pressure [kPa]; understated above a Reynolds number of 2000.

    Raises:
        ValueError: Out of range.

    Source:
        Shah 1978 as `apparent_friction`; the 1 is the acceleration from rest.
    """
    k = within("entrance", entrance, "", 0, 0.57)
    length = within("needle_length_mm", needle_length_mm, "mm", 0, 100, above_low=True)
    re = reynolds(flow_ml_per_min, inner_mm, density_kg_per_m3, viscosity_mpa_s)
    if re == 0:
        return 0.0
    v = velocity_m_per_s(flow_ml_per_min, inner_mm)
    slender = length / inner_mm
    friction = apparent_friction(slender / re) / re
    return (4 * friction * slender + 1 + k) * density_kg_per_m3 * v * v / 2 / 1000


def force_n(pressure_kpa: float, syringe_ml: int, friction_n: float = 0.0) -> float:
    """
    Force on the plunger of a generic barrel.

        F = dp pi D_b^2 / 4 + F_friction

    Args:
        pressure_kpa: Pressure. [kPa], >= 0.
        syringe_ml: Nominal volume, one of 1, 3, 5, 10, 20. [mL]
        friction_n: Plunger friction. [N], 0 to 20.

    Returns:
        Force. [N]

    Raises:
        ValueError: Out of range, or a barrel the table has not.

    Source:
        Definition of pressure; bores by barrel (found, vary by maker up to 4 % in force).
    """
    if syringe_ml not in BARREL_MM:
        expected = ", ".join(str(v) for v in BARREL_MM)
        raise ValueError(f"syringe_ml: found {syringe_ml}, expected one of {expected} mL")
    area = math.pi * (BARREL_MM[syringe_ml] * 1e-3) ** 2 / 4
    return within("pressure_kpa", pressure_kpa, "kPa") * 1000 * area + within(
        "friction_n", friction_n, "N", 0, 20
    )


def flow_for_force_ml_per_min(
    force_n: float,
    syringe_ml: int,
    inner_mm: float,
    needle_length_mm: float,
    friction_n: float = 0.0,
) -> float:
    """
    Flow that a thumb's force gives, by bisection of the pressure.

        dp(Q) = (F - F_friction) / A_barrel

    Args:
        force_n: Force. [N], 0 to 200.
        syringe_ml: Nominal volume, one of 1, 3, 5, 10, 20. [mL]
        inner_mm: Inner diameter. [mm], > 0 to 5.
        needle_length_mm: Length. [mm], > 0 to 100.
        friction_n: Plunger friction. [N], 0 to 20.

    Returns:
        Flow. [mL/min]; 0 while friction is not overcome.

    Raises:
        ValueError: Out of range.

    Source:
        `pressure_kpa`, monotone in flow.
    """
    push = within("force_n", force_n, "N", 0, 200) - within("friction_n", friction_n, "N", 0, 20)
    if push <= 0:
        return 0.0
    wanted = push / force_n_per_kpa(syringe_ml)
    low, high = 0.0, 1.0
    while pressure_kpa(high, inner_mm, needle_length_mm) < wanted:
        high *= 2
    for _ in range(100):
        middle = (low + high) / 2
        if pressure_kpa(middle, inner_mm, needle_length_mm) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def force_n_per_kpa(syringe_ml: int) -> float:
    """
    Force that one kilopascal puts on a plunger.

    Args:
        syringe_ml: Nominal volume, one of 1, 3, 5, 10, 20. [mL]

    Returns:
        Force per pressure. [N/kPa]

    Raises:
        ValueError: A barrel the table has not.

    Source:
        `force_n`.
    """
    return force_n(1.0, syringe_ml)
