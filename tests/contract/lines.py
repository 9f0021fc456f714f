"""Builders of lines for every suite that writes to a ledger."""

import json
from typing import Any

from canalclock.intake import Taken, read_line

DEVICE = "01920000-0000-7000-8000-0000000000d1"
OTHER_DEVICE = "01920000-0000-7000-8000-0000000000d2"
STAFF = frozenset({"assistant-1", "dentist-1"})
KIT = "0" * 64


def a_visit(number: int = 1) -> str:
    """The id of a visit."""
    return f"01920000-0000-7000-9000-{number:012x}"


def an_id(number: int) -> str:
    """The id of an event."""
    return f"01920000-0000-7000-8000-{number:012x}"


def a_line(number: int, kind: str = "note_added", **fields: Any) -> bytes:
    """A line as a device sends it; `number` gives it its id and device_seq."""
    event: dict[str, Any] = {
        "id": an_id(number),
        "kind": kind,
        "visit": a_visit(),
        "device": DEVICE,
        "device_seq": number,
        "staff": "assistant-1",
        "occurred_at_ms": 1_790_000_000_000 + number,
        "device_clock_ms": 1_790_000_000_000 + number,
    }
    if kind == "note_added":
        event["text"] = f"note {number}"
    return json.dumps(event | fields).encode()


def taken(number: int, kind: str = "note_added", **fields: Any) -> Taken:
    """A line that was judged and taken."""
    line = a_line(number, kind, **fields)
    judged = read_line(line, str(fields.get("visit", a_visit())), None, STAFF)
    assert isinstance(judged, Taken), judged
    return judged
