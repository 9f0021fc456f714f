"""The hub: no number missed, none twice, nobody waited for."""

import asyncio
from collections.abc import Sequence
from contextlib import aclosing

import pytest

from canalclock import live
from canalclock.ledger.port import News
from canalclock.live import Fallen, Hub


class Feed:
    """A ledger's feed, and how often it was read."""

    def __init__(self) -> None:
        self.news: list[News] = []
        self.reads = 0

    def add(self, count: int = 1) -> list[News]:
        first = len(self.news) + 1
        added = [News(feed=first + n, visit="v", seq=first + n) for n in range(count)]
        self.news += added
        return added

    async def after(self, feed: int, limit: int) -> Sequence[News]:
        self.reads += 1
        return self.news[feed : feed + limit]


def a_hub(feed: Feed) -> Hub[News, str]:
    return Hub(feed.after)


async def take(hub: Hub[News, str], after: int, count: int) -> list[News | str | None]:
    got: list[News | str | None] = []
    async with aclosing(hub.stream(after)) as stream:
        async for item in stream:
            got.append(item)
            if len(got) == count:
                break
    return got


async def test_a_listener_gets_what_was_before_it_and_what_comes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(live, "READ_MAX", 3)
    feed = Feed()
    hub = a_hub(feed)
    feed.add(7)
    listening = asyncio.create_task(take(hub, 2, 9))
    await asyncio.sleep(0)
    for _ in range(4):
        hub.tell(feed.add())
        await asyncio.sleep(0)
    got = await listening
    assert [n.feed for n in got if isinstance(n, News)] == list(range(3, 12))


async def test_what_is_told_needs_no_reading() -> None:
    feed = Feed()
    hub = a_hub(feed)
    hub.tell(feed.add(3))
    listening = asyncio.create_task(take(hub, 0, 103))
    await asyncio.sleep(0.01)
    reads = feed.reads
    for _ in range(100):
        hub.tell(feed.add())
        await asyncio.sleep(0)
    await listening
    assert feed.reads == reads


async def test_news_that_nobody_told_are_found_by_reading_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(live, "REREAD_S", 0.01)
    feed = Feed()
    hub = a_hub(feed)
    hub.tell(feed.add())
    listening = asyncio.create_task(take(hub, 0, 3))
    await asyncio.sleep(0)
    feed.add()
    got = await asyncio.wait_for(listening, 1)
    assert [n.feed for n in got if isinstance(n, News)] == [1, 2]
    assert None in got


async def test_a_gap_in_what_is_told_is_filled_from_the_ledger() -> None:
    feed = Feed()
    hub = a_hub(feed)
    hub.tell(feed.add())
    feed.add()
    hub.tell(feed.add())
    got = await take(hub, 0, 3)
    assert [n.feed for n in got if isinstance(n, News)] == [1, 2, 3]


async def test_hints_reach_everybody() -> None:
    hub = a_hub(Feed())
    listening = [asyncio.create_task(take(hub, 0, 1)) for _ in range(3)]
    await asyncio.sleep(0.01)
    hub.hint("due")
    assert await asyncio.gather(*listening) == [["due"]] * 3


async def test_a_listener_that_falls_behind_is_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "HINTS_MAX", 2)
    feed = Feed()
    hub = a_hub(feed)
    hub.tell(feed.add())
    async with aclosing(hub.stream(0)) as stream:
        await anext(stream)
        for _ in range(3):
            hub.hint("due")
        with pytest.raises(Fallen):
            while True:
                await anext(stream)


async def test_closing_ends_every_stream() -> None:
    hub = a_hub(Feed())
    listening = [asyncio.create_task(take(hub, 0, 1)) for _ in range(3)]
    await asyncio.sleep(0.01)
    hub.close()
    assert await asyncio.wait_for(asyncio.gather(*listening), 1) == [[], [], []]
