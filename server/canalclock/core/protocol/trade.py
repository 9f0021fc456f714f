"""How a field in a small unit is written in the trade's unit, in one table for both directions.

`volume_ul` is written `volume_ml`, `contact_ms` is written `contact_s`, and so on. A strength is
always per cent weight in volume; another basis would be another name.
"""

from decimal import Decimal
from typing import Final

from msgspec import Struct

from canalclock.core.quantities import (
    MG_PER_L_PER_PCT_WV,
    MS_PER_S,
    UL_PER_ML,
    UM_PER_MM,
    UM_PER_MM_PER_TAPER_PCT,
)


class Trade(Struct, frozen=True):
    """One pair of units: ending of the field's name, ending as written, factor, unit names."""

    field: str
    written: str
    factor: int
    unit: str
    small_unit: str


TRADES: Final = (
    Trade("_um_per_mm", "_pct", UM_PER_MM_PER_TAPER_PCT, "per cent of taper", "µm per mm"),
    Trade("_mg_per_l", "_pct_wv", MG_PER_L_PER_PCT_WV, "per cent w/v", "mg/L"),
    Trade("_ul", "_ml", UL_PER_ML, "mL", "µL"),
    Trade("_ms", "_s", MS_PER_S, "s", "ms"),
    Trade("_um", "_mm", UM_PER_MM, "mm", "µm"),
)


def trade_of(field: str) -> Trade | None:
    """The units of a field, or None if it has none."""
    return next((t for t in TRADES if field.endswith(t.field)), None)


def written_key(field: str) -> str:
    """
    A field's name as written in a file.

    Examples:
        >>> written_key("contact_limit_ms"), written_key("taper_um_per_mm"), written_key("step")
        ('contact_limit_s', 'taper_pct', 'step')
    """
    trade = trade_of(field)
    return field if trade is None else field.removesuffix(trade.field) + trade.written


def written_amount(small: int, trade: Trade) -> str:
    """
    A small amount in the trade's unit, exact, without trailing zeros or exponent.

    Examples:
        >>> written_amount(2500, TRADES[2]), written_amount(20000, TRADES[3])
        ('2.5', '20')
    """
    amount = Decimal(small) / trade.factor
    text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
