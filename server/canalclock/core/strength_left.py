"""Strength of hypochlorite as it probably was when it was used: a best case with its low end.

Only on request, since it rests on an assumed temperature and often on an age that nobody wrote
down. Not here: the law (dosing/storage.py).
"""

from typing import Final

from canalclock.core.dosing.storage import stored
from canalclock.core.kit import Kit
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.quantities import MG_PER_L_PER_PCT_WV
from canalclock.core.record.events import IrrigantDelivered, SyringePrepared
from canalclock.core.record.values import Made, Record

CELSIUS: Final = 25.0
"""Temperature taken where nobody says one. [°C] (choice: a warm room, the cautious side)"""
_MS_PER_DAY: Final = 86_400_000
_STRONGEST_PCT_WV: Final = 15.75
"""Above this the law of storage is not asked. [% w/v]"""


class Kept(Made, frozen=True, kw_only=True):
    """How the stock was kept, as somebody tells it."""

    stock_days: float | None = None
    """Age of the stock when the syringes were filled. [d]; None = not known"""
    celsius: float = CELSIUS


class StrengthRow(Made, frozen=True, kw_only=True):
    """One syringe: its label, and what was probably left of it at its last delivery."""

    syringe: str
    irrigant: str
    labelled_mg_per_l: int
    days: float
    """From the stock's age, if that is known, and from the filling to the last delivery."""
    celsius: float
    stock_days: float | None
    remaining_pct_wv: float
    """Best case: closed, dark, alkaline, free of metals."""
    low_pct_wv: float
    extrapolated: bool
    text: str


def strength_left(kit: Kit, record: Record, kept: Kept) -> tuple[StrengthRow, ...]:
    """
    The probable strength of every syringe of hypochlorite that was used.

    Args:
        kit: Its catalogue tells what is hypochlorite.
        record: The record; the age of a filling runs from its preparation.
        kept: What is known of the stock.

    Returns:
        Rows in the order of preparation; none for unknown strengths or syringes nobody used.

    Raises:
        ValueError: An age or temperature out of range.
    """
    reactions = Reactions(kit.catalogue)
    used: dict[str, int] = {}
    for event in record.standing:
        if isinstance(event, IrrigantDelivered) and event.syringe is not None:
            used[event.syringe] = event.occurred_at_ms
    rows = []
    for event in record.standing:
        if not isinstance(event, SyringePrepared) or event.syringe not in used:
            continue
        for component in event.contents:
            strength = component.concentration_mg_per_l
            if strength and reactions.kind(component.irrigant) == "hypochlorite":
                age_ms = max(0, used[event.syringe] - event.occurred_at_ms)
                days = (kept.stock_days or 0.0) + age_ms / _MS_PER_DAY
                if strength <= _STRONGEST_PCT_WV * MG_PER_L_PER_PCT_WV:
                    rows.append(_row(event.syringe, component.irrigant, strength, days, kept))
    return tuple(rows)


def _row(syringe: str, irrigant: str, strength: int, days: float, kept: Kept) -> StrengthRow:
    left = stored(strength / MG_PER_L_PER_PCT_WV, [(days, kept.celsius)])
    said = [
        f"Model, not measured: {left.remaining_pct_wv:.3g} % w/v at best, "
        f"{left.low_pct_wv:.3g} % at the low end, at {kept.celsius:g} °C."
    ]
    if kept.stock_days is None:
        said.append("The stock's age is not on record and counts as none.")
    if left.extrapolated:
        said.append("Outside the law's stated range: extrapolated.")
    return StrengthRow(
        syringe=syringe,
        irrigant=irrigant,
        labelled_mg_per_l=strength,
        days=days,
        celsius=kept.celsius,
        stock_days=kept.stock_days,
        remaining_pct_wv=left.remaining_pct_wv,
        low_pct_wv=left.low_pct_wv,
        extrapolated=left.extrapolated,
        text=" ".join(said),
    )
