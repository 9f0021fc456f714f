"""The whole service in process, on a real SQLite file, with a clock that a test sets."""

from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from litestar import Litestar

from canalclock.app import Running, create_app, running
from canalclock.core.kit import Kit
from canalclock.protocol_files import kit_for
from canalclock.settings import Settings

START_MS = 1_790_000_000_000


class Clock:
    """The server's clock as a test sets it. [ms]"""

    def __init__(self) -> None:
        self.at_ms = START_MS

    def __call__(self) -> int:
        return self.at_ms


class Client:
    """What a device asks over HTTP, in process."""

    def __init__(self, app: Litestar, running: Running, clock: Clock) -> None:
        self.app = app
        self.running = running
        self.clock = clock
        asgi: Any = app
        transport = httpx.ASGITransport(app=asgi, raise_app_exceptions=False)
        self.http = httpx.AsyncClient(transport=transport, base_url="http://clinic.test")

    async def post_lines(
        self, visit: str, *lines: bytes, media: str = "application/x-ndjson"
    ) -> httpx.Response:
        """Post a batch."""
        return await self.http.post(
            f"/api/visits/{visit}/events",
            content=b"".join(line + b"\n" for line in lines),
            headers={"Content-Type": media},
        )

    async def get(self, path: str, **headers: str) -> httpx.Response:
        """Ask for a document."""
        return await self.http.get(path, headers=headers)


def a_kit() -> Kit:
    """The shipped catalogue without a protocol."""
    return kit_for(None)


@pytest.fixture
async def client(tmp_path: Path) -> AsyncIterator[Client]:
    """A service with an empty ledger."""
    web = tmp_path / "web"
    (web / "assets").mkdir(parents=True)
    (web / "index.html").write_text("<!doctype html><title>the app</title>")
    (web / "sw.js").write_text("// worker")
    (web / "assets" / "main-abc.js").write_text("// script " + "x" * 2000)
    settings = Settings(data=tmp_path / "data", web=web)
    clock = Clock()
    async with running(settings, clock, [a_kit()]) as opened:
        made = Client(create_app(opened.service, settings), opened, clock)
        async with made.http:
            yield made
