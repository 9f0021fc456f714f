"""Protocols and kits. A kit's document never changes, so its answer may be kept for ever."""

import functools

from litestar import Response, get
from litestar.params import FromPath
from msgspec import Struct

from canalclock.api.problems import Refusal
from canalclock.api.service import Given, Service
from canalclock.core.kit import Kit, read_kit
from canalclock.core.protocol.definition import Case, Source


class ProtocolView(Struct, frozen=True, kw_only=True):
    """A protocol that a new visit may choose."""

    protocol: str
    version: int
    title: str
    purpose: str
    kit: str
    case: Case
    source: Source


class KitView(Struct, frozen=True, kw_only=True):
    """A kit on record; `current` = a new visit may choose it."""

    kit: str
    protocol: str | None
    version: int | None
    title: str
    current: bool


@functools.lru_cache(maxsize=64)
def read_kit_once(document: bytes) -> Kit:
    """A kit from its document, decoded once."""
    return read_kit(document)


async def kit_of(service: Service, digest: str) -> Kit | None:
    """A kit on record, or None."""
    document = await service.ledger.kit_document(digest)
    return read_kit_once(document) if document is not None else None


@get("/api/protocols")
async def protocols(service: Given) -> list[ProtocolView]:
    """The protocols that a new visit may choose from."""
    views = []
    for digest in service.current_kits:
        kit = await kit_of(service, digest)
        if kit is None or kit.protocol is None:
            continue
        p = kit.protocol
        views.append(
            ProtocolView(
                protocol=p.protocol,
                version=p.version,
                title=p.title,
                purpose=p.purpose,
                kit=digest,
                case=p.case,
                source=p.source,
            )
        )
    return views


@get("/api/kits")
async def kits(service: Given) -> list[KitView]:
    """Every kit on record; the one without a protocol has protocol null."""
    return [
        KitView(
            kit=stored.kit,
            protocol=stored.protocol,
            version=stored.version,
            title=stored.title,
            current=stored.kit in service.current_kits,
        )
        for stored in await service.ledger.kits()
    ]


@get("/api/kits/{digest:str}")
async def kit_document(digest: FromPath[str], service: Given) -> Response[bytes]:
    """The kit's JSON document, byte for byte as its digest was taken."""
    document = await service.ledger.kit_document(digest)
    if document is None:
        raise Refusal(
            "kit_unknown",
            "No kit with this digest is on record.",
            found=digest[:80],
            expected="a digest from /api/kits",
            where="the path",
        )
    return Response(
        document,
        media_type="application/json",
        headers={"Cache-Control": "public, max-age=31536000, immutable"},
    )
