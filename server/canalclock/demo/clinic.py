"""The demonstration clinic's rooms, staff and devices."""

from typing import Final

from canalclock.accounts.values import Clinic, Device, Room, Staff

CLINIC: Final = Clinic(
    clinic="demo",
    title="Demonstration clinic",
    zone="UTC",
    rooms=(
        Room(room="room-1", title="Room 1"),
        Room(room="room-2", title="Room 2"),
        Room(room="room-3", title="Room 3"),
    ),
    staff=(
        Staff(staff="assistant-1", title="Assistant 1", role="assistant"),
        Staff(staff="assistant-2", title="Assistant 2", role="assistant"),
        Staff(staff="assistant-3", title="Assistant 3", role="assistant"),
        Staff(staff="dentist-1", title="Dentist 1", role="dentist"),
        Staff(staff="dentist-2", title="Dentist 2", role="dentist"),
        Staff(staff="lead-1", title="Lead 1", role="lead"),
        Staff(staff="administrator-1", title="Administrator 1", role="administrator"),
    ),
)

TABLETS: Final = tuple(
    Device(device=f"019a0000-0000-7000-8000-00000000000{n}", title=f"Tablet, room {n}",
           room=f"room-{n}")
    for n in (1, 2, 3)
)  # fmt: skip
"""One tablet a room."""
