"""One SQLite file: a writer thread with group commit, and readers beside it.

Write-ahead log, `synchronous=FULL`: what a job returned is on the disk. Jobs that wait together
commit together; if the group fails it is undone and each job runs alone, so one bad job never
takes its neighbours down. Not here: what the jobs write.
"""

import asyncio
import queue
import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, Final, Generic, TypeVar

from canalclock.ledger.port import LedgerClosed, LedgerUnavailable

T = TypeVar("T")
Work = Callable[[sqlite3.Connection], T]

GROUP_MAX: Final = 256
"""Most jobs of one commit: enough to share a flush, few enough to keep the wait short."""
READERS: Final = 2
BUSY_MS: Final = 5000
"""How long a statement waits for another process's lock before it fails. [ms]"""


def connect(path: Path, *, writes: bool) -> sqlite3.Connection:
    """
    A connection with every setting that the ledger relies on, asserted.

    Raises:
        LedgerUnavailable: The file cannot be opened, or the store does not honour a setting.
    """
    try:
        connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        (mode,) = connection.execute("PRAGMA journal_mode = WAL").fetchone()
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA fullfsync = ON")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA recursive_triggers = ON")
        if not writes:
            connection.execute("PRAGMA query_only = ON")
        (synchronous,) = connection.execute("PRAGMA synchronous").fetchone()
    except sqlite3.Error as fault:
        raise LedgerUnavailable(f"{path}: {fault}") from fault
    if mode != "wal" or synchronous != 2:
        connection.close()
        raise LedgerUnavailable(
            f"{path}: found journal mode {mode} and synchronous {synchronous}, expected wal and 2"
        )
    return connection


class Job(Generic[T]):
    """A piece of writing that somebody waits for."""

    def __init__(
        self,
        work: Work[T],
        announce: Callable[[T], None] | None,
        loop: asyncio.AbstractEventLoop,
    ) -> None:
        self.work = work
        self.announce = announce
        self.loop = loop
        self.future: asyncio.Future[T] = loop.create_future()
        self.result: T | None = None
        self.fault: BaseException | None = None

    def run(self, connection: sqlite3.Connection) -> None:
        """Do the work inside the transaction that is open."""
        self.result = self.work(connection)

    def deliver(self) -> None:
        """Tell who waits, then who listens. On the loop, after the commit."""
        if self.fault is not None:
            if not self.future.done():
                self.future.set_exception(_ours(self.fault))
            return
        result: Any = self.result
        if not self.future.done():
            self.future.set_result(result)
        if self.announce is not None:
            self.announce(result)


class Database:
    """The file behind the ledger and the accounts."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._jobs: queue.SimpleQueue[Job[Any] | None] = queue.SimpleQueue()
        self._connection = connect(path, writes=True)
        self._own = threading.local()
        self._reading: list[sqlite3.Connection] = []
        self._readers = ThreadPoolExecutor(READERS, thread_name_prefix="ledger-read")
        self._writer = threading.Thread(target=self._write, name="ledger-write", daemon=True)
        self._closed = False
        self._writer.start()

    async def write(self, work: Work[T], announce: Callable[[T], None] | None = None) -> T:
        """
        Run work in the writer's transaction and return once it is committed.

        Args:
            work: Gets the writer's connection inside an open transaction.
            announce: Told the result on the loop, after the commit, in the order of commits.

        Raises:
            LedgerClosed: The database was closed.
            LedgerUnavailable: The store refused; nothing of this work is written.
        """
        if self._closed:
            raise LedgerClosed("the ledger is closed")
        job = Job(work, announce, asyncio.get_running_loop())
        self._jobs.put(job)
        return await job.future

    async def read(self, work: Work[T]) -> T:
        """Run work on a reader's connection, off the loop, on one unmoving state."""
        if self._closed:
            raise LedgerClosed("the ledger is closed")
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._readers, self._read, work)

    async def close(self) -> None:
        """Commit what was asked, then let go of the file."""
        if self._closed:
            return
        self._closed = True
        self._jobs.put(None)
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(None, self._writer.join)
        self._readers.shutdown(wait=True)
        for connection in self._reading:
            connection.close()
        self._connection.close()

    def _read(self, work: Work[T]) -> T:
        try:
            connection = self._own_reader()
            connection.execute("BEGIN")
            try:
                return work(connection)
            finally:
                connection.execute("COMMIT")
        except sqlite3.Error as fault:
            raise _ours(fault) from fault

    def _own_reader(self) -> sqlite3.Connection:
        connection: sqlite3.Connection | None = getattr(self._own, "connection", None)
        if connection is None:
            connection = self._own.connection = connect(self.path, writes=False)
            self._reading.append(connection)
        return connection

    def _write(self) -> None:
        while (first := self._jobs.get()) is not None:
            group, last = self._gather(first)
            if not self._commit(group):
                for job in group:
                    self._commit([job])
            _deliver(group)
            if last:
                return

    def _gather(self, first: Job[Any]) -> tuple[list[Job[Any]], bool]:
        """Whoever waits by now; the flag says that the writer is to stop afterwards."""
        group = [first]
        while len(group) < GROUP_MAX:
            try:
                job = self._jobs.get_nowait()
            except queue.Empty:
                break
            if job is None:
                return group, True
            group.append(job)
        return group, False

    def _commit(self, group: list[Job[Any]]) -> bool:
        """Whether the group is on the disk. A group of one keeps its fault."""
        try:
            self._connection.execute("BEGIN IMMEDIATE")
            for job in group:
                job.run(self._connection)
            self._connection.execute("COMMIT")
        except Exception as fault:
            self._undo()
            for job in group:
                job.fault = fault
            return len(group) == 1
        for job in group:
            job.fault = None
        return True

    def _undo(self) -> None:
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")


def _deliver(group: list[Job[Any]]) -> None:
    """Hand the results over: one call a loop, whoever is still there."""
    loops: dict[asyncio.AbstractEventLoop, list[Job[Any]]] = {}
    for job in group:
        loops.setdefault(job.loop, []).append(job)
    for loop, jobs in loops.items():
        if not loop.is_closed():
            loop.call_soon_threadsafe(_deliver_on_loop, jobs)


def _deliver_on_loop(jobs: list[Job[Any]]) -> None:
    for job in jobs:
        job.deliver()


def _ours(fault: BaseException) -> BaseException:
    """A driver's exception as one of ours; our own pass through."""
    if isinstance(fault, sqlite3.Error):
        return LedgerUnavailable(f"the store refused: {fault}")
    return fault
