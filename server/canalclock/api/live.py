"""News: by cursor over HTTP, and as they are committed over a WebSocket."""

import asyncio
import contextlib
from typing import Annotated, Any, Final

import msgspec
from litestar import WebSocket, get, websocket
from litestar.exceptions import WebSocketDisconnect
from litestar.params import QueryParameter
from msgspec import Struct

from canalclock.alarms import Due
from canalclock.api.service import Given, Service
from canalclock.core.quantities import WHOLE_MAX
from canalclock.ledger.port import News
from canalclock.live import Fallen

Cursor = Annotated[int, QueryParameter(ge=0, le=WHOLE_MAX)]

BEAT_S: Final = 5.0
SLOW_S: Final = 5.0
"""A screen that does not take a message within this long is dropped. [s]"""
FEED_MAX: Final = 1000

GOING_AWAY: Final = 1001
TRY_AGAIN: Final = 1013


class FeedView(Struct, frozen=True, kw_only=True):
    """News after a cursor, at most 1000; `feed` is the newest number there is."""

    feed: int
    news: tuple[News, ...]


class Alarm(Struct, frozen=True, kw_only=True):
    """A hint that a timer is due."""

    alarm: Due


class Beat(Struct, frozen=True, kw_only=True):
    """That the line is alive: the server's clock, its ledger's epoch and newest number."""

    beat: int
    epoch: str
    feed: int


@get("/api/feed")
async def feed(service: Given, after: Cursor = 0) -> FeedView:
    """News after a number of the feed, in order and without a gap."""
    news = await service.ledger.news_after(after, FEED_MAX)
    return FeedView(feed=await service.ledger.feed(), news=news)


@websocket("/api/live")
async def live(socket: WebSocket[Any, Any, Any], service: Given, after: Cursor = 0) -> None:
    """Every news after a number, alarms as they fall due, and a beat every 5 s."""
    await socket.accept()
    tasks = [
        asyncio.create_task(_send_news(socket, service, after)),
        asyncio.create_task(_send_beats(socket, service)),
        asyncio.create_task(_until_gone(socket)),
    ]
    done, waiting = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    for task in waiting:
        task.cancel()
    await asyncio.gather(*waiting, return_exceptions=True)
    gone = tasks[2] in done
    slow = any(isinstance(t.exception(), (TimeoutError, Fallen)) for t in done)
    if not gone:
        with contextlib.suppress(Exception):
            await asyncio.wait_for(
                socket.close(code=TRY_AGAIN if slow else GOING_AWAY), timeout=1.0
            )


async def _send_news(socket: WebSocket[Any, Any, Any], service: Service, after: int) -> None:
    async with contextlib.aclosing(service.hub.stream(after)) as stream:
        async for item in stream:
            match item:
                case News():
                    await _send(socket, item)
                case Due():
                    await _send(socket, Alarm(alarm=item))


async def _send_beats(socket: WebSocket[Any, Any, Any], service: Service) -> None:
    epoch = await service.ledger.epoch()
    while True:
        newest = await service.ledger.feed()
        await _send(socket, Beat(beat=service.now_ms(), epoch=epoch, feed=newest))
        await asyncio.sleep(BEAT_S)


async def _until_gone(socket: WebSocket[Any, Any, Any]) -> None:
    """Read and forget what the other side says, until it leaves."""
    with contextlib.suppress(WebSocketDisconnect):
        while True:
            await socket.receive_data(mode="text")


async def _send(socket: WebSocket[Any, Any, Any], message: Struct) -> None:
    text = msgspec.json.encode(message).decode()
    await asyncio.wait_for(socket.send_text(text), timeout=SLOW_S)
