"""`canalclock migrate`: the tables of a data directory, brought up to date."""

import sys
from pathlib import Path

import click
import msgspec

from canalclock.cli.options import IN_USE, data_option, fail, json_option, now_ms, the_data


@click.command("migrate")
@data_option
@json_option
def command(data: Path | None, as_json: bool) -> None:
    """Bring the tables of a data directory up to date; recorded events are left as they are.

    `serve` does the same at its start. Refused with exit code 4 while a service runs.

    \b
    Examples:
      canalclock migrate --data ./clinic
    """
    from canalclock.app import prepare_data
    from canalclock.ledger.lock import DataLock
    from canalclock.ledger.port import LedgerError, LedgerInUse

    directory = the_data(data)
    if not directory.is_dir():
        fail(f"{directory}: found no directory, expected one that `serve` has made")
    try:
        with DataLock(directory):
            ran = prepare_data(directory, now_ms())
    except LedgerInUse as fault:
        fail(str(fault), IN_USE)
    except LedgerError as fault:
        fail(str(fault))
    if as_json:
        click.echo(msgspec.json.encode({"ran": ran}))
    else:
        click.echo("\n".join(f"ran {name}" for name in ran) or "nothing to do")
    sys.exit(0)
