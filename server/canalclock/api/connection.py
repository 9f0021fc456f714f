"""How this service is reached, and the codes that bring another device there."""

import io
from typing import Annotated, Literal

from litestar import Response, get
from litestar.di import NamedDependency
from litestar.params import FromQuery
from msgspec import Meta

from canalclock.api.problems import Refusal
from canalclock.tls.connection import Connection


@get("/api/connection")
async def connection_said(connection: NamedDependency[Connection]) -> Connection:
    """Addresses for other devices, the authority's fingerprint, and what to see to."""
    return connection


@get("/api/connection/code.svg", media_type="image/svg+xml")
async def connection_code(
    connection: NamedDependency[Connection],
    of: FromQuery[Literal["app", "trust"]],
    at: FromQuery[Annotated[int, Meta(ge=0, le=999)]] = 0,
) -> Response[bytes]:
    """A QR code of the address numbered `at`: of the app, or of the page that brings trust."""
    listed = connection.trust if of == "trust" else connection.addresses
    if at >= len(listed):
        raise Refusal(
            "address_unknown",
            "The service knows no such address of its own.",
            found=f"{of} {at}",
            expected=f"a number below {len(listed)}" if listed else "none: no address is known",
            where="the query, at",
        )
    return Response(code(listed[at]), media_type="image/svg+xml")


def code(address: str) -> bytes:
    """A QR code as SVG, black on white with its quiet margin, whatever the page's colours are."""
    import segno

    out = io.BytesIO()
    segno.make(address, micro=False).save(
        out, kind="svg", scale=6, border=4, light="#fff", dark="#000", xmldecl=False
    )
    return out.getvalue()
