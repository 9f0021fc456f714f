"""A WebSocket to the application in process: what the server sends, as it sends it."""

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from litestar import Litestar


class Socket:
    """The client's end."""

    def __init__(self) -> None:
        self.to_server: asyncio.Queue[dict[str, Any]] = asyncio.Queue()
        self.to_client: asyncio.Queue[dict[str, Any]] = asyncio.Queue()
        self.blocked = asyncio.Event()
        self.blocked.set()

    async def send(self, message: Any) -> None:
        """The server sends; it waits while the client takes nothing."""
        await self.blocked.wait()
        await self.to_client.put(message)

    async def message(self) -> dict[str, Any]:
        """The next message that is no beat."""
        while "beat" in (said := await self.anything()):
            pass
        return said

    async def anything(self) -> dict[str, Any]:
        """The next message."""
        event = await asyncio.wait_for(self.to_client.get(), 5)
        assert event["type"] == "websocket.send", event
        said: dict[str, Any] = json.loads(event["text"])
        return said

    async def closing(self) -> int:
        """Read on until the server closes; its code."""
        while True:
            event = await asyncio.wait_for(self.to_client.get(), 5)
            if event["type"] == "websocket.close":
                return int(event["code"])


@asynccontextmanager
async def connected(app: Litestar, query: str = "", origin: str = "") -> AsyncIterator[Socket]:
    """A socket at /api/live."""
    socket = Socket()
    headers = [(b"host", b"clinic.test")]
    if origin:
        headers.append((b"origin", origin.encode()))
    scope: Any = {
        "type": "websocket",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "scheme": "ws",
        "path": "/api/live",
        "raw_path": b"/api/live",
        "root_path": "",
        "query_string": query.encode(),
        "headers": headers,
        "subprotocols": [],
        "client": ("127.0.0.1", 1),
        "server": ("clinic.test", 80),
        "extensions": {},
        "state": {},
    }
    await socket.to_server.put({"type": "websocket.connect"})
    serving = asyncio.create_task(
        app(scope, socket.to_server.get, socket.send)  # type: ignore[arg-type]
    )
    if not origin:
        accepted = await asyncio.wait_for(socket.to_client.get(), 5)
        assert accepted["type"] == "websocket.accept", accepted
    try:
        yield socket
    finally:
        await socket.to_server.put({"type": "websocket.disconnect", "code": 1000})
        await asyncio.wait_for(asyncio.gather(serving, return_exceptions=True), 5)
