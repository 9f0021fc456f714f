"""What the lists say of a visit, derived from its few framing events and kept while it holds.

A row is computed from the events that open, close and amend; it is thrown away when the head
moves. Not here: contents, totals, findings (core).
"""

from collections.abc import Iterable, Mapping
from typing import Final

from msgspec import Struct

from canalclock.core.record.amend import standing
from canalclock.core.record.events import VisitClosed, VisitOpened
from canalclock.core.record.fold import FOLD_VERSION
from canalclock.core.record.reading import read_stored
from canalclock.ledger.port import Head, Ledger, VisitHead

FRAMING: Final = frozenset({"visit_opened", "visit_closed", "entry_corrected", "entry_voided"})


class Frame(Struct, frozen=True, kw_only=True):
    """How a visit was opened and closed, as it stands now; nulls while nobody has said."""

    opened: VisitOpened | None = None
    closed_at_ms: int | None = None


def frame(lines: Iterable[bytes]) -> Frame:
    """The frame that a visit's framing events amount to."""
    events = standing([read_stored(line) for line in lines]).events
    opened = next((e for e in events if isinstance(e, VisitOpened)), None)
    closed = next((e for e in events if isinstance(e, VisitClosed)), None)
    return Frame(opened=opened, closed_at_ms=closed.occurred_at_ms if closed else None)


class Frames:
    """Every visit's frame, each computed once a head."""

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._known: dict[str, tuple[Head, int, Frame]] = {}

    async def of(self, visit: VisitHead) -> Frame:
        """The visit's frame at its head."""
        known = self._known.get(visit.visit)
        if known is not None and known[:2] == (visit.head, FOLD_VERSION):
            return known[2]
        entries = await self._ledger.entries(visit.visit, kinds=FRAMING)
        found = frame(entry.line for entry in entries)
        self._known[visit.visit] = (visit.head, FOLD_VERSION, found)
        return found


class Row(Struct, frozen=True, kw_only=True):
    """A visit in the lists; nulls while its opening has not arrived."""

    visit: str
    course: str | None
    tooth: str | None
    label: str | None
    room: str | None
    kit: str | None
    protocol: str | None
    opened_at_ms: int | None
    closed_at_ms: int | None
    head: Head
    signed_seq: int | None
    training: bool


class Asked(Struct, frozen=True, kw_only=True):
    """Which visits a list asks for; None = no condition. Instants include `from`, not `to`."""

    state: str = "all"
    room: str | None = None
    protocol: str | None = None
    from_ms: int | None = None
    to_ms: int | None = None


def row(
    visit: VisitHead, found: Frame, signed_seq: int | None, protocols: Mapping[str, str | None]
) -> Row:
    """
    A visit's row.

    Args:
        visit: The visit and its head.
        found: Its frame at that head.
        signed_seq: Its newest signed number.
        protocols: The protocol of each kit on record.
    """
    opened = found.opened
    return Row(
        visit=visit.visit,
        course=opened.course if opened else None,
        tooth=opened.tooth if opened else None,
        label=opened.label if opened else None,
        room=opened.room if opened else None,
        kit=opened.kit if opened else None,
        protocol=protocols.get(opened.kit) if opened else None,
        opened_at_ms=opened.occurred_at_ms if opened else None,
        closed_at_ms=found.closed_at_ms,
        head=visit.head,
        signed_seq=signed_seq,
        training=opened.training if opened else False,
    )


def is_asked(candidate: Row, asked: Asked) -> bool:
    """Whether a row meets every condition of the list."""
    at = candidate.opened_at_ms
    is_open = candidate.closed_at_ms is None
    return (
        (asked.state == "all" or (asked.state == "open") == is_open)
        and (asked.room is None or candidate.room == asked.room)
        and (asked.protocol is None or candidate.protocol == asked.protocol)
        and (asked.from_ms is None or (at is not None and at >= asked.from_ms))
        and (asked.to_ms is None or (at is not None and at < asked.to_ms))
    )
