"""A durable append alone, one waiting, against write and fdatasync of the same bytes."""

import asyncio
import os
import secrets
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from canalclock.app import prepare_data
from canalclock.intake import Taken
from canalclock.ledger.database import Database
from canalclock.ledger.sqlite import SqliteLedger
from tests.bench.rounds import Ratio, ratio
from tests.contract.lines import a_visit, taken

ROUNDS = 9
APPENDS = 120


def rows() -> Iterator[Ratio]:
    """The row; the data lies where temporary files do."""
    with tempfile.TemporaryDirectory() as folder:
        yield asyncio.run(_compared(Path(folder)))


async def _compared(folder: Path) -> Ratio:
    prepare_data(folder, 0)
    ledger = SqliteLedger(Database(folder / "canalclock.sqlite3"), "clinic-1")
    file = os.open(folder / "plain", os.O_CREAT | os.O_WRONLY)
    try:
        await ledger.begin(secrets.token_hex(16), 0)
        lines = [taken(n) for n in range(1, (ROUNDS + 1) * APPENDS + 1)]
        await _appended(ledger, lines[:APPENDS])
        ours, plain = [], []
        for n in range(1, ROUNDS + 1):
            some = lines[n * APPENDS : (n + 1) * APPENDS]
            ours.append(await _appended(ledger, some))
            plain.append(_written(file, some))
    finally:
        os.close(file)
        await ledger.close()
    return ratio(
        "durable append alone, one waiting",
        ("ledger", ours), ("write + fdatasync", plain), "<= 1.7",
    )  # fmt: skip


async def _appended(ledger: SqliteLedger, lines: list[Taken]) -> float:
    """Mean time until an append is acknowledged, which is after its commit. [s]"""
    start = time.perf_counter()
    for line in lines:
        await ledger.append(a_visit(), [line], 0)
    return (time.perf_counter() - start) / len(lines)


def _written(file: int, lines: list[Taken]) -> float:
    """Mean time of writing and flushing the same bytes. [s]"""
    start = time.perf_counter()
    for line in lines:
        os.write(file, line.line)
        os.fdatasync(file)
    return (time.perf_counter() - start) / len(lines)
