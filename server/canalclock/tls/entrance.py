"""The plain-http port: the page that brings a device to trust, and the way to https for the rest.

It takes nothing in and knows nothing of visits. A small application of its own, so that no door
of the service can ever be reached through it.
"""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, Final
from urllib.parse import urlsplit

from msgspec import Struct

from canalclock.tls.names import web_address
from canalclock.tls.page import STYLE, Facts, page

Message = MutableMapping[str, Any]
Send = Callable[[Message], Awaitable[None]]
Receive = Callable[[], Awaitable[Message]]

PATH: Final = "/trust"
HEADERS: Final = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}


class Root(Struct, frozen=True, kw_only=True):
    """The certificate that devices download, and what the page says of it."""

    der: bytes
    pem: bytes
    file_name: str
    """Without its ending; letters, digits and hyphens."""
    facts: Callable[[], Facts]


class Entrance:
    """The application of the plain-http port."""

    def __init__(
        self, port: int, host: Callable[[], str], covers: Callable[[str], bool], root: Root | None
    ) -> None:
        """
        Nothing listens yet.

        Args:
            port: Of https.
            host: Where to send a request that named no host of ours.
            covers: Whether the certificate counts for a host.
            root: What devices are to trust; None = they trust already, so there is no page.
        """
        self._port = port
        self._host = host
        self._covers = covers
        self._root = root

    async def __call__(self, scope: MutableMapping[str, Any], receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            return
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        status, more, body = self._answer(scope, headers)
        said = {**HEADERS, **more, "Content-Length": str(len(body))}
        raw = [(name.lower().encode(), value.encode("latin-1")) for name, value in said.items()]
        await send({"type": "http.response.start", "status": status, "headers": raw})
        sent = b"" if scope["method"] == "HEAD" else body
        await send({"type": "http.response.body", "body": sent})

    def _answer(
        self, scope: MutableMapping[str, Any], headers: dict[bytes, str]
    ) -> tuple[int, dict[str, str], bytes]:
        if scope["method"] not in ("GET", "HEAD"):
            return 403, _TEXT, b"Only https takes anything in. Nothing was recorded.\n"
        path = str(scope["path"])
        if self._root is not None:
            if path == PATH:
                shown = page(self._root.facts(), headers.get(b"user-agent", ""))
                return 200, {"Content-Type": "text/html; charset=utf-8"}, shown.encode()
            if path == f"{PATH}/style.css":
                return 200, {"Content-Type": "text/css; charset=utf-8"}, STYLE.encode()
            name = self._root.file_name
            if path == f"{PATH}/{name}.crt":
                return 200, _file(f"{name}.crt", "application/x-x509-ca-cert"), self._root.der
            if path == f"{PATH}/{name}.pem":
                return 200, _file(f"{name}.pem", "application/x-pem-file"), self._root.pem
            if path.startswith(PATH):
                return 404, _TEXT, f"Found nothing here; the page is at {PATH}.\n".encode()
        return 307, {"Location": self._secure(scope, headers)}, b""

    def _secure(self, scope: MutableMapping[str, Any], headers: dict[bytes, str]) -> str:
        """The same address over https, at a host that the certificate counts for."""
        try:
            asked = urlsplit(f"//{headers.get(b'host', '')}").hostname or ""
        except ValueError:
            asked = ""
        host = asked if self._covers(asked) else self._host()
        raw: bytes = scope.get("raw_path") or b"/"
        query = bytes(scope.get("query_string", b""))
        path = "/" + raw.decode("latin-1").lstrip("/")
        asking = f"?{query.decode('latin-1')}" if query else ""
        return web_address("https", host, self._port, f"{path}{asking}")


def _file(name: str, kind: str) -> dict[str, str]:
    """
    Headers of the certificate.

    `inline`, since phones take a certificate of this type to their settings only if it is shown.
    """
    return {"Content-Type": kind, "Content-Disposition": f'inline; filename="{name}"'}


_TEXT: Final = {"Content-Type": "text/plain; charset=utf-8"}
