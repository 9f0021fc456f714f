"""The clinic's own lists."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from canalclock.core.forms import UUID7
from canalclock.core.record.events import Short, Slug

Role = Literal["assistant", "dentist", "lead", "administrator"]
Uuid7 = Annotated[str, Meta(pattern=UUID7)]
"""A UUID of version 7 in lower case, as devices make them."""


class Room(Struct, frozen=True, kw_only=True):
    """One chair."""

    room: Slug
    title: Short


class Staff(Struct, frozen=True, kw_only=True):
    """Somebody who may be named in an entry; only a dentist signs."""

    staff: Slug
    title: Short
    role: Role


class Clinic(Struct, frozen=True, kw_only=True):
    """The clinic with its rooms and staff; `zone` is an IANA name, for showing times."""

    clinic: Slug
    title: Short
    zone: str
    rooms: tuple[Room, ...]
    staff: tuple[Staff, ...]


class Device(Struct, frozen=True, kw_only=True):
    """A phone, tablet or desk that writes; `device` is an id it made itself."""

    device: Uuid7
    title: Short
    room: Slug | None = None


NEW_CLINIC = Clinic(
    clinic="clinic",
    title="Clinic",
    zone="UTC",
    rooms=(
        Room(room="room-1", title="Room 1"),
        Room(room="room-2", title="Room 2"),
        Room(room="room-3", title="Room 3"),
    ),
    staff=(
        Staff(staff="assistant-1", title="Assistant 1", role="assistant"),
        Staff(staff="assistant-2", title="Assistant 2", role="assistant"),
        Staff(staff="dentist-1", title="Dentist 1", role="dentist"),
        Staff(staff="dentist-2", title="Dentist 2", role="dentist"),
        Staff(staff="lead-1", title="Lead 1", role="lead"),
        Staff(staff="administrator-1", title="Administrator 1", role="administrator"),
    ),
)
"""What a clinic begins with: roles, no names."""
