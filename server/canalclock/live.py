"""Hands committed news to whoever listens: commit first, then tell.

Every listener has a cursor into the feed and gets every number after it without a gap: from the
newest news kept here where they reach back far enough, else from the ledger. Nobody waits for a
slow listener; it is dropped and comes back with its cursor. Not here: sockets (api/live.py).
"""

import asyncio
from collections import deque
from collections.abc import AsyncGenerator, Awaitable, Callable, Sequence
from itertools import islice
from typing import Final, Generic, Protocol, TypeVar

NEWEST_MAX: Final = 4096
"""News kept for listeners that are nearly up to date; beyond it they read the ledger."""
READ_MAX: Final = 500
REREAD_S: Final = 2.0
"""Listeners read the feed again after this long without a word, whatever they were told. [s]"""
HINTS_MAX: Final = 1000
"""Hints that may wait for one listener; a listener that far behind is dropped."""


class Numbered(Protocol):
    """A step of the feed."""

    @property
    def feed(self) -> int:
        """Its number. Numbers follow each other without a gap."""
        ...


N = TypeVar("N", bound=Numbered)
H = TypeVar("H")


class Fallen(Exception):
    """The listener did not keep up, and is let go."""


class Listening(Generic[H]):
    """One listener: wakes on news, hints and closing."""

    def __init__(self) -> None:
        self.woken = asyncio.Event()
        self.hints: deque[H] = deque()
        self.fallen = False

    def hint(self, hint: H) -> None:
        """Leave a hint for the listener."""
        if len(self.hints) >= HINTS_MAX:
            self.fallen = True
        else:
            self.hints.append(hint)
        self.woken.set()


class Hub(Generic[N, H]):
    """Everybody who listens, and the newest news."""

    def __init__(self, news_after: Callable[[int, int], Awaitable[Sequence[N]]]) -> None:
        self._news_after = news_after
        self._newest: deque[N] = deque(maxlen=NEWEST_MAX)
        self._listening: set[Listening[H]] = set()
        self.closed = False

    def tell(self, news: Sequence[N]) -> None:
        """News that were just committed, in the order of the feed."""
        for item in news:
            if self._newest and item.feed != self._newest[-1].feed + 1:
                self._newest.clear()
            self._newest.append(item)
        self._wake()

    def hint(self, hint: H) -> None:
        """A hint for everybody, outside the feed: it may be missed, and may come twice."""
        for listener in self._listening:
            listener.hint(hint)

    def close(self) -> None:
        """End every listener's stream."""
        self.closed = True
        self._wake()

    async def stream(self, after: int) -> AsyncGenerator[N | H | None, None]:
        """
        Everything after a feed number, for as long as the hub is open.

        Args:
            after: The last number that the listener has. [], >= 0.

        Yields:
            News in order without a gap, hints as they come, and None when there was nothing to
            say for a while.

        Raises:
            Fallen: The listener did not keep up.
        """
        listener: Listening[H] = Listening()
        self._listening.add(listener)
        cursor, reread = after, True
        try:
            while not self.closed:
                listener.woken.clear()
                while listener.hints:
                    yield listener.hints.popleft()
                while news := await self._after(cursor, reread):
                    for item in news:
                        cursor = item.feed
                        yield item
                reread = False
                if listener.fallen:
                    raise Fallen
                if listener.woken.is_set() or self.closed:
                    continue
                try:
                    await asyncio.wait_for(listener.woken.wait(), REREAD_S)
                except TimeoutError:
                    reread = True
                    yield None
        finally:
            self._listening.discard(listener)

    async def _after(self, cursor: int, reread: bool) -> Sequence[N]:
        if not reread and self._newest and self._newest[0].feed <= cursor + 1:
            skip = cursor + 1 - self._newest[0].feed
            return tuple(islice(self._newest, skip, skip + READ_MAX))
        return await self._news_after(cursor, READ_MAX)

    def _wake(self) -> None:
        for listener in self._listening:
            listener.woken.set()
