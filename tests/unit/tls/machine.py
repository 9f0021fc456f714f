"""A machine with addresses and a clock of its own, and keepers on it."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from canalclock.tls.authority import Authority, made
from canalclock.tls.keeper import LocalKeeper
from canalclock.tls.names import Interface
from canalclock.tls.store import Store

NOON = datetime(2026, 10, 10, 12, tzinfo=UTC)


def interfaces(**addresses: Iterable[str]) -> tuple[Interface, ...]:
    """Interfaces by name; `_` in a name stands for `-`."""
    return tuple(
        Interface(name=name.replace("_", "-"), addresses=tuple(held))
        for name, held in addresses.items()
    )


class Machine:
    """Called `clinic`, in one network, at noon of a day; all of it may change."""

    def __init__(self) -> None:
        """With one IPv4 and one IPv6 address."""
        self.host = "clinic"
        self.now = NOON
        self.found = interfaces(lo=["127.0.0.1", "::1"], eth0=["192.168.1.20", "fd00::20"])

    def moves(self, *addresses: str) -> None:
        """It is given other addresses."""
        self.found = interfaces(lo=["127.0.0.1", "::1"], eth0=addresses)

    def days_pass(self, days: float) -> None:
        """Its clock goes on."""
        self.now += timedelta(days=days)

    def keeper(self, data: Path, *given: str, anew: bool = False) -> LocalKeeper:
        """The keeper of its certificate."""
        return LocalKeeper(
            Store(data), given, lambda: self.host, lambda: self.found, lambda: self.now, anew
        )


def an_authority(*given: str, now: datetime = NOON) -> Authority:
    """An authority of the machine `clinic`."""
    return made("clinic", given, now)
