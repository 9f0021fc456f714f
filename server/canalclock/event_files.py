"""A visit from a file of events, one JSON object a line: the good lines, and what is wrong with
each of the others.

Nothing is guessed: a line that is no event, belongs to another visit, or uses an id again with
other content is told and left out. Ids need not be of the form that devices make.
"""

from msgspec import Raw, Struct

from canalclock.core.record.events import AnyEvent, Unread
from canalclock.core.report import BadLine, Entry
from canalclock.intake import Refused, readable


class EventFile(Struct, frozen=True, kw_only=True):
    """What a file of events holds."""

    entries: tuple[Entry, ...]
    """Each event once, in the order of the file."""
    bad_lines: tuple[BadLine, ...]
    repeated: int
    """Lines that say again what an earlier line said. [lines]"""


def read_event_file(content: bytes) -> EventFile:
    """
    The events of a file.

    Args:
        content: JSON Lines, in UTF-8; a byte order mark, CR LF and empty lines are allowed.

    Returns:
        Good lines and bad ones; the first good line says which visit the file is of.
    """
    seen: dict[str, tuple[int, bytes]] = {}
    entries: list[Entry] = []
    bad: list[BadLine] = []
    repeated = 0
    visit: tuple[int, str] | None = None
    for number, raw in enumerate(content.removeprefix(b"\xef\xbb\xbf").split(b"\n"), start=1):
        line = raw.strip(b" \t\r")
        if not line:
            continue
        event = readable(line)
        if isinstance(event, Refused):
            bad.append(_told(number, event))
            continue
        visit = visit or (number, event.visit)
        if event.visit != visit[1]:
            bad.append(_other_visit(number, event, visit))
        elif event.id not in seen:
            seen[event.id] = (number, line)
            entries.append(Entry(event=event, line=Raw(line)))
        elif seen[event.id][1] == line:
            repeated += 1
        else:
            bad.append(_id_reused(number, event, seen[event.id][0]))
    return EventFile(entries=tuple(entries), bad_lines=tuple(bad), repeated=repeated)


def _told(number: int, refused: Refused) -> BadLine:
    return BadLine(
        line=number,
        message=refused.message,
        found=refused.found,
        expected=refused.expected,
        where=refused.where,
    )


def _other_visit(number: int, event: AnyEvent | Unread, visit: tuple[int, str]) -> BadLine:
    return BadLine(
        line=number,
        message="The line belongs to another visit than the file.",
        found=f"visit {event.visit}",
        expected=f"visit {visit[1]}, as in line {visit[0]}",
        where="$.visit",
    )


def _id_reused(number: int, event: AnyEvent | Unread, first: int) -> BadLine:
    return BadLine(
        line=number,
        message="The id stands for another entry already.",
        found=f"id {event.id}, in line {first} with other content",
        expected="the same content as before, or a new id",
        where="$.id",
    )
