"""Concentration times time in each canal, as may be expected: beside contact, not in its place.

Contact says where hypochlorite stood; this says how much of it by the label, and how little if
chlorine was consumed. Not a validated dose. Not here: the formulas (dosing/exposure.py).
"""

import itertools
from collections.abc import Iterable, Sequence

from canalclock.core.dosing.exposure import CONSUMPTION_BAND_PER_MIN, consumed_pct_min
from canalclock.core.kit import Kit
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.quantities import MG_PER_L_PER_PCT_WV, MS_PER_MIN
from canalclock.core.record.totals import APICAL_UM, contact_stop_ms
from canalclock.core.record.values import Canal, Made, Record, Slice, Stay


class ExposureRow(Made, frozen=True, kw_only=True):
    """Hypochlorite's nominal concentration times time in a canal, with its band. [% min]"""

    site: str
    irrigant: str
    nominal_pct_min: float
    """At the depth that had most of it, by the labels: the band's upper end."""
    low_pct_min: float
    """There, if chlorine was consumed at the band's other end and renewed by each delivery."""
    last_3mm_nominal_pct_min: float | None
    """At the depth of the last 3 mm that had least; null without a working length."""
    last_3mm_low_pct_min: float | None
    at_least: bool
    """Some of its strengths are unknown, and count nothing."""


def exposures(kit: Kit, record: Record, as_of_ms: int) -> tuple[ExposureRow, ...]:
    """
    Expected exposure of every canal to each hypochlorite that stood in it.

    Args:
        kit: Its catalogue tells what is hypochlorite.
        record: The record.
        as_of_ms: As for `totals`. [ms]

    Returns:
        Rows in the order of canals; none where there was no contact.

    Source:
        Definition of concentration times time; first-order loss of 0 to 0.3 per min (choice, no
        published value for canals).
    """
    reactions = Reactions(kit.catalogue)
    named = dict.fromkeys(c.irrigant for d in record.deliveries for c in d.contents)
    irrigants = [i for i in named if reactions.kind(i) == "hypochlorite"]
    rows = []
    for canal in record.canals:
        slices = [s for s in record.slices if s.site == canal.canal]
        for irrigant in irrigants:
            row = _row(canal, slices, irrigant, contact_stop_ms(record, as_of_ms), as_of_ms)
            if row is not None:
                rows.append(row)
    return tuple(rows)


class _Sum(Made, frozen=True):
    nominal: float = 0.0
    low: float = 0.0
    unknown: bool = False
    stood: bool = False


def _row(
    canal: Canal, slices: Sequence[Slice], irrigant: str, stop_ms: int, as_of_ms: int
) -> ExposureRow | None:
    sums = [_sum(s, irrigant, stop_ms, as_of_ms) for s in slices]
    if not any(s.stood for s in sums):
        return None
    most = max(sums, key=lambda s: s.nominal)
    least = _apical(canal, slices, sums)
    return ExposureRow(
        site=canal.canal,
        irrigant=irrigant,
        nominal_pct_min=most.nominal,
        low_pct_min=most.low,
        last_3mm_nominal_pct_min=None if least is None else least.nominal,
        last_3mm_low_pct_min=None if least is None else least.low,
        at_least=any(s.unknown for s in sums),
    )


def _apical(canal: Canal, slices: Sequence[Slice], sums: Sequence[_Sum]) -> _Sum | None:
    """The least of the last 3 mm, bare parts included; None without a working length."""
    bottom = canal.working_length_um
    if bottom is None:
        return None
    top = max(bottom - APICAL_UM, canal.orifice_um or 0)
    if top >= bottom:
        return None
    covered, there = 0, []
    for s, of in zip(slices, sums, strict=True):
        length = (bottom if s.to_um is None else min(s.to_um, bottom)) - max(s.from_um, top)
        if length > 0:
            covered += length
            there.append(of)
    if covered < bottom - top:
        there.append(_Sum())
    return min(there, key=lambda s: s.nominal)


def _sum(where: Slice, irrigant: str, stop_ms: int, as_of_ms: int) -> _Sum:
    nominal = low = 0.0
    unknown = stood = False
    for stay in where.stays:
        end = stop_ms if stay.end_ms is None else min(stay.end_ms, as_of_ms)
        if stay.dressing or end <= stay.start_ms:
            continue
        for component in stay.contents:
            if component.irrigant != irrigant:
                continue
            stood = True
            if component.concentration_mg_per_l is None:
                unknown = True
                continue
            pct = component.concentration_mg_per_l / MG_PER_L_PER_PCT_WV
            for minutes in _fillings_min(stay, end):
                nominal += pct * minutes
                low += consumed_pct_min(pct, minutes, CONSUMPTION_BAND_PER_MIN[1])
    return _Sum(nominal, low, unknown, stood)


def _fillings_min(stay: Stay, end_ms: int) -> Iterable[float]:
    """How long each filling of a stay stood until the next renewed it. [min]"""
    renewed = sorted({start for start, _ in stay.fresh if stay.start_ms < start < end_ms})
    instants = [stay.start_ms, *renewed, end_ms]
    return [(b - a) / MS_PER_MIN for a, b in itertools.pairwise(instants)]
