"""What the doors are given: the parts of the running service, joined in app.py."""

from collections.abc import Callable

from litestar.di import NamedDependency
from msgspec import Struct

from canalclock.accounts.store import Accounts
from canalclock.alarms import Due
from canalclock.api.reports import Reports
from canalclock.api.visit_rows import Frames
from canalclock.ledger.port import Ledger, News
from canalclock.live import Hub


class Service(Struct, frozen=True, kw_only=True):
    """The parts behind the doors."""

    ledger: Ledger
    accounts: Accounts
    hub: Hub[News, Due]
    frames: Frames
    reports: Reports
    now_ms: Callable[[], int]
    """The server's clock. [ms since 1970, UTC]"""
    version: str
    current_kits: tuple[str, ...]
    """Digests of the kits that a new visit may choose from, in the order they are offered."""


Given = NamedDependency[Service]
"""The service, as a handler's argument named `service`."""
