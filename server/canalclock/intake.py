"""May this line be recorded? Each line is judged alone, and for form only.

Refused is a line only for the closed set of codes below; never for state, order, time, role,
canal, limit or guard, which are findings. A kind that this version does not know is taken as it
came. Pure: what the clinic knows arrives as arguments. Not here: ids used before (the ledger).
"""

import json
import re
from collections.abc import Container, Iterable
from types import NoneType
from typing import Any, Final, Literal, get_args, get_type_hints

import msgspec
from msgspec import Struct

from canalclock.core.forms import UUID7
from canalclock.core.quantities import WHOLE_MAX
from canalclock.core.record.events import AnyEvent, EntryCorrected, Event, Unread
from canalclock.core.record.reading import Envelope, NotAnEvent, read_envelope, read_event
from canalclock.expected import expected, steps, unfit

LINE_MAX: Final = 16_384
"""Longest line that is taken. [bytes] Design chapter 6, rule 1: 16 kB."""
DEPTH_MAX: Final = 32
"""Deepest nesting of a line. [] Our choice; no event needs more than five."""

Code = Literal[
    "not_json",
    "out_of_bounds",
    "too_large",
    "other_visit",
    "other_device",
    "staff_unknown",
    "bad_text",
    "id_reused",
]

_UUID7 = re.compile(UUID7)
_ESCAPE = re.compile(rb"\\(?:u([0-9a-fA-F]{4})|.)", re.DOTALL)
_ID_IN_LINE = re.compile(rb'"id"\s*:\s*"([\x21\x23-\x5b\x5d-\x7e]{1,64})"')
_BYTE = re.compile(r"(?P<said>.*) \(byte (?P<byte>\d+)\)$")
_NEAR = 12
"""Bytes that are shown on either side of one that is no JSON. [bytes]  Our choice."""


class Refused(Struct, frozen=True, kw_only=True):
    """A line that was not taken: why, what was found, what was expected, and where."""

    id: str | None
    code: Code
    message: str
    found: str
    expected: str
    where: str


class Taken(Struct, frozen=True, kw_only=True):
    """A line fit to be recorded, as received, with what the ledger files it under."""

    id: str
    kind: str
    device: str
    device_seq: int
    line: bytes


def is_uuid7(text: str) -> bool:
    """Whether the text is a UUID of version 7 in lower case (RFC 9562, section 5.7)."""
    return _UUID7.search(text) is not None


def device_of(line: bytes) -> str | None:
    """The device that a line says it comes from, or None where it cannot be read."""
    try:
        return read_envelope(line).device
    except NotAnEvent:
        return None


def read_line(
    line: bytes, visit: str, device: str | None, staff: Container[str]
) -> Taken | Refused:
    """
    A received line, judged alone.

    Args:
        line: One line without its line feed, as received.
        visit: The visit it was posted to.
        device: The device that posts; None while no line has said it.
        staff: Everybody the clinic knows.

    Returns:
        What to record, or why not.
    """
    event = readable(line)
    if isinstance(event, Refused):
        return event
    return (
        _unfit_ids(event)
        or _not_for_us(event, visit, device, staff)
        or (_unfit_payload(event) if isinstance(event, EntryCorrected) else None)
        or Taken(
            id=event.id,
            kind=_kind(event),
            device=event.device,
            device_seq=event.device_seq,
            line=line,
        )
    )


def readable(line: bytes) -> AnyEvent | Unread | Refused:
    """
    A line as an event, whoever sent it and wherever it comes from.

    Args:
        line: One line without its line feed.

    Returns:
        The event, or why there is none: `not_json`, `bad_text`, `too_large`, `out_of_bounds`.
    """
    fault = _unfit_bytes(line)
    if fault is not None:
        return fault
    try:
        return read_event(line)
    except NotAnEvent as said:
        return _out_of_bounds(line, str(said))


def id_reused(taken: Taken, visit: str, seq: int) -> Refused:
    """The refusal of an id that already stands for other bytes."""
    return Refused(
        id=taken.id,
        code="id_reused",
        message="This id already stands for another entry; nothing was changed.",
        found=f"id {taken.id}, recorded as number {seq} of visit {visit} with other content",
        expected="the same bytes as before, or a new id",
        where="$.id",
    )


def _unfit_bytes(line: bytes) -> Refused | None:
    """Length, encoding, text and JSON, before anything is asked of the event."""
    if len(line) > LINE_MAX:
        return _refused(
            line,
            "too_large",
            "The line is longer than a line may be.",
            f"{len(line)} bytes",
            f"at most {LINE_MAX} bytes",
            "the whole line",
        )
    try:
        line.decode()
    except UnicodeDecodeError as fault:
        half = line[fault.start] == 0xED and line[fault.start + 1 : fault.start + 2] >= b"\xa0"
        return _refused(
            line,
            "bad_text" if half else "not_json",
            "The line is not UTF-8 text.",
            f"byte 0x{line[fault.start]:02X}",
            "UTF-8 without halves of characters" if half else "UTF-8",
            f"byte {fault.start + 1}",
        )
    return _bad_escape(line) or _not_json(line)


def _bad_escape(line: bytes) -> Refused | None:
    """The first escaped U+0000 or half of a surrogate pair."""
    if b"\\u" not in line:
        return None
    high_ends_at = -1
    for escape in _ESCAPE.finditer(line):
        if high_ends_at >= 0 and escape.start() != high_ends_at:
            break
        digits = escape[1]
        unit = int(digits, 16) if digits else -1
        low = 0xDC00 <= unit <= 0xDFFF
        if unit == 0 or low != (high_ends_at >= 0):
            return _bad_text(line, "U+0000" if unit == 0 else "half a character", escape.start())
        high_ends_at = escape.end() if 0xD800 <= unit <= 0xDBFF else -1
    if high_ends_at >= 0:
        return _bad_text(line, "half a character", high_ends_at - 6)
    return None


def _bad_text(line: bytes, found: str, at: int) -> Refused:
    return _refused(
        line,
        "bad_text",
        "The text holds what no text may hold.",
        f"{found} ({line[at : at + 6].decode('ascii', 'replace')})",
        "whole characters, and no U+0000",
        f"byte {at + 1}",
    )


def _not_json(line: bytes) -> Refused | None:
    try:
        document = msgspec.json.decode(line)
    except msgspec.ValidationError:
        return _number_too_large(line)
    except RecursionError:
        return _too_deep(line)
    except msgspec.DecodeError as fault:
        return _malformed(line, str(fault))
    if not isinstance(document, dict):
        found = f"a JSON {_json_name(document)}"
        return _refused(
            line, "not_json", "The line is no event.", found, "one JSON object", "the line"
        )
    brackets = line.count(b"{") + line.count(b"[")
    return _too_deep(line) if brackets > DEPTH_MAX and _depth(document) > DEPTH_MAX else None


_WHOLE: Final = f"a whole number from 0 to {WHOLE_MAX}"


def _number_too_large(line: bytes) -> Refused:
    """A number such as 1e999, that no reader of JSON can hold."""
    try:
        read_event(line)
    except NotAnEvent as said:
        return _out_of_bounds(line, str(said))
    return _refused(
        line,
        "out_of_bounds",
        "A number is too large.",
        "a number beyond what JSON readers hold",
        _WHOLE,
        "a field that this kind of entry does not have",
    )


def _malformed(line: bytes, said: str) -> Refused:
    at = _BYTE.match(said)
    if at is None:  # the line ends too early
        end = line[-2 * _NEAR :].decode("utf-8", "replace")
        found, where = f"{said}: {end!r} and no more", f"byte {len(line)}"
    else:
        byte = int(at["byte"])
        near = line[max(0, byte - _NEAR) : byte + _NEAR].decode("utf-8", "replace")
        found, where = f"{at['said']}, in {near!r}", f"byte {byte + 1}"
    return _refused(line, "not_json", "The line is not JSON.", found, "one JSON object", where)


def _too_deep(line: bytes) -> Refused:
    return _refused(
        line,
        "out_of_bounds",
        "The line is nested too deeply.",
        f"more than {DEPTH_MAX} levels",
        f"at most {DEPTH_MAX} levels",
        "the line",
    )


def _depth(value: object) -> int:
    """Levels of nesting, counted no further than one past the most that is taken."""
    level, depth = [value], 0
    while level and depth <= DEPTH_MAX:
        depth += 1
        level = [
            inner for outer in level for inner in _inside(outer) if isinstance(inner, (dict, list))
        ]
    return depth


def _inside(value: object) -> Iterable[object]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def _out_of_bounds(line: bytes, said: str) -> Refused:
    wrong = unfit(_struct_of(line), said)
    return _refused(
        line,
        "out_of_bounds",
        "A value is missing or outside its bounds.",
        "no such field" if wrong.is_missing else _written(line, wrong.where),
        wrong.expected,
        wrong.where,
    )


def _struct_of(line: bytes) -> type[Struct]:
    """The type that a line is read as: that of its kind, or what every event carries."""
    kind = _loosely(line).get("kind")
    return _STRUCTS.get(kind, Envelope) if isinstance(kind, str) else Envelope


def _loosely(line: bytes) -> dict[str, Any]:
    """The line with every number as it was written, even one that is too large to hold."""
    read = json.loads(line, parse_int=_Number, parse_float=_Number, parse_constant=_Number)
    return read if isinstance(read, dict) else {}


class _Number(str):
    """A number as it was written."""

    __slots__ = ()


def _number_as_written(number: object) -> msgspec.Raw:
    return msgspec.Raw(str(number).encode())


def _written(line: bytes, where: str) -> str:
    """The value at a place of the line, as it was written, shortened."""
    value: Any = _loosely(line)
    for step in steps(where):
        inside = step in value if isinstance(value, dict) else step in range(len(value))
        if not inside:
            break
        value = value[step]
    return _shown(value)


def _kind(event: Event) -> str:
    return event.unread_kind if isinstance(event, Unread) else str(event.__struct_config__.tag)


def _unfit_ids(envelope: Event) -> Refused | None:
    for name in ("id", "visit", "device"):
        value: str = getattr(envelope, name)
        if not is_uuid7(value):
            return Refused(
                id=envelope.id,
                code="out_of_bounds",
                message="An id is not of the form that devices make.",
                found=_shown(value),
                expected="a UUID of version 7 in lower case",
                where=f"$.{name}",
            )
    return None


def _not_for_us(
    envelope: Event, visit: str, device: str | None, staff: Container[str]
) -> Refused | None:
    if envelope.visit != visit:
        return _other(envelope, "other_visit", "visit", envelope.visit, visit)
    if device is not None and envelope.device != device:
        return _other(envelope, "other_device", "device", envelope.device, device)
    if envelope.staff not in staff:
        return Refused(
            id=envelope.id,
            code="staff_unknown",
            message="The clinic does not know this member of staff.",
            found=_shown(envelope.staff),
            expected="somebody on the clinic's list of staff",
            where="$.staff",
        )
    return None


def _other(envelope: Event, code: Code, name: str, found: str, expected: str) -> Refused:
    return Refused(
        id=envelope.id,
        code=code,
        message=f"The line belongs to another {name} than this batch.",
        found=f"{name} {found}",
        expected=f"{name} {expected}",
        where=f"$.{name}",
    )


def _payload_fields() -> dict[str, list[object]]:
    """Every payload field of every kind we know, with the types it has there."""
    fields: dict[str, list[object]] = {}
    envelope = set(get_type_hints(Event)) - {"occurred_at_ms", "dated_by_hand"}
    for kind in get_args(AnyEvent):
        for name, form in get_type_hints(kind, include_extras=True).items():
            if name not in envelope and form not in fields.setdefault(name, []):
                fields[name].append(form)
    return fields


_FIELDS: Final = _payload_fields()
_STRUCTS: Final[dict[str, type[Struct]]] = {
    str(kind.__struct_config__.tag): kind for kind in get_args(AnyEvent)
}


def _unfit_payload(event: EntryCorrected) -> Refused | None:
    """What can be checked of a correction without the entry that it corrects."""
    for name, value in event.payload.items():
        problem = _unfit_value(value, _FIELDS.get(name))
        if problem is not None:
            return Refused(
                id=event.id,
                code="out_of_bounds",
                message="A corrected value is outside its bounds.",
                found=_shown(value),
                expected=problem,
                where=f"$.payload.{name}",
            )
    return None


def _unfit_value(value: object, forms: list[object] | None) -> str | None:
    if forms is None:
        return _loose_number(value)
    for form in forms:
        try:
            msgspec.convert(value, form)
        except msgspec.ValidationError:
            continue
        return None
    return " or ".join(dict.fromkeys(expected(form) or "another value" for form in forms))


def _loose_number(value: object) -> str | None:
    """A number in a field that we do not know still has to be whole and in range."""
    match value:
        case bool() | None | str():
            return None
        case int():
            return None if 0 <= value <= WHOLE_MAX else _WHOLE
        case float():
            return _WHOLE
        case list():
            return next((p for p in map(_loose_number, value) if p), None)
        case dict():
            return next((p for p in map(_loose_number, value.values()) if p), None)
        case _:
            return "a JSON value"


def _refused(
    line: bytes, code: Code, message: str, found: str, expected: str, where: str
) -> Refused:
    said = _ID_IN_LINE.search(line)
    return Refused(
        id=said[1].decode("ascii") if said else None,
        code=code,
        message=message,
        found=found,
        expected=expected,
        where=where,
    )


def _shown(value: object) -> str:
    """A found value for a message: as JSON, shortened."""
    text = msgspec.json.encode(value, enc_hook=_number_as_written).decode()
    return text if len(text) <= 80 else text[:77] + "..."


def _json_name(value: object) -> str:
    names = {list: "array", str: "text", int: "number", float: "number", bool: "boolean"}
    return "null" if isinstance(value, NoneType) else names.get(type(value), "value")
