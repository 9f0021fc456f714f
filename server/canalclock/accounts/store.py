"""The clinic's lists in the ledger's file. All of their SQL is here."""

import sqlite3
from collections.abc import Callable
from typing import Protocol, TypeVar

from canalclock.accounts.values import Clinic, Device, Room, Staff

T = TypeVar("T")


class Store(Protocol):
    """Where the lists are kept: committed writing, and reading beside it."""

    async def write(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """Run work in a transaction that is committed when this returns."""
        ...

    async def read(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """Run work on one unmoving state."""
        ...


def tables_of_the_clinic(connection: sqlite3.Connection) -> None:
    """Clinic, rooms, staff and devices."""
    for statement in (
        "CREATE TABLE clinic (clinic TEXT PRIMARY KEY, title TEXT NOT NULL, zone TEXT NOT NULL) "
        "STRICT",
        "CREATE TABLE room (clinic TEXT NOT NULL REFERENCES clinic, room TEXT NOT NULL, "
        "title TEXT NOT NULL, PRIMARY KEY (clinic, room)) STRICT",
        "CREATE TABLE staff (clinic TEXT NOT NULL REFERENCES clinic, staff TEXT NOT NULL, "
        "title TEXT NOT NULL, role TEXT NOT NULL "
        "CHECK (role IN ('assistant', 'dentist', 'lead', 'administrator')), "
        "PRIMARY KEY (clinic, staff)) STRICT",
        "CREATE TABLE device (clinic TEXT NOT NULL REFERENCES clinic, device TEXT NOT NULL, "
        "title TEXT NOT NULL, room TEXT, PRIMARY KEY (clinic, device), "
        "FOREIGN KEY (clinic, room) REFERENCES room) STRICT",
        "CREATE TRIGGER staff_refuses_delete BEFORE DELETE ON staff "
        "BEGIN SELECT RAISE(ABORT, 'staff are never removed: old visits name them'); END",
    ):
        connection.execute(statement)


ACCOUNT_MIGRATIONS = (tables_of_the_clinic,)


class RoomUnknown(ValueError):
    """A device names a room that the clinic has not."""


class Accounts:
    """One clinic's lists."""

    def __init__(self, store: Store, clinic: str) -> None:
        self._store = store
        self._clinic = clinic
        self._staff: frozenset[str] | None = None

    async def begin(self, clinic: Clinic) -> None:
        """Write the clinic's first lists, unless it has lists already."""
        await self._store.write(lambda db: _begin(clinic, db))

    async def clinic(self) -> Clinic:
        """The clinic as it is now."""
        return await self._store.read(lambda db: _read_clinic(self._clinic, db))

    async def staff_ids(self) -> frozenset[str]:
        """Everybody on the list of staff; read once, since only this process changes it."""
        if self._staff is None:
            self._staff = frozenset(s.staff for s in (await self.clinic()).staff)
        return self._staff

    async def devices(self) -> tuple[Device, ...]:
        """Every device that has made itself known."""
        return await self._store.read(lambda db: _devices(self._clinic, db))

    async def put_device(self, device: Device) -> bool:
        """
        Make a device known, or give it another title or room.

        Returns:
            Whether it was new.

        Raises:
            RoomUnknown: Its room is not one of the clinic's.
        """
        return await self._store.write(lambda db: _put_device(self._clinic, device, db))


def _begin(clinic: Clinic, db: sqlite3.Connection) -> None:
    written = db.execute(
        "INSERT INTO clinic (clinic, title, zone) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
        (clinic.clinic, clinic.title, clinic.zone),
    ).rowcount
    if not written:
        return
    db.executemany(
        "INSERT INTO room (clinic, room, title) VALUES (?, ?, ?)",
        [(clinic.clinic, r.room, r.title) for r in clinic.rooms],
    )
    db.executemany(
        "INSERT INTO staff (clinic, staff, title, role) VALUES (?, ?, ?, ?)",
        [(clinic.clinic, s.staff, s.title, s.role) for s in clinic.staff],
    )


def _read_clinic(clinic: str, db: sqlite3.Connection) -> Clinic:
    title, zone = db.execute(
        "SELECT title, zone FROM clinic WHERE clinic = ?", (clinic,)
    ).fetchone()
    rooms = db.execute(
        "SELECT room, title FROM room WHERE clinic = ? ORDER BY rowid", (clinic,)
    ).fetchall()
    staff = db.execute(
        "SELECT staff, title, role FROM staff WHERE clinic = ? ORDER BY rowid", (clinic,)
    ).fetchall()
    return Clinic(
        clinic=clinic,
        title=title,
        zone=zone,
        rooms=tuple(Room(room=room, title=name) for room, name in rooms),
        staff=tuple(Staff(staff=who, title=name, role=role) for who, name, role in staff),
    )


def _devices(clinic: str, db: sqlite3.Connection) -> tuple[Device, ...]:
    rows = db.execute(
        "SELECT device, title, room FROM device WHERE clinic = ? ORDER BY rowid", (clinic,)
    )
    return tuple(Device(device=d, title=title, room=room) for d, title, room in rows)


def _put_device(clinic: str, device: Device, db: sqlite3.Connection) -> bool:
    if device.room is not None:
        known = db.execute(
            "SELECT 1 FROM room WHERE clinic = ? AND room = ?", (clinic, device.room)
        ).fetchone()
        if known is None:
            raise RoomUnknown(device.room)
    new = (
        db.execute(
            "SELECT 1 FROM device WHERE clinic = ? AND device = ?", (clinic, device.device)
        ).fetchone()
        is None
    )
    db.execute(
        "INSERT INTO device (clinic, device, title, room) VALUES (?, ?, ?, ?) "
        "ON CONFLICT (clinic, device) DO UPDATE SET title = excluded.title, room = excluded.room",
        (clinic, device.device, device.title, device.room),
    )
    return new
