"""The canal on record as the cone that the formulas work on, or what is missing for it.

Not here: any formula (dosing/).
"""

from canalclock.core.dosing import canal as cone
from canalclock.core.quantities import UM_PER_MM, UM_PER_MM_PER_TAPER_PCT
from canalclock.core.record.values import Canal, Made


class Shape(Made, frozen=True, kw_only=True):
    """A canal from working length outward; without cone the names of what is not known."""

    cone: cone.Canal | None
    missing: tuple[str, ...]
    """Fields that are unknown, or why the known ones give no cone."""


def shape_of(canal: Canal) -> Shape:
    """
    The cone of a canal as last known.

    Args:
        canal: Length, size and taper are needed; an unknown orifice is taken as the reference
            point, so that the cone is too long there and its volume too large.

    Returns:
        The cone, or what is missing; nothing is taken for granted.
    """
    wl, size, taper = canal.working_length_um, canal.apical_size, canal.taper_um_per_mm
    given = {"working_length_um": wl, "apical_size": size, "taper_um_per_mm": taper}
    if wl is None or size is None or taper is None:
        return Shape(cone=None, missing=tuple(name for name, v in given.items() if v is None))
    orifice = canal.orifice_um or 0
    if orifice >= wl:
        return Shape(cone=None, missing=("an orifice above working length",))
    try:
        length_mm = (wl - orifice) / UM_PER_MM
        found = cone.tapered(length_mm, size, taper / UM_PER_MM_PER_TAPER_PCT)
    except ValueError as fault:
        return Shape(cone=None, missing=(str(fault),))
    return Shape(cone=found, missing=())
