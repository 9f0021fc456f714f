"""The prepared canal as calculators ask for it."""

from canalclock.core.calculators.asking import Inputs
from canalclock.core.dosing.canal import Canal, tapered
from canalclock.core.dosing.ranges import within

OPEN_ENDED = ("flat", "bevelled", "notched")
CLOSED_ENDED = ("side_vented", "double_side_vented", "multi_vented")


class Shaped(Inputs, frozen=True, kw_only=True):
    """A canal by length, size and taper; without an orifice the whole length counts as canal."""

    working_length_mm: float
    apical_size: float
    taper_pct: float
    orifice_mm: float = 0.0
    working_part_mm: float = 16.0
    cap_mm: float = 1.20


def shaped(given: Shaped) -> Canal:
    """
    The canal from working length to orifice.

    Raises:
        ValueError: Out of range, or an orifice at or beyond working length.
    """
    wl = within("working_length_mm", given.working_length_mm, "mm", 0, 40, above_low=True)
    orifice = within("orifice_mm", given.orifice_mm, "mm", 0, 40)
    if orifice >= wl:
        raise ValueError(
            f"orifice_mm: found {orifice:g} mm, expected less than the working length of {wl:g} mm"
        )
    return tapered(
        wl - orifice, given.apical_size, given.taper_pct, given.working_part_mm, given.cap_mm
    )


def open_ended(needle_tip: str) -> bool:
    """
    Whether a tip is open-ended.

    Raises:
        ValueError: A tip nobody lists.
    """
    if needle_tip in OPEN_ENDED:
        return True
    if needle_tip in CLOSED_ENDED:
        return False
    expected = ", ".join((*OPEN_ENDED, *CLOSED_ENDED))
    raise ValueError(f"needle_tip: found {needle_tip!r}, expected one of {expected}")
