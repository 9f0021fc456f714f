"""Files of events: good lines are used, bad ones are told with their numbers."""

import msgspec

from canalclock.event_files import read_event_file
from tests.builders import WATER, a_visit, lines

CHAIR = a_visit("mb")
CHAIR.delivered("mb", WATER, 60_000)
GOOD = lines(CHAIR.events)


def test_every_event_of_a_good_file_is_read_as_it_was_written() -> None:
    file = read_event_file(GOOD)
    assert [msgspec.json.encode(e.line) for e in file.entries] == GOOD.splitlines()
    assert (file.bad_lines, file.repeated) == ((), 0)


def test_a_byte_order_mark_crlf_and_empty_lines_do_no_harm() -> None:
    file = read_event_file(b"\xef\xbb\xbf" + GOOD.replace(b"\n", b"\r\n\r\n"))
    assert (len(file.entries), file.bad_lines) == (3, ())


def test_each_bad_line_is_told_by_number_and_the_others_are_used() -> None:
    first, *rest = GOOD.splitlines()
    bad = [
        b"not json",
        b'{"kind": "visit_closed"}',
        msgspec.json.encode(CHAIR.events[2] | {"id": "x", "volume_ul": 2.5}),
        msgspec.json.encode(CHAIR.events[2] | {"id": "y", "visit": "another"}),
        msgspec.json.encode(CHAIR.events[0] | {"label": "changed"}),
        b'{"kind": "note_added", "text": "\\ud83d"}',
        b"\xff\xfe",
    ]
    file = read_event_file(b"\n".join([first, *bad, *rest]))
    assert len(file.entries) == 3
    told = {b.line: (b.found, b.expected, b.where) for b in file.bad_lines}
    assert sorted(told) == [2, 3, 4, 5, 6, 7, 8]
    assert told[4] == (
        "2.5", "a whole number from 0 to 9007199254740991, or null", "$.volume_ul"
    )  # fmt: skip
    assert told[5] == ("visit another", "visit visit-1, as in line 1", "$.visit")
    assert "line 1" in told[6][0]
    assert all(found and expected and where for found, expected, where in told.values())


def test_a_line_said_twice_counts_once() -> None:
    file = read_event_file(GOOD + GOOD)
    assert (len(file.entries), file.repeated, file.bad_lines) == (3, 3, ())
