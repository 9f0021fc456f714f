"""Visits: their rows, their events, and the dentist's signature."""

from typing import Annotated, Any, Literal

import msgspec
from litestar import Response, get, post
from litestar.params import FromPath, FromQuery, JSONBody, QueryParameter
from msgspec import Meta, Struct

from canalclock.api.problems import Refusal
from canalclock.api.service import Given, Service
from canalclock.api.visit_rows import Asked, Row, is_asked, row
from canalclock.core.forms import DIGEST
from canalclock.core.quantities import WHOLE_MAX, Whole
from canalclock.intake import is_uuid7
from canalclock.ledger.port import (
    Entry,
    Head,
    HeadMoved,
    Signature,
    SignVisit,
    VisitHead,
)

State = Literal["open", "closed", "all"]
Number = Annotated[int, QueryParameter(ge=0, le=WHOLE_MAX)]
MaybeNumber = Annotated[int | None, QueryParameter(ge=0, le=WHOLE_MAX)]


class DeviceView(Struct, frozen=True, kw_only=True):
    """A device's part in a visit; gaps are ranges [first, last] of numbers that never arrived."""

    device: str
    last_seq: int
    gaps: tuple[tuple[int, int], ...]


class SignatureView(Struct, frozen=True, kw_only=True):
    """A signature as it was given; `totals` are those that were shown then."""

    visit: str
    seq: int
    digest: str
    staff: str
    signed_at_ms: int
    fold_version: int
    totals: Any
    addendum: bool


class VisitView(Row, frozen=True, kw_only=True):
    """A visit's row with its signatures and the devices that wrote to it."""

    signatures: tuple[SignatureView, ...]
    devices: tuple[DeviceView, ...]


class EntryView(Struct, frozen=True, kw_only=True):
    """One entry; `event` is the line as it was received."""

    seq: int
    recorded_at_ms: int
    prev: str
    digest: str
    line_digest: str
    event: Any


class EventsView(Struct, frozen=True, kw_only=True):
    """A visit's entries after a number, in order."""

    visit: str
    head: Head
    entries: tuple[EntryView, ...]


class Sign(Struct, frozen=True, kw_only=True):
    """What the dentist saw and signs: head, totals, and the version that computed them."""

    staff: Annotated[str, Meta(max_length=64)]
    seq: Whole
    digest: Annotated[str, Meta(pattern=DIGEST)]
    fold_version: Whole
    totals: dict[str, Any]


def checked_visit_id(visit: str) -> str:
    """
    The id from a path.

    Raises:
        Refusal: Not a UUID of version 7 in lower case.
    """
    if is_uuid7(visit):
        return visit
    raise Refusal(
        "visit_id",
        "A visit's id is made on a device and has one form.",
        found=visit[:80],
        expected="a UUID of version 7 in lower case",
        where="the path",
    )


async def known_visit(service: Service, visit: str) -> VisitHead:
    """
    A visit with its head.

    Raises:
        Refusal: The id has another form, or nothing was recorded for it.
    """
    head = await service.ledger.head(checked_visit_id(visit))
    if head.seq == 0:
        raise Refusal(
            "visit_unknown",
            "Nothing has been recorded for this visit.",
            found=visit,
            expected="a visit that has an entry",
            where="the path",
        )
    return VisitHead(visit=visit, head=head)


async def protocols_of_kits(service: Service) -> dict[str, str | None]:
    """The protocol of each kit on record."""
    return {kit.kit: kit.protocol for kit in await service.ledger.kits()}


async def rows_asked(service: Service, asked: Asked) -> list[Row]:
    """The rows that meet the conditions, oldest visit first."""
    signed = await service.ledger.signed_seqs()
    protocols = await protocols_of_kits(service)
    rows = [
        row(visit, await service.frames.of(visit), signed.get(visit.visit), protocols)
        for visit in await service.ledger.visits()
    ]
    return [candidate for candidate in rows if is_asked(candidate, asked)]


@get("/api/visits")
async def visits(
    service: Given,
    which: Annotated[State, QueryParameter(name="state")] = "all",
    room: FromQuery[str | None] = None,
    protocol: FromQuery[str | None] = None,
    from_ms: MaybeNumber = None,
    to_ms: MaybeNumber = None,
) -> list[Row]:
    """The clinic's visits, in the order in which they began to be recorded."""
    return await rows_asked(
        service, Asked(state=which, room=room, protocol=protocol, from_ms=from_ms, to_ms=to_ms)
    )


@get("/api/visits/{visit:str}")
async def one_visit(visit: FromPath[str], service: Given) -> VisitView:
    """One visit with its signatures and devices."""
    known = await known_visit(service, visit)
    signatures = await service.ledger.signatures(visit)
    newest = max((s.seq for s in signatures), default=None)
    of = row(known, await service.frames.of(known), newest, await protocols_of_kits(service))
    return VisitView(
        **msgspec.structs.asdict(of),
        signatures=tuple(map(signature_view, signatures)),
        devices=tuple(
            DeviceView(device=d.device, last_seq=d.last_seq, gaps=d.gaps)
            for d in await service.ledger.devices(visit)
        ),
    )


@get("/api/visits/{visit:str}/events")
async def events(visit: FromPath[str], service: Given, after: Number = 0) -> EventsView:
    """A visit's entries after a number, each event byte for byte as it was received."""
    checked_visit_id(visit)
    head = await service.ledger.head(visit)
    entries = await service.ledger.entries(visit, after)
    if entries:
        head = Head(seq=entries[-1].seq, digest=entries[-1].digest)
    return EventsView(visit=visit, head=head, entries=tuple(map(entry_view, entries)))


@post("/api/visits/{visit:str}/sign", request_max_body_size=1_048_576)
async def sign(
    visit: FromPath[str], data: JSONBody[Sign], service: Given
) -> Response[SignatureView]:
    """Put a dentist's name to the record as it was shown; 409 if it has moved since."""
    await known_visit(service, visit)
    await _may_sign(service, data.staff)
    command = SignVisit(
        visit=visit,
        seq=data.seq,
        digest=data.digest,
        staff=data.staff,
        fold_version=data.fold_version,
        totals=msgspec.Raw(msgspec.json.encode(data.totals)),
    )
    outcome = await service.ledger.sign(command, service.now_ms())
    if isinstance(outcome, HeadMoved):
        raise Refusal(
            "head_moved",
            "Entries arrived after the record was shown; read it again, then sign.",
            found=f"number {data.seq}, digest {data.digest}",
            expected=f"number {outcome.head.seq}, digest {outcome.head.digest}",
            where="$.seq, $.digest",
            head=outcome.head,
        )
    return Response(signature_view(outcome.signature), status_code=200 if outcome.already else 201)


async def _may_sign(service: Service, staff: str) -> None:
    roles = {s.staff: s.role for s in (await service.accounts.clinic()).staff}
    role = roles.get(staff)
    if role is None:
        raise Refusal(
            "staff_unknown",
            "Nobody signs whom the clinic does not know.",
            found=staff,
            expected="somebody on the clinic's list of staff",
            where="$.staff",
        )
    if role != "dentist":
        raise Refusal(
            "role",
            "Only a dentist signs a record.",
            found=f"{staff}, {role}",
            expected="a dentist",
            where="$.staff",
        )


def signature_view(signature: Signature) -> SignatureView:
    """A signature for the wire."""
    return SignatureView(**{f: getattr(signature, f) for f in SignatureView.__struct_fields__})


def entry_view(entry: Entry) -> EntryView:
    """An entry for the wire, its line untouched."""
    return EntryView(
        seq=entry.seq,
        recorded_at_ms=entry.recorded_at_ms,
        prev=entry.prev,
        digest=entry.digest,
        line_digest=entry.line_digest,
        event=msgspec.Raw(entry.line),
    )
