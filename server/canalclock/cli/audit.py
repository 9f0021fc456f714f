"""`canalclock audit`: every canal of a period against what was asked."""

import asyncio
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click
import msgspec

from canalclock.cli.documents import form_of, write_document
from canalclock.cli.options import (
    FOUND,
    counted,
    data_option,
    fail,
    json_option,
    now_ms,
    the_data,
)
from canalclock.cli.report import instant

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from canalclock.api.reports import AuditRow, AuditView
    from canalclock.api.visit_rows import Asked

HEADINGS = (
    "opened", "room", "tooth", "label", "protocol", "canal", "irrigant", "contact", "asked",
    "last 3 mm", "asked", "findings", "signed", "visit",
)  # fmt: skip


@click.command("audit")
@click.option("--from", "from_ms", callback=instant, metavar="TIME", help="Opened at or after.")
@click.option("--until", "to_ms", callback=instant, metavar="TIME", help="Opened before.")
@click.option("--protocol", metavar="NAME", help="Run by this protocol.")
@click.option("--room", metavar="NAME", help="In this room.")
@click.option(
    "--to", metavar="FILE", help="Write to a file, whose name ends in .json or .csv; - prints JSON."
)
@json_option
@data_option
def command(
    from_ms: int | None,
    to_ms: int | None,
    protocol: str | None,
    room: str | None,
    to: str | None,
    as_json: bool,
    data: Path | None,
) -> None:
    """List every canal of a period: contact and last 3 mm against what was asked, findings.

    Times are ISO 8601 with a zone, or milliseconds since 1970. It may run while the service
    runs. Exit code 1 if a visit could not be computed.

    \b
    Examples:
      canalclock audit
      canalclock audit --from 2026-09-01T00:00:00Z --until 2026-10-01T00:00:00Z
      canalclock audit --protocol mature-apex-one-visit --json
      canalclock audit --room room-1 --to september.csv
    """
    from canalclock.api.visit_rows import Asked

    form = None if to is None else form_of(to, ("json", "csv"))
    asked = Asked(room=room, protocol=protocol, from_ms=from_ms, to_ms=to_ms)
    view, zone = asyncio.run(_view(the_data(data), asked))
    if to is not None:
        write_document(_written(view, form, zone), to)
    elif as_json:
        click.echo(msgspec.json.encode(view))
    else:
        for line in _table(view, zone):
            click.echo(line)
    for visit in view.unreadable:
        click.echo(f"canalclock: visit {visit} names a kit that is not on record", err=True)
    sys.exit(FOUND if view.unreadable else 0)


async def _view(data: Path, asked: "Asked") -> "tuple[AuditView, ZoneInfo]":
    from canalclock.cli.clinics import opened_clinics
    from canalclock.ledger.port import LedgerError
    from canalclock.render.times import NoSuchZone, zone_of

    try:
        async with opened_clinics(data) as clinics:
            if len(clinics) != 1:
                fail(f"{data}: found {len(clinics)} clinics, expected one")
            view = await clinics[0].reports.audit(asked, now_ms())
            return view, zone_of(clinics[0].zone)
    except (LedgerError, NoSuchZone) as fault:
        fail(str(fault))


def _written(view: "AuditView", form: str | None, zone: "ZoneInfo") -> bytes:
    from canalclock.api.audit_csv import audit_csv

    return msgspec.json.encode(view) + b"\n" if form == "json" else audit_csv(view, zone)


def _table(view: "AuditView", zone: "ZoneInfo") -> Iterable[str]:
    if view.rows:
        lines = [HEADINGS, *(_cells(row, zone) for row in view.rows)]
        widths = [max(len(line[i]) for line in lines) for i in range(len(HEADINGS))]
        for line in lines:
            yield "  ".join(c.ljust(w) for c, w in zip(line, widths, strict=True)).rstrip()
    yield f"{counted(len(view.visits), 'visit')}, {counted(len(view.rows), 'row')}"


def _cells(row: "AuditRow", zone: "ZoneInfo") -> tuple[str, ...]:
    from canalclock.core.audit.texts import site_word
    from canalclock.render.times import iso

    return (
        "-" if row.opened_at_ms is None else iso(row.opened_at_ms, zone),
        row.room or "-",
        row.tooth or "-",
        _plain(row.label or "-"),
        row.protocol or "-",
        site_word(row.canal),
        row.irrigant,
        _span(row.had.anywhere_ms),
        _span(row.asked.contact_ms),
        _span(row.had.last_3mm_least_ms, unknown="unknown"),
        _span(row.asked.last_3mm_ms),
        str(row.findings),
        "yes" if row.signed else "no",
        row.visit,
    )


def _span(span_ms: int | None, unknown: str = "-") -> str:
    from canalclock.core.figures import span

    return unknown if span_ms is None else span(span_ms)


def _plain(text: str) -> str:
    """A label on one line of a terminal, without control characters."""
    return "".join(c if c.isprintable() else "·" for c in text)
