"""The clinics of a ledger's file, opened for reading by a command; a service may run beside it."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from msgspec import Struct

from canalclock.accounts.store import Accounts
from canalclock.api.reports import Reports
from canalclock.ledger.database import Database
from canalclock.ledger.port import Ledger
from canalclock.ledger.sqlite import FILE, SqliteLedger, clinics


class OpenedClinic(Struct, frozen=True, kw_only=True):
    """One clinic, as a command reads it."""

    ledger: Ledger
    reports: Reports
    zone: str
    """IANA name of its time zone."""


@asynccontextmanager
async def opened_clinics(data: Path) -> AsyncIterator[tuple[OpenedClinic, ...]]:
    """
    Every clinic of a data directory.

    Raises:
        LedgerError: There is no ledger, or it cannot be read.
    """
    path = data / FILE
    names = clinics(path)
    database = Database(path)
    try:
        yield tuple([await _opened(database, name) for name in names])
    finally:
        await database.close()


async def _opened(database: Database, name: str) -> OpenedClinic:
    ledger = SqliteLedger(database, name)
    clinic = await Accounts(ledger.database, name).clinic()
    return OpenedClinic(ledger=ledger, reports=Reports(ledger), zone=clinic.zone)
