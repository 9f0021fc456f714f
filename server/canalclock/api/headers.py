"""Headers of every answer, and the check that no other site asks.

Set before sending, so that files, refusals and our own mistakes carry them too.
"""

from typing import Any, Final
from urllib.parse import urlsplit

from litestar import Request
from litestar.connection import ASGIConnection
from litestar.datastructures import MutableScopeHeaders
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
    headers = MutableScopeHeaders.from_message(message)
    for name, value in SECURITY.items():
        headers[name] = value
    path = str(scope.get("path", ""))
    if path.startswith("/api") and "cache-control" not in headers:
        headers["Cache-Control"] = "no-store"


def own_origin(connection: ASGIConnection[Any, Any, Any, Any], handler: BaseRouteHandler) -> None:
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
