"""Lines to events: the one place where a stored or received line becomes a value.

A kind that this version does not know is `Unread`: kept as it came and without effect.
Not here: whether a line may be recorded (intake.py asks more).
"""

from collections.abc import Iterable
from typing import Annotated, Final, get_args

import msgspec
from msgspec import Meta

from canalclock.core.forms import KIND
from canalclock.core.quantities import Milliseconds, Whole
from canalclock.core.record.events import AnyEvent, Id, Unread

Kind = Annotated[str, Meta(pattern=KIND)]


class NotAnEvent(ValueError):
    """A line that no version could read: not JSON, or outside the bounds of its kind."""


class Envelope(msgspec.Struct, frozen=True, kw_only=True):
    """What every event of every version carries."""

    kind: Kind
    id: Id
    visit: Id
    device: Id
    device_seq: Whole
    staff: Id
    occurred_at_ms: Milliseconds
    device_clock_ms: Milliseconds
    clock_error_ms: Milliseconds | None = None
    dated_by_hand: bool = False


_EVENTS: Final[msgspec.json.Decoder[AnyEvent]] = msgspec.json.Decoder(AnyEvent)
_ENVELOPES: Final = msgspec.json.Decoder(Envelope)

KINDS: Final[frozenset[str]] = frozenset(
    str(kind.__struct_config__.tag) for kind in get_args(AnyEvent)
)
"""The kinds that this version knows."""

_FIELDS: Final[dict[str, frozenset[str]]] = {
    str(kind.__struct_config__.tag): frozenset(("kind", *kind.__struct_fields__))
    for kind in get_args(AnyEvent)
}


def read_event(line: bytes) -> AnyEvent | Unread:
    """
    One line as an event.

    Args:
        line: One JSON object in UTF-8, as it was received.

    Returns:
        The event; `Unread` if its kind is not known to this version.

    Raises:
        NotAnEvent: Not JSON, or outside the bounds of its kind; the message names the path.
    """
    try:
        return _EVENTS.decode(line)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as fault:
        envelope = read_envelope(line)
        if envelope.kind in KINDS:
            raise NotAnEvent(str(fault)) from fault
        return _unread(envelope)


def read_stored(line: bytes) -> AnyEvent | Unread:
    """
    A line that a ledger has taken before, as an event.

    Where another version took what this one cannot read as its kind, the entry is `Unread`: it is
    listed and has no effect, and the rest of the visit stays readable.

    Raises:
        NotAnEvent: Not even the envelope can be read: no ledger took such a line.
    """
    try:
        return read_event(line)
    except NotAnEvent:
        return _unread(read_envelope(line))


def fields_not_read(kind: str, names: Iterable[str]) -> tuple[str, ...]:
    """
    Names in an entry that its kind does not have: kept with the line, and without effect.

    Args:
        kind: The entry's kind.
        names: The names that its line holds.

    Returns:
        Those that are not read, in their order; none for a kind that is not known, which is unread
        as a whole.
    """
    fields = _FIELDS.get(kind)
    return () if fields is None else tuple(name for name in names if name not in fields)


def read_envelope(line: bytes) -> Envelope:
    """
    What the line says of itself, whatever its kind.

    Raises:
        NotAnEvent: Not JSON, or an envelope outside its bounds; the message names the path.
    """
    try:
        return _ENVELOPES.decode(line)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as fault:
        raise NotAnEvent(str(fault)) from fault


def _unread(envelope: Envelope) -> Unread:
    said = msgspec.structs.asdict(envelope)
    return Unread(unread_kind=said.pop("kind"), **said)
