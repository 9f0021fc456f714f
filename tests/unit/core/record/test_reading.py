"""Lines to events: known kinds, unknown kinds, and what another version once took."""

import pytest

from canalclock.core.record.events import NoteAdded, Unread
from canalclock.core.record.reading import NotAnEvent, read_event, read_stored
from tests.contract.lines import a_line


def test_a_known_kind_reads_as_itself() -> None:
    event = read_event(a_line(1, text="words"))
    assert isinstance(event, NoteAdded)
    assert event.text == "words"


def test_an_unknown_kind_keeps_its_envelope_and_its_name() -> None:
    event = read_event(a_line(7, "irrigant_warmed", celsius=37))
    assert isinstance(event, Unread)
    assert (event.unread_kind, event.device_seq) == ("irrigant_warmed", 7)


def test_the_name_unread_is_a_kind_nobody_knows_either() -> None:
    event = read_event(a_line(1, "unread", unread_kind="note_added"))
    assert isinstance(event, Unread)
    assert event.unread_kind == "unread"


@pytest.mark.parametrize(
    "line", [b"{", b"[]", a_line(1, text=5), a_line(1, device_seq=-1), b'{"kind":"note_added"}']
)
def test_what_is_no_event_is_told_with_its_place(line: bytes) -> None:
    with pytest.raises(NotAnEvent):
        read_event(line)


def test_what_another_version_took_is_listed_and_stops_nothing() -> None:
    event = read_stored(a_line(1, text=["another form of text"]))
    assert isinstance(event, Unread)
    assert event.unread_kind == "note_added"
