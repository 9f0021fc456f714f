"""Headers of every answer, and the checks that no other site asks.

Set before sending, so that files, refusals and our own mistakes carry them too.
"""

import functools
import ipaddress
from collections.abc import Awaitable, Callable
from typing import Any, Final
from urllib.parse import urlsplit

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.handlers import BaseRouteHandler
from litestar.types import Message, Scope

from canalclock.api.problems import Refusal

POLICY: Final = "; ".join(
    (
        "default-src 'self'",
        "base-uri 'none'",
        "connect-src 'self'",
        "font-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "img-src 'self' data: blob:",
        "manifest-src 'self'",
        "object-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "worker-src 'self'",
    )
)

SECURITY: Final = {
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), screen-wake-lock=(self)",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}


async def before_send(message: Message, scope: Scope) -> None:
    """Put the headers on an answer that is about to go out."""
    if message["type"] != "http.response.start":
        return
    headers = [*message["headers"], *_RAW]
    if str(scope.get("path", "")).startswith("/api") and not any(
        name.lower() == b"cache-control" for name, _ in headers
    ):
        headers.append((b"cache-control", b"no-store"))
    message["headers"] = headers


_RAW: Final = [(name.lower().encode(), value.encode()) for name, value in SECURITY.items()]


OWN_SUFFIXES: Final = (".home.arpa", ".internal", ".lan", ".local", ".localhost", ".test")
"""Ends of names that nobody can own on the internet, so that none of them leads elsewhere.

Source: RFC 6761, RFC 6762, RFC 8375; `.internal`, reserved by ICANN in 2024; `.lan` by custom.
"""

Guard = Callable[[ASGIConnection[Any, Any, Any, Any], BaseRouteHandler], Awaitable[None]]


def own_site(names: tuple[str, ...]) -> Guard:
    """
    The one guard of every door: `own_host`, then `own_origin`.

    One, since the framework copies a whole handler for each guard of each request.

    Args:
        names: Further names by which this machine is reached.
    """
    of_host = own_host(names)

    async def guard(
        connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler
    ) -> None:
        await of_host(connection, handler)
        await own_origin(connection, handler)

    return guard


def own_host(names: tuple[str, ...]) -> Guard:
    """
    A guard that refuses requests for a name that is not this machine's.

    A page of another site could otherwise point its own name at this machine and read what it
    answers. Addresses, names without a dot and names of the local network are taken as own.

    Args:
        names: Further names by which this machine is reached.
    """

    async def guard(
        connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler
    ) -> None:
        host = urlsplit(f"//{connection.headers.get('host', '')}").hostname or ""
        if _is_own(host, names):
            return
        raise Refusal(
            "host",
            "This name does not lead to this service; start it with --name if it should.",
            found=f"Host: {connection.headers.get('host', '')[:200]}",
            expected="an address, a local name, or one given by --name",
            where="the Host header",
        )

    return guard


@functools.lru_cache(maxsize=256)
def _is_own(host: str, names: tuple[str, ...]) -> bool:
    if "." not in host or host in names or host.endswith(OWN_SUFFIXES):
        return host != ""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True


async def own_origin(
    connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler
) -> None:
    """
    Refuse what another site's page asks of this server.

    Raises:
        Refusal: An `Origin` that is not the host that was asked.
    """
    origin = connection.headers.get("origin")
    if origin is None or (isinstance(connection, Request) and connection.method == "GET"):
        return
    host = connection.headers.get("host", "")
    if urlsplit(origin).netloc != host:
        raise Refusal(
            "origin",
            "Only this server's own pages may write to it or listen to it.",
            found=f"Origin: {origin}",
            expected=f"an origin at {host}",
            where="the Origin header",
        )
