"""`canalclock verify`: walk the chain of every entry."""

import asyncio
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click
import msgspec

from canalclock.cli.options import FOUND, counted, data_option, fail, json_option, the_data

if TYPE_CHECKING:
    from canalclock.ledger.chain import Break


@click.command("verify")
@data_option
@json_option
def command(data: Path | None, as_json: bool) -> None:
    """Walk the chain of every entry and name each break. Exit code 1 if there is one.

    What entries are filed under, signatures and kits are held against what was recorded.

    It may run while the service runs.

    \b
    Examples:
      canalclock verify
      canalclock verify --data ./clinic --json
    """
    from canalclock.ledger.port import LedgerError

    try:
        count, breaks = asyncio.run(_verify(the_data(data)))
    except LedgerError as fault:
        fail(str(fault))
    if as_json:
        click.echo(msgspec.json.encode({"visits": count, "breaks": breaks}))
    else:
        for found in breaks:
            click.echo(
                f"visit {found.visit or '-'}, entry {found.seq or '-'}: {found.what}: "
                f"found {found.found}, expected {found.expected}"
            )
        click.echo(f"{counted(count, 'visit')}, {counted(len(breaks), 'break')}")
    sys.exit(FOUND if breaks else 0)


async def _verify(data: Path) -> "tuple[int, list[Break]]":
    from canalclock.ledger.database import Database
    from canalclock.ledger.sqlite import FILE, SqliteLedger, clinics

    path = data / FILE
    names = clinics(path)
    database = Database(path)
    try:
        count = 0
        breaks: list[Break] = []
        for name in names:
            ledger = SqliteLedger(database, name)
            count += len(await ledger.visits())
            breaks += await ledger.verify()
        return count, breaks
    finally:
        await database.close()
