"""The only place where the parts are joined."""

import secrets
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from litestar import Litestar

from canalclock import __version__
from canalclock.accounts.store import ACCOUNT_MIGRATIONS, Accounts
from canalclock.accounts.values import NEW_CLINIC, Clinic
from canalclock.alarms import Alarms, Derived, Due
from canalclock.api.reports import Reports
from canalclock.api.routes import application
from canalclock.api.service import Service
from canalclock.api.visit_rows import Frames
from canalclock.core.kit import Kit, kit_bytes, kit_digest
from canalclock.ledger.database import Database, connect
from canalclock.ledger.lock import DataLock
from canalclock.ledger.migrations import migrate
from canalclock.ledger.port import Ledger, News, StoredKit
from canalclock.ledger.sqlite import FILE, SqliteLedger, prepare
from canalclock.live import Hub
from canalclock.settings import Settings
from canalclock.tls.connection import PLAIN, Connection

WEB = Path(__file__).parent / "web"
"""The built web app inside the package."""
QUIET_MS = 7 * 86_400_000
"""A visit that nobody wrote to for this long has no timer worth a hint. [ms]  A choice."""


class Running:
    """A service with what keeps it going; `close` undoes everything, once."""

    def __init__(
        self, service: Service, alarms: Alarms, ledger: SqliteLedger, lock: DataLock
    ) -> None:
        self.service = service
        self.alarms = alarms
        self._ledger = ledger
        self._lock = lock
        self._closed = False

    async def start_alarms(self) -> None:
        """Derive the wake-ups of every visit that was written to lately."""
        since = self.service.now_ms() - QUIET_MS
        visits = await self._ledger.visits()
        self.alarms.start([v.visit for v in visits if v.recorded_at_ms >= since])

    async def close(self) -> None:
        """End the streams, ring no more, finish what was asked, let go of the data."""
        if self._closed:
            return
        self._closed = True
        self.service.hub.close()
        await self.alarms.stop()
        await self._ledger.close()
        self._lock.release()


@asynccontextmanager
async def running(
    settings: Settings,
    now_ms: Callable[[], int],
    kits: Sequence[Kit],
    clinic: Clinic = NEW_CLINIC,
) -> AsyncIterator[Running]:
    """
    The service on its data directory, for as long as the context lasts.

    Args:
        settings: Where the data is.
        now_ms: The server's clock. [ms since 1970, UTC]
        kits: What a new visit may choose from.
        clinic: What a new ledger's clinic begins with.

    Raises:
        LedgerInUse: Another process serves this data.
        LedgerTooNew: A later version wrote it.
        LedgerUnavailable: It cannot be opened.
    """
    opened = await start(settings, now_ms, kits, clinic)
    try:
        yield opened
    finally:
        await opened.close()


async def start(
    settings: Settings,
    now_ms: Callable[[], int],
    kits: Sequence[Kit],
    clinic: Clinic = NEW_CLINIC,
) -> Running:
    """As `running`, for a caller that closes it itself."""
    settings.data.mkdir(parents=True, exist_ok=True, mode=0o700)
    lock = DataLock(settings.data)
    try:
        ledger = await _open_ledger(settings.data / FILE, clinic, now_ms())
    except BaseException:
        lock.release()
        raise
    accounts = Accounts(ledger.database, clinic.clinic)
    await accounts.begin(clinic)
    current = [await _store(ledger, kit, now_ms()) for kit in kits]
    hub: Hub[News, Due] = Hub(ledger.news_after)
    alarms = Alarms(Derived(_lines_after(ledger)).of, hub.hint, now_ms)
    ledger.listen(hub.tell)
    ledger.listen(lambda news: alarms.news(item.visit for item in news))
    frames = Frames(ledger)
    service = Service(
        ledger=ledger,
        accounts=accounts,
        hub=hub,
        frames=frames,
        reports=Reports(ledger, frames),
        now_ms=now_ms,
        version=__version__,
        current_kits=tuple(current),
    )
    opened = Running(service, alarms, ledger, lock)
    await opened.start_alarms()
    return opened


def create_app(
    service: Service, settings: Settings, connection: Callable[[], Connection] = lambda: PLAIN
) -> Litestar:
    """The service behind its doors; `connection`: what it says of how it is reached."""
    return application(service, settings.web or WEB, settings.names, connection)


def prepare_data(data: Path, now_ms: int) -> list[str]:
    """
    Make the tables of a data directory, or bring them up to date. Call it under the lock.

    Returns:
        Names of the migrations that ran.
    """
    file = data / FILE
    ran = prepare(file, now_ms)
    connection = connect(file, writes=True)
    try:
        return ran + migrate(connection, "accounts", ACCOUNT_MIGRATIONS, now_ms)
    finally:
        connection.close()


async def _open_ledger(file: Path, clinic: Clinic, now_ms: int) -> SqliteLedger:
    prepare_data(file.parent, now_ms)
    ledger = SqliteLedger(Database(file), clinic.clinic)
    await ledger.begin(secrets.token_hex(16), now_ms)
    return ledger


async def _store(ledger: Ledger, kit: Kit, now_ms: int) -> str:
    digest = kit_digest(kit)
    protocol = kit.protocol
    listed = StoredKit(
        kit=digest,
        protocol=protocol.protocol if protocol else None,
        version=protocol.version if protocol else None,
        title=protocol.title if protocol else "Without a protocol",
    )
    await ledger.store_kit(listed, kit_bytes(kit), now_ms)
    return digest


def _lines_after(ledger: Ledger) -> Callable[[str, int], Awaitable[Sequence[tuple[int, bytes]]]]:
    async def lines_after(visit: str, seq: int) -> Sequence[tuple[int, bytes]]:
        return [(entry.seq, entry.line) for entry in await ledger.entries(visit, seq)]

    return lines_after
