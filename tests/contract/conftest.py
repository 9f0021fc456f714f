"""Every ledger that the contract is held against."""

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from canalclock.ledger.database import Database
from canalclock.ledger.memory import MemoryLedger
from canalclock.ledger.port import Ledger
from canalclock.ledger.sqlite import FILE, SqliteLedger, prepare


@pytest.fixture(params=["memory", "sqlite"])
async def ledger(request: pytest.FixtureRequest, tmp_path: Path) -> AsyncIterator[Ledger]:
    """A new ledger of one clinic."""
    opened: Ledger
    if request.param == "memory":
        opened = MemoryLedger("epoch-1")
    else:
        prepare(tmp_path / FILE, 0)
        sqlite = SqliteLedger(Database(tmp_path / FILE), "clinic")
        await sqlite.begin("epoch-1", 0)
        opened = sqlite
    yield opened
    await opened.close()
