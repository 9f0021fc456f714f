"""`canalclock report`: a visit as a document, from the ledger or from a file of events."""

import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from canalclock.cli.documents import form_of, write_document
from canalclock.cli.options import FOUND, data_option, fail, now_ms, the_data

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from canalclock.core.kit import Kit
    from canalclock.core.report import BadLine, Document
    from canalclock.core.strength_left import Kept

FORMS = ("json", "csv")


def instant(ctx: click.Context, param: click.Parameter, value: str | None) -> int | None:
    """An instant given on the command line. [ms]"""
    from canalclock.render.times import instant_ms

    try:
        return None if value is None else instant_ms(value)
    except ValueError as fault:
        raise click.BadParameter(str(fault)) from fault


@click.command("report")
@click.argument("visit", required=False)
@click.option(
    "--events", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.jsonl",
    help="Read the visit from a file of events, one JSON object a line, not from the ledger.",
)  # fmt: skip
@click.option(
    "--kit", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.json",
    help="The kit that the events are read by, as `canalclock kit` writes it.",
)  # fmt: skip
@click.option(
    "--to", required=True, metavar="FILE",
    help="Where to write: a name that ends in .json or .csv, or - to print JSON.",
)  # fmt: skip
@click.option(
    "--as-of", "as_of_ms", callback=instant, metavar="TIME",
    help="Count only what had been done by then (ISO 8601 with a zone, or milliseconds since "
    "1970). Without it: the close; of an open visit now, of a file its last entry.",
)  # fmt: skip
@click.option(
    "--zone", metavar="NAME",
    help="Time zone of the times in a CSV. Without it the clinic's; for a file of events UTC.",
)  # fmt: skip
@click.option(
    "--with-storage", is_flag=True,
    help="Add the strength of hypochlorite as it probably was: a model, never in a signed report.",
)  # fmt: skip
@click.option("--stock-days", type=click.FloatRange(0), metavar="DAYS",
              help="Age of the stock when syringes were filled, with --with-storage.")  # fmt: skip
@click.option("--celsius", type=click.FloatRange(0, 60), metavar="T",
              help="Temperature it was kept at, with --with-storage. Without it: 25.")  # fmt: skip
@data_option
def command(
    visit: str | None,
    events: Path | None,
    kit: Path | None,
    to: str,
    as_of_ms: int | None,
    zone: str | None,
    with_storage: bool,
    stock_days: float | None,
    celsius: float | None,
    data: Path | None,
) -> None:
    """Write a visit's report: what each canal had, findings, warnings, every entry.

    It does not replace licensed judgement or local codes.

    Lines of a file that cannot be used are told with their numbers, the good ones are used, and
    the exit code is 1.

    \b
    Examples:
      canalclock report 01995f10-8f00-7a00-8000-000000000001 --to visit.json
      canalclock report 01995f10-8f00-7a00-8000-000000000001 --to visit.csv --zone Europe/Berlin
      canalclock report --events visit.jsonl --kit kit.json --to visit.json
      canalclock report --events visit.jsonl --kit kit.json --to - --as-of 2026-09-21T12:00:00Z
    """
    form = form_of(to, FORMS)
    if (visit is None) == (events is None):
        raise click.UsageError("Give either a VISIT of the ledger or --events FILE.jsonl.")
    if (events is None) != (kit is None):
        raise click.UsageError("--events and --kit belong together; give both or neither.")
    kept = _kept(with_storage, stock_days, celsius)
    if events is not None and kit is not None:
        found, place = _from_file(events, kit, as_of_ms, kept), _zone(zone or "UTC")
    else:
        assert visit is not None
        found, clinic_zone = asyncio.run(_from_ledger(the_data(data), visit, as_of_ms, kept))
        place = _zone(zone or clinic_zone)
    write_document(_written(found, form, place), to)
    for bad in found.bad_lines:
        click.echo(_told(events, bad), err=True)
    if found.kit.pinned not in (None, found.kit.digest):
        click.echo(
            f"canalclock: the visit names the kit {found.kit.pinned}; it was read by the kit "
            f"{found.kit.digest}",
            err=True,
        )
    sys.exit(FOUND if found.bad_lines else 0)


def _written(found: "Document", form: str, place: "ZoneInfo") -> bytes:
    from canalclock.render.json import json_bytes
    from canalclock.render.report_csv import report_csv

    return json_bytes(found) if form == "json" else report_csv(found, place)


def _zone(name: str) -> "ZoneInfo":
    from canalclock.render.times import NoSuchZone, zone_of

    try:
        return zone_of(name)
    except NoSuchZone as fault:
        raise click.BadParameter(str(fault), param_hint="--zone") from fault


def _told(file: Path | None, bad: "BadLine") -> str:
    return (
        f"{file}, line {bad.line}: {bad.message} Found {bad.found}, expected {bad.expected}, "
        f"at {bad.where}."
    )


def _kept(asked: bool, stock_days: float | None, celsius: float | None) -> "Kept | None":
    from canalclock.core.strength_left import CELSIUS, Kept

    if not asked:
        if stock_days is not None or celsius is not None:
            raise click.UsageError("--stock-days and --celsius belong to --with-storage.")
        return None
    return Kept(stock_days=stock_days, celsius=CELSIUS if celsius is None else celsius)


def _from_file(events: Path, kit: Path, as_of_ms: int | None, kept: "Kept | None") -> "Document":
    from canalclock.core.report import Known, report
    from canalclock.event_files import read_event_file

    file = read_event_file(_bytes(events))
    if not file.entries:
        for bad in file.bad_lines:
            click.echo(_told(events, bad), err=True)
        fail(f"{events}: found no event, expected at least one line that is one")
    return report(_kit(kit), file.entries, as_of_ms, Known(bad_lines=file.bad_lines), kept)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as fault:
        fail(f"{path}: cannot be read: {fault.strerror or fault}")


def _kit(path: Path) -> "Kit":
    import msgspec

    from canalclock.core.kit import read_kit

    try:
        return read_kit(_bytes(path))
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as fault:
        fail(
            f"{path}: found {fault}; expected a kit, as `canalclock kit FILE --to kit.json` writes"
        )


async def _from_ledger(
    data: Path, visit: str, as_of_ms: int | None, kept: "Kept | None"
) -> "tuple[Document, str]":
    from canalclock.api.reports import KitMissing
    from canalclock.cli.clinics import opened_clinics
    from canalclock.ledger.port import LedgerError, VisitHead

    try:
        async with opened_clinics(data) as clinics:
            for clinic in clinics:
                head = await clinic.ledger.head(visit)
                if head.seq:
                    at = VisitHead(visit=visit, head=head)
                    found = await clinic.reports.document(at, as_of_ms, now_ms(), kept)
                    return found, clinic.zone
    except LedgerError as fault:
        fail(str(fault))
    except KitMissing as fault:
        fail(f"{fault}; expected a kit that the ledger holds")
    fail(f"found no visit {visit!r} in {data}, expected one of `canalclock audit --data {data}`")
