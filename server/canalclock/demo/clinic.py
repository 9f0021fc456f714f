"""The demonstration clinic's rooms, staff and devices."""

from typing import Final

from msgspec import structs

from canalclock.accounts.values import NEW_CLINIC, Device, Staff

CLINIC: Final = structs.replace(
    NEW_CLINIC,
    clinic="demo",
    title="Demonstration clinic",
    staff=(
        *NEW_CLINIC.staff,
        Staff(staff="assistant-3", title="Assistant 3", role="assistant"),
    ),
)
"""What every clinic begins with, and an assistant for its third room."""

TABLETS: Final = tuple(
    Device(device=f"019a0000-0000-7000-8000-00000000000{n}", title=f"Tablet, room {n}",
           room=f"room-{n}")
    for n in (1, 2, 3)
)  # fmt: skip
"""One tablet a room."""
