"""Health, clock, clinic and devices."""

from litestar import Response, get, post
from litestar.params import JSONBody
from msgspec import Struct

from canalclock.accounts.store import RoomUnknown
from canalclock.accounts.values import Device, Room, Staff
from canalclock.api.problems import Refusal
from canalclock.api.service import Given
from canalclock.core.record.fold import FOLD_VERSION


class Health(Struct, frozen=True, kw_only=True):
    """That the service answers, and as which version on which copy of the ledger."""

    status: str
    version: str
    epoch: str
    fold_version: int


class Clock(Struct, frozen=True, kw_only=True):
    """The server's clock. [ms since 1970, UTC]"""

    now_ms: int


class ClinicView(Struct, frozen=True, kw_only=True):
    """The clinic's lists, and what its screens begin with."""

    clinic: str
    title: str
    zone: str
    epoch: str
    rooms: tuple[Room, ...]
    staff: tuple[Staff, ...]
    notation_default: str


@get("/api/health")
async def health(service: Given) -> Health:
    """Whether the service answers."""
    return Health(
        status="ok",
        version=service.version,
        epoch=await service.ledger.epoch(),
        fold_version=FOLD_VERSION,
    )


@get("/api/clock")
async def clock(service: Given) -> Clock:
    """The server's clock, from which a device estimates its error."""
    return Clock(now_ms=service.now_ms())


@get("/api/clinic")
async def clinic(service: Given) -> ClinicView:
    """Rooms and staff."""
    lists = await service.accounts.clinic()
    return ClinicView(
        clinic=lists.clinic,
        title=lists.title,
        zone=lists.zone,
        epoch=await service.ledger.epoch(),
        rooms=lists.rooms,
        staff=lists.staff,
        notation_default="iso3950",
    )


@get("/api/devices")
async def devices(service: Given) -> tuple[Device, ...]:
    """Every device that has made itself known."""
    return await service.accounts.devices()


@post("/api/devices")
async def put_device(data: JSONBody[Device], service: Given) -> Response[Device]:
    """Make a device known; again with another title or room changes those."""
    try:
        new = await service.accounts.put_device(data)
    except RoomUnknown as fault:
        raise Refusal(
            "room_unknown",
            "The device names a room that the clinic has not.",
            found=str(fault),
            expected="one of the clinic's rooms, or null",
            where="$.room",
        ) from fault
    return Response(data, status_code=201 if new else 200)
