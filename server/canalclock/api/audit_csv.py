"""The audit's list as CSV: a record for each irrigant in each canal, and a last record `end`.

`end` counts the records, the visits and those whose rows are stale: a file without it was cut
off. Beside api and not in render/, since the list is put together here.
"""

from typing import Final
from zoneinfo import ZoneInfo

from canalclock.api.reports import AuditRow, AuditView
from canalclock.core.figures import ml, seconds
from canalclock.render.cells import Cell, Number, row
from canalclock.render.report_csv import asked_cells, span_cell
from canalclock.render.times import iso

COLUMNS: Final = (
    "row",
    "visit", "label", "tooth", "room", "protocol", "training",
    "opened_at", "opened_at_ms", "closed_at", "closed_at_ms", "as_of", "as_of_ms",
    "canal", "irrigant",
    "contact_s", "orifice_s", "last_3mm_least_s", "last_3mm_mean_s", "longest_run_s",
    "fresh_s", "activated_s", "volume_ml", "volume_at_least", "volume_about",
    "asked_contact_s", "asked_last_3mm_s", "asked_fresh_s", "asked_activated_s",
    "asked_volume_ml",
    "findings", "serious", "signed", "stale",
    "records", "visits", "stale_visits", "unreadable_visits",
)  # fmt: skip
"""Every column, with its unit in its name."""


def audit_csv(view: AuditView, zone: ZoneInfo) -> bytes:
    """The audit's list, in UTF-8."""
    end: dict[str, Cell] = {
        "row": "end",
        "records": len(view.rows),
        "visits": len(view.visits),
        "stale_visits": view.stale,
        "unreadable_visits": len(view.unreadable),
    }
    records = [*(_record(r, zone) for r in view.rows), end]
    lines = [row(COLUMNS), *(row(cells.get(c) for c in COLUMNS) for cells in records)]
    return "".join(lines).encode()


def _record(r: AuditRow, zone: ZoneInfo) -> dict[str, Cell]:
    had = r.had
    return {
        "row": "canal",
        "visit": r.visit,
        "label": r.label,
        "tooth": r.tooth,
        "room": r.room,
        "protocol": r.protocol,
        "training": r.training,
        "opened_at": None if r.opened_at_ms is None else iso(r.opened_at_ms, zone),
        "opened_at_ms": r.opened_at_ms,
        "closed_at": None if r.closed_at_ms is None else iso(r.closed_at_ms, zone),
        "closed_at_ms": r.closed_at_ms,
        "as_of": iso(r.as_of_ms, zone),
        "as_of_ms": r.as_of_ms,
        "canal": r.canal,
        "irrigant": r.irrigant,
        "contact_s": Number(seconds(had.anywhere_ms)),
        "orifice_s": Number(seconds(had.orifice_ms)),
        "last_3mm_least_s": span_cell(had.last_3mm_least_ms),
        "last_3mm_mean_s": span_cell(had.last_3mm_mean_ms),
        "longest_run_s": Number(seconds(had.longest_run_ms)),
        "fresh_s": Number(seconds(had.fresh_ms)),
        "activated_s": Number(seconds(had.activated_ms)),
        "volume_ml": Number(ml(had.volume_ul)),
        "volume_at_least": had.volume_at_least,
        "volume_about": had.volume_about,
        "findings": r.findings,
        "serious": r.serious,
        "signed": r.signed,
        "stale": r.stale,
    } | (asked_cells(r.asked) if r.asks else {})
