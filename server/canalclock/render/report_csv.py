"""A report as CSV: one table of totals, a record a figure's place, and a last record `end`.

`row` says what a record is of: `canal` (one irrigant in one canal), `depth` (between two depths),
`volume` (one irrigant and strength at a site), `tooth`, or `end`, which counts what was exported:
a file without it was cut off. Every record has every column.
"""

from typing import Final
from zoneinfo import ZoneInfo

from canalclock.core.audit.compared import Asked
from canalclock.core.figures import mg, ml, mm, pct_wv, seconds
from canalclock.core.record.totals import DepthRow, Headline, VolumeRow
from canalclock.core.report import Document
from canalclock.render.cells import Cell, Number, row
from canalclock.render.times import iso

COLUMNS: Final = (
    "row",
    "visit", "label", "tooth", "room", "protocol", "version",
    "opened_at", "opened_at_ms", "closed_at", "closed_at_ms", "as_of", "as_of_ms",
    "site", "irrigant", "concentration_pct_wv", "from_mm", "to_mm",
    "contact_s", "orifice_s", "last_3mm_least_s", "last_3mm_mean_s", "longest_run_s",
    "fresh_s", "activated_s",
    "volume_ml", "volume_at_least", "volume_about", "passed_mg",
    "asked_contact_s", "asked_last_3mm_s", "asked_fresh_s", "asked_activated_s",
    "asked_volume_ml",
    "may_be_incomplete", "entries", "first_seq", "last_seq", "digest",
)  # fmt: skip
"""Every column, with its unit in its name."""

Cells = dict[str, Cell]


def report_csv(document: Document, zone: ZoneInfo) -> bytes:
    """The totals of a report, in UTF-8."""
    visit = _visit(document, zone)
    asked = {(a.site, a.irrigant): a.asked for a in document.asked}
    totals = document.totals
    records = [
        *(_canal(h, asked.get((h.site, h.irrigant))) for h in totals.headlines),
        *(
            _nothing(site, irrigant, ask)
            for (site, irrigant), ask in asked.items()
            if not any((h.site, h.irrigant) == (site, irrigant) for h in totals.headlines)
        ),
        *map(_depth, totals.depths),
        *(_volume("volume", v) for v in totals.volumes),
        *(_volume("tooth", v) for v in totals.tooth),
        _end(document),
    ]
    lines = [row(COLUMNS), *(row((visit | cells).get(c) for c in COLUMNS) for cells in records)]
    return "".join(lines).encode()


def _visit(document: Document, zone: ZoneInfo) -> Cells:
    visit = document.visit
    opened, closed = visit.opened_at_ms, visit.closed_at_ms
    return {
        "visit": visit.visit,
        "label": visit.label,
        "tooth": visit.tooth,
        "room": visit.room,
        "protocol": document.kit.protocol,
        "version": document.kit.version,
        "opened_at": None if opened is None else iso(opened, zone),
        "opened_at_ms": opened,
        "closed_at": None if closed is None else iso(closed, zone),
        "closed_at_ms": closed,
        "as_of": iso(document.as_of_ms, zone),
        "as_of_ms": document.as_of_ms,
    }


def _canal(h: Headline, asked: Asked | None) -> Cells:
    return {
        "row": "canal",
        "site": h.site,
        "irrigant": h.irrigant,
        "contact_s": Number(seconds(h.anywhere_ms)),
        "orifice_s": Number(seconds(h.orifice_ms)),
        "last_3mm_least_s": span_cell(h.last_3mm_least_ms),
        "last_3mm_mean_s": span_cell(h.last_3mm_mean_ms),
        "longest_run_s": Number(seconds(h.longest_run_ms)),
        "fresh_s": Number(seconds(h.fresh_ms)),
        "activated_s": Number(seconds(h.activated_ms)),
    } | asked_cells(asked)


def _nothing(site: str, irrigant: str, asked: Asked) -> Cells:
    """An irrigant that was asked for and has no contact on record."""
    cells: Cells = {"row": "canal", "site": site, "irrigant": irrigant, "contact_s": 0}
    return cells | asked_cells(asked)


def asked_cells(asked: Asked | None) -> Cells:
    """What the protocol asks; empty cells where it asks nothing."""
    if asked is None:
        return {}
    return {
        "asked_contact_s": span_cell(asked.contact_ms),
        "asked_last_3mm_s": span_cell(asked.last_3mm_ms),
        "asked_fresh_s": span_cell(asked.fresh_ms),
        "asked_activated_s": span_cell(asked.activated_ms),
        "asked_volume_ml": None if asked.volume_ul is None else Number(ml(asked.volume_ul)),
    }


def span_cell(span_ms: int | None) -> Cell:
    """A span of time in seconds; an empty cell while it is unknown."""
    return None if span_ms is None else Number(seconds(span_ms))


def _strength(concentration_mg_per_l: int | None) -> Cell:
    return None if concentration_mg_per_l is None else Number(pct_wv(concentration_mg_per_l))


def _depth(d: DepthRow) -> Cells:
    return {
        "row": "depth",
        "site": d.site,
        "irrigant": d.irrigant,
        "concentration_pct_wv": _strength(d.concentration_mg_per_l),
        "from_mm": Number(mm(d.from_um)),
        "to_mm": None if d.to_um is None else Number(mm(d.to_um)),
        "contact_s": Number(seconds(d.contact_ms)),
        "fresh_s": Number(seconds(d.fresh_ms)),
        "activated_s": Number(seconds(d.activated_ms)),
    }


def _volume(kind: str, v: VolumeRow) -> Cells:
    return {
        "row": kind,
        "site": v.site,
        "irrigant": v.irrigant,
        "concentration_pct_wv": _strength(v.concentration_mg_per_l),
        "volume_ml": Number(ml(v.volume_ul)),
        "volume_at_least": v.at_least,
        "volume_about": v.about,
        "passed_mg": None if v.passed_ng is None else Number(mg(v.passed_ng)),
    }


def _end(document: Document) -> Cells:
    foot = document.foot
    return {
        "row": "end",
        "may_be_incomplete": document.may_be_incomplete,
        "entries": foot.entries,
        "first_seq": foot.first_seq,
        "last_seq": foot.last_seq,
        "digest": foot.digest,
    }
