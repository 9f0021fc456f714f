"""What every ledger offers, and the values that pass through it.

Errors:

    LedgerError
    ├── LedgerInUse         another process serves this data
    ├── LedgerTooNew        written by a later version of the program
    ├── LedgerNotThere      no ledger where one was asked for
    ├── LedgerClosed        used after it was closed
    └── LedgerUnavailable   the store could not read or write; nothing half written
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Protocol

from msgspec import Raw, Struct

from canalclock.intake import Taken
from canalclock.ledger.chain import FIRST_PREV, Break


class LedgerError(Exception):
    """Base of everything that goes wrong in a ledger."""


class LedgerInUse(LedgerError):
    """Another process serves this data; `pid` names it where it is known."""

    def __init__(self, message: str, pid: int | None) -> None:
        super().__init__(message)
        self.pid = pid


class LedgerTooNew(LedgerError):
    """The data was written by a later version of the program."""


class LedgerNotThere(LedgerError):
    """There is no ledger in the place that was named."""


class LedgerClosed(LedgerError):
    """The ledger was closed before this was asked."""


class LedgerUnavailable(LedgerError):
    """The store could not read or write; nothing is half written."""


class Value(Struct, frozen=True, kw_only=True):
    """Base of the values of the ledger."""


class Head(Value, frozen=True, kw_only=True):
    """The newest entry of a visit; number 0 and 64 zeros while it has none."""

    seq: int = 0
    digest: str = FIRST_PREV


class Entry(Value, frozen=True, kw_only=True):
    """One recorded event; `line` are the bytes as they were received."""

    visit: str
    seq: int
    feed: int
    kind: str
    recorded_at_ms: int
    prev: str
    digest: str
    line_digest: str
    line: bytes


class Recorded(Value, frozen=True, kw_only=True):
    """The line is committed under this number; `already` = it had been before."""

    id: str
    seq: int
    already: bool = False


class IdReused(Value, frozen=True, kw_only=True):
    """The id stands for other bytes already; nothing was written."""

    id: str
    visit: str
    seq: int


class News(Value, frozen=True, kw_only=True):
    """One step of the clinic's feed: an entry, or a signature at that entry."""

    feed: int
    visit: str
    seq: int
    signed: bool = False


class Appended(Value, frozen=True, kw_only=True):
    """What became of each line, in the order given, and the head afterwards."""

    head: Head
    answers: tuple[Recorded | IdReused, ...]
    news: tuple[News, ...]


class VisitHead(Value, frozen=True, kw_only=True):
    """A visit and its newest entry."""

    visit: str
    head: Head
    recorded_at_ms: int = 0
    """When the newest entry was recorded. [ms since 1970, UTC]"""


class SignVisit(Value, frozen=True, kw_only=True):
    """What a dentist puts a name to."""

    visit: str
    seq: int
    digest: str
    staff: str
    fold_version: int
    totals: Raw
    """The totals that were on the screen, as JSON."""


class Signature(Value, frozen=True, kw_only=True):
    """A signature; an addendum if the visit had been signed before."""

    visit: str
    seq: int
    digest: str
    staff: str
    signed_at_ms: int
    fold_version: int
    totals: Raw
    addendum: bool


class Signed(Value, frozen=True, kw_only=True):
    """The signature; `already` = the very same had been given before."""

    signature: Signature
    already: bool = False


class HeadMoved(Value, frozen=True, kw_only=True):
    """The visit's newest entry is another than the one that was shown."""

    head: Head


class StoredKit(Value, frozen=True, kw_only=True):
    """A kit's document with what it is listed by."""

    kit: str
    protocol: str | None
    version: int | None
    title: str


class DeviceSeqs(Value, frozen=True, kw_only=True):
    """A device's part in a visit; gaps are ranges of its numbers that no visit has."""

    device: str
    last_seq: int
    gaps: tuple[tuple[int, int], ...]


Listener = Callable[[Sequence[News]], None]


class Ledger(Protocol):
    """The ledger of one clinic. Every method is atomic; what was answered is committed."""

    async def epoch(self) -> str:
        """The id of this copy of the ledger; a restored one has another."""
        ...

    async def append(self, visit: str, lines: Sequence[Taken], recorded_at_ms: int) -> Appended:
        """Record lines in the order given; repeated lines keep their first number."""
        ...

    async def head(self, visit: str) -> Head:
        """The visit's newest entry."""
        ...

    async def entries(
        self, visit: str, after: int = 0, kinds: frozenset[str] | None = None
    ) -> tuple[Entry, ...]:
        """The visit's entries with a greater number, in order; of the kinds, if given."""
        ...

    async def visits(self) -> tuple[VisitHead, ...]:
        """Every visit, in the order in which they began."""
        ...

    async def devices(self, visit: str) -> tuple[DeviceSeqs, ...]:
        """The devices that wrote to the visit, with the gaps in their numbers."""
        ...

    async def sign(self, command: SignVisit, signed_at_ms: int) -> Signed | HeadMoved:
        """Sign the head that was shown, if it still is the head."""
        ...

    async def signatures(self, visit: str) -> tuple[Signature, ...]:
        """The visit's signatures, oldest first."""
        ...

    async def signed_seqs(self) -> dict[str, int]:
        """The newest signed number of every signed visit."""
        ...

    async def feed(self) -> int:
        """The newest number of the feed; 0 at first."""
        ...

    async def news_after(self, feed: int, limit: int) -> tuple[News, ...]:
        """At most `limit` news with a greater number, in order and without a gap."""
        ...

    async def store_kit(self, kit: StoredKit, document: bytes, stored_at_ms: int) -> None:
        """Keep a kit's document for ever; the same kit again changes nothing."""
        ...

    async def kit_document(self, kit: str) -> bytes | None:
        """The document as it was stored."""
        ...

    async def kits(self) -> tuple[StoredKit, ...]:
        """Every kit, oldest first."""
        ...

    async def verify(self) -> tuple[Break, ...]:
        """Every place where what is stored is not what was recorded."""
        ...

    def listen(self, listener: Listener) -> None:
        """Be told of every commit, after it, in the order of the feed."""
        ...

    async def close(self) -> None:
        """Finish what was asked, then let go of the store."""
        ...


def gaps_in(own: Sequence[int], elsewhere: frozenset[int]) -> tuple[tuple[int, int], ...]:
    """
    Ranges of a device's numbers that are missing between its first and last of a visit.

    Args:
        own: Its numbers in this visit, ascending.
        elsewhere: Its numbers in other visits.

    Returns:
        First and last number of each gap.
    """
    missing: list[tuple[int, int]] = []
    for before, after in pairwise(own):
        if after - before <= 1:
            continue
        between = sorted(n for n in elsewhere if before < n < after)
        edges = [before, *between, after]
        missing += [(low + 1, high - 1) for low, high in pairwise(edges) if high - low > 1]
    return tuple(missing)
