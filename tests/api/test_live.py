"""News over the WebSocket and by cursor."""

import asyncio

import pytest

from canalclock.api import live
from tests.api.conftest import Client
from tests.api.socket import connected
from tests.contract.lines import a_line, a_visit


async def test_a_screen_hears_of_each_event_after_its_cursor(client: Client) -> None:
    await client.post_lines(a_visit(), a_line(1), a_line(2))
    async with connected(client.app, "after=1") as socket:
        assert await socket.message() == {
            "feed": 2, "visit": a_visit(), "seq": 2, "signed": False,
        }  # fmt: skip
        await client.post_lines(a_visit(), a_line(3))
        assert (await socket.message())["feed"] == 3


async def test_twenty_screens_miss_nothing_while_many_write(client: Client) -> None:
    async def listen() -> list[int]:
        async with connected(client.app) as socket:
            return [(await socket.message())["feed"] for _ in range(60)]

    async def write(n: int) -> None:
        await client.post_lines(a_visit(n), a_line(n, visit=a_visit(n)))

    listening = [asyncio.create_task(listen()) for _ in range(20)]
    await asyncio.gather(*(write(n) for n in range(1, 61)))
    assert await asyncio.gather(*listening) == [list(range(1, 61))] * 20


async def test_a_beat_tells_the_clock_the_epoch_and_the_newest_number(client: Client) -> None:
    await client.post_lines(a_visit(), a_line(1))
    epoch = (await client.get("/api/health")).json()["epoch"]
    async with connected(client.app, "after=1") as socket:
        assert await socket.anything() == {"beat": client.clock.at_ms, "epoch": epoch, "feed": 1}


async def test_a_screen_that_takes_nothing_is_dropped_and_others_go_on(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live, "SLOW_S", 0.05)
    async with connected(client.app) as slow, connected(client.app) as quick:
        await slow.anything()
        slow.blocked.clear()
        await client.post_lines(a_visit(), *[a_line(n) for n in range(1, 50)])
        heard = [(await quick.message())["feed"] for _ in range(49)]
        assert heard == list(range(1, 50))
        await asyncio.sleep(0.1)
        slow.blocked.set()
        assert await slow.closing() == live.TRY_AGAIN


async def test_closing_the_service_closes_the_sockets(client: Client) -> None:
    async with connected(client.app) as socket:
        await socket.anything()
        client.running.service.hub.close()
        assert await socket.closing() == live.GOING_AWAY


async def test_another_sites_page_may_not_listen(client: Client) -> None:
    async with connected(client.app, origin="http://elsewhere.test") as socket:
        first = await asyncio.wait_for(socket.to_client.get(), 5)
        assert first["type"] == "websocket.close"


async def test_the_feed_is_read_by_cursor(client: Client) -> None:
    await client.post_lines(a_visit(), a_line(1), a_line(2), a_line(3))
    feed = (await client.get("/api/feed?after=1")).json()
    assert feed["feed"] == 3
    assert [n["seq"] for n in feed["news"]] == [2, 3]
