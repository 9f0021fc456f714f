"""What only a store on a disk can get wrong: tampering, killing, sharing, ageing."""

import asyncio
import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from canalclock.ledger.chain import line_digest
from canalclock.ledger.database import Database, connect
from canalclock.ledger.lock import DataLock
from canalclock.ledger.migrations import migrate
from canalclock.ledger.migrations.tables import LEDGER_MIGRATIONS
from canalclock.ledger.port import (
    LedgerInUse,
    LedgerNotThere,
    LedgerTooNew,
    LedgerUnavailable,
    StoredKit,
)
from canalclock.ledger.sqlite import FILE, SqliteLedger, clinics, prepare
from tests.contract.lines import a_visit, taken
from tests.contract.test_ledger import NOW, a_signature


@pytest.fixture
async def ledger(tmp_path: Path) -> AsyncIterator[SqliteLedger]:
    prepare(tmp_path / FILE, 0)
    opened = SqliteLedger(Database(tmp_path / FILE), "clinic")
    await opened.begin("epoch-1", 0)
    head = (await opened.append(a_visit(), [taken(n) for n in range(1, 5)], NOW)).head
    await opened.sign(a_signature(head), NOW)
    kit = StoredKit(kit=line_digest(b"{}"), protocol=None, version=None, title="None")
    await opened.store_kit(kit, b"{}", NOW)
    yield opened
    await opened.close()


def tamper(path: Path, *statements: str) -> None:
    """Change the file behind the ledger's back, its guards taken off first."""
    connection = sqlite3.connect(path / FILE, isolation_level=None)
    for table in ("entry", "signature", "kit"):
        for act in ("update", "delete"):
            connection.execute(f"DROP TRIGGER IF EXISTS {table}_refuses_{act}")
    for statement in statements:
        connection.execute(statement)
    connection.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET line = x'00'",
        "UPDATE entry SET recorded_at_ms = 1",
        "DELETE FROM entry",
        "UPDATE signature SET staff = 'x'",
        "DELETE FROM signature",
    ],
)
async def test_the_store_refuses_to_change_or_delete(
    ledger: SqliteLedger, tmp_path: Path, statement: str
) -> None:
    outsider = sqlite3.connect(tmp_path / FILE)
    with pytest.raises(sqlite3.IntegrityError, match="the ledger only grows"):
        outsider.execute(statement)
    outsider.close()
    assert await ledger.verify() == ()


async def test_our_own_connection_refuses_to_replace(ledger: SqliteLedger) -> None:
    def replace(db: sqlite3.Connection) -> None:
        db.execute("REPLACE INTO entry SELECT * FROM entry WHERE seq = 2")

    with pytest.raises(LedgerUnavailable, match="the ledger only grows"):
        await ledger.database.write(replace)
    assert await ledger.verify() == ()


@pytest.mark.parametrize(
    ("statement", "seq", "what"),
    [
        ("UPDATE entry SET line = CAST(replace(line, 'note 2', 'note X') AS BLOB) WHERE seq = 2",
         2, "digest of the line"),
        ("UPDATE entry SET recorded_at_ms = 5 WHERE seq = 3", 3, "digest of the entry"),
        ("UPDATE entry SET digest = printf('%064d', 7) WHERE seq = 3", 4,
         "digest of the entry before"),
        ("DELETE FROM entry WHERE seq = 2", 3, "number"),
        ("DELETE FROM entry WHERE seq = 4", 3, "newest entry"),
        ("DELETE FROM signature", None, "number in the clinic's feed"),
        ("UPDATE signature SET digest = printf('%064d', 7)", 4, "entry that was signed"),
        ("DELETE FROM visit", None, "visit"),
        ("UPDATE entry SET kind = 'visit_closed' WHERE seq = 2", 2,
         "kind that the entry is filed under"),
        ("UPDATE entry SET device_seq = 77 WHERE seq = 3", 3,
         "device_seq that the entry is filed under"),
        ("UPDATE kit SET document = CAST('{ }' AS BLOB)", None, "kit"),
    ],
)  # fmt: skip
async def test_verify_names_each_break(
    ledger: SqliteLedger, tmp_path: Path, statement: str, seq: int | None, what: str
) -> None:
    tamper(tmp_path, statement)
    breaks = await ledger.verify()
    assert (seq, what) in [(b.seq, b.what) for b in breaks]
    assert all(b.found != b.expected for b in breaks)


async def test_one_bad_job_does_not_take_its_group_down(ledger: SqliteLedger) -> None:
    def bad(db: sqlite3.Connection) -> None:
        db.execute("INSERT INTO entry (clinic) VALUES ('clinic')")

    outcomes = await asyncio.gather(
        ledger.append(a_visit(), [taken(10)], NOW),
        ledger.database.write(bad),
        ledger.append(a_visit(), [taken(11)], NOW),
        return_exceptions=True,
    )
    assert isinstance(outcomes[1], LedgerUnavailable)
    assert [e.seq for e in await ledger.entries(a_visit())] == [1, 2, 3, 4, 5, 6]
    assert await ledger.verify() == ()


async def test_readers_cannot_write(ledger: SqliteLedger) -> None:
    def write(db: sqlite3.Connection) -> None:
        db.execute("UPDATE ledger SET feed = 0")

    with pytest.raises(LedgerUnavailable, match="readonly"):
        await ledger.database.read(write)


async def test_what_was_written_before_closing_is_there_afterwards(
    ledger: SqliteLedger, tmp_path: Path
) -> None:
    await ledger.close()
    again = SqliteLedger(Database(tmp_path / FILE), "clinic")
    assert await again.epoch() == "epoch-1"
    assert len(await again.entries(a_visit())) == 4
    assert (await again.append(a_visit(), [taken(5)], NOW)).head.seq == 5
    assert await again.verify() == ()
    await again.close()
    assert clinics(tmp_path / FILE) == ["clinic"]


WRITER = """
import asyncio, sys
from pathlib import Path
from canalclock.ledger.database import Database
from canalclock.ledger.sqlite import FILE, SqliteLedger, prepare
from tests.contract.lines import a_visit, taken

async def main(directory):
    prepare(directory / FILE, 0)
    ledger = SqliteLedger(Database(directory / FILE), "clinic")
    await ledger.begin("epoch-1", 0)
    async def write(writer):
        for n in range(100_000):
            number = writer * 1_000_000 + n
            await ledger.append(a_visit(writer), [taken(number, visit=a_visit(writer))], 1)
            print(number, flush=True)
    await asyncio.gather(*(write(w) for w in range(1, 5)))

asyncio.run(main(Path(sys.argv[1])))
"""


def test_what_was_acknowledged_survives_a_kill(tmp_path: Path) -> None:
    root = Path(__file__).parents[3]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(root / "server"), str(root)])}
    acknowledged = tmp_path / "acknowledged"
    with acknowledged.open("wb") as out:
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(tmp_path)], stdout=out, env=env
        )
        while acknowledged.stat().st_size < 4000:
            assert writer.poll() is None
        writer.send_signal(signal.SIGKILL)
        writer.wait()
    told = {int(line) for line in acknowledged.read_text().splitlines()[:-1]}

    async def read() -> None:
        ledger = SqliteLedger(Database(tmp_path / FILE), "clinic")
        kept = [
            int(entry.line.split(b'"device_seq": ')[1].split(b",")[0])
            for visit in await ledger.visits()
            for entry in await ledger.entries(visit.visit)
        ]
        assert told <= set(kept)
        assert await ledger.verify() == ()
        await ledger.close()

    asyncio.run(read())


def test_a_second_process_is_refused_with_the_first_ones_pid(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from canalclock.ledger.lock import DataLock; "
        "lock = DataLock(Path(sys.argv[1])); print('held', flush=True); sys.stdin.read()"
    )
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[3] / "server")}
    holder = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path)],
        env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )  # fmt: skip
    assert holder.stdin
    assert holder.stdout
    assert holder.stdout.readline() == b"held\n"
    with pytest.raises(LedgerInUse, match=str(holder.pid)) as refused:
        DataLock(tmp_path)
    assert refused.value.pid == holder.pid
    holder.communicate()
    DataLock(tmp_path).release()


def test_a_migration_that_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    def half(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE half (x)")
        raise sqlite3.OperationalError("power cut")

    prepare(tmp_path / FILE, 0)
    connection = connect(tmp_path / FILE, writes=True)
    with pytest.raises(sqlite3.OperationalError):
        migrate(connection, "ledger", (*LEDGER_MIGRATIONS, half), 5)
    tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_schema")]
    assert "half" not in tables
    assert connection.execute("SELECT count(*) FROM migration").fetchone() == (1,)
    connection.close()


def test_migrations_run_once(tmp_path: Path) -> None:
    assert prepare(tmp_path / FILE, 0) == ["tables_of_the_ledger"]
    assert prepare(tmp_path / FILE, 0) == []


def test_data_of_a_later_version_is_refused(tmp_path: Path) -> None:
    prepare(tmp_path / FILE, 0)
    connection = connect(tmp_path / FILE, writes=True)
    connection.execute("INSERT INTO migration VALUES ('ledger', 99, 'later', 0)")
    connection.close()
    with pytest.raises(LedgerTooNew, match="found migration 99"):
        prepare(tmp_path / FILE, 0)


def test_no_ledger_is_made_by_looking_for_one(tmp_path: Path) -> None:
    with pytest.raises(LedgerNotThere):
        clinics(tmp_path / FILE)
    assert not (tmp_path / FILE).exists()


def test_a_file_that_is_no_database_is_told_by_name(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(b"not a database, but long enough to be looked at" * 50)
    with pytest.raises(LedgerUnavailable, match=FILE):
        prepare(tmp_path / FILE, 0)
