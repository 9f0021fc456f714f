"""What is refused, and how it is said; and that nothing else ever is."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.record.reading import read_event
from canalclock.intake import LINE_MAX, Refused, Taken, read_line
from tests.contract.lines import DEVICE, OTHER_DEVICE, STAFF, a_line, a_visit, an_id


def judged(line: bytes) -> Taken | Refused:
    return read_line(line, a_visit(), DEVICE, STAFF)


def refused(line: bytes) -> Refused:
    found = judged(line)
    assert isinstance(found, Refused), found
    assert found.message
    assert found.expected
    assert found.found
    assert found.where
    return found


def with_text(text: bytes) -> bytes:
    return a_line(1, text="HERE").replace(b"HERE", text)


def test_a_line_is_taken_as_it_came() -> None:
    line = a_line(1) + b" \r"
    found = judged(line)
    assert found == Taken(id=an_id(1), kind="note_added", device=DEVICE, device_seq=1, line=line)


def test_a_kind_nobody_knows_is_taken() -> None:
    found = judged(a_line(1, "irrigant_warmed", celsius=37.5, anything=[1.5, None]))
    assert isinstance(found, Taken)
    assert found.kind == "irrigant_warmed"


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("irrigant_delivered", {"site": "canal-the-tooth-has-not", "how": "read"}),
        ("visit_closed", {"occurred_at_ms": 0}),
        ("visit_closed", {"occurred_at_ms": 1_790_000_000_000 + 86_400_000}),
        ("visit_closed", {"device_seq": 0}),
        ("activation_stopped", {"canal": "mb1", "activation": "sonic"}),
        ("entry_voided", {"entry": "nothing", "replaces": "nothing", "reason": ""}),
        ("hold_released", {"rule": "a", "about": "", "act": "a", "ordered_by": "x", "reason": ""}),
        ("note_added", {"text": "\U0001f642 and \\u0000 as text, and unknown keys\n", "x": {}}),
    ],
)  # fmt: skip
def test_state_order_time_role_and_canal_are_never_a_reason(
    kind: str, fields: dict[str, Any]
) -> None:
    assert isinstance(judged(a_line(1, kind, **fields)), Taken)


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"   ",
        b"{",
        b"nonsense",
        b"[]",
        b"null",
        b"7",
        b'"text"',
        b"\xef\xbb\xbf" + a_line(1),
        a_line(1) + b"{}",
        a_line(1).replace(b"1790000000001", b"NaN"),
        a_line(1).replace(b"1790000000001", b"01"),
        a_line(1).replace(b"1790000000001", b"1,5"),
        with_text(b"a\x00b"),
        with_text(b"a\xffb"),
        with_text(b"a\tb"),
    ],
)
def test_what_is_no_json_object_is_refused(line: bytes) -> None:
    assert refused(line).code == "not_json"


@pytest.mark.parametrize(
    "text",
    [
        b"\\ud83d",
        b"\\ud83d and more",
        b"\\ud83d\\ud83d\\ude00",
        b"\\ude00\\ud83d",
        b"\\u0000",
        b"\\\\\\u0000",
        b"\xed\xa0\xbd",
    ],
)
def test_half_a_character_and_u0000_are_refused_wherever_they_stand(text: bytes) -> None:
    assert refused(with_text(text)).code == "bad_text"
    unread = a_line(1, note="HERE").replace(b"HERE", text)
    assert refused(unread).code == "bad_text"


@pytest.mark.parametrize("text", [b"\\ud83d\\ude00", b"\\\\u0000", b"\\\\ud83d", b"\\u00b5L"])
def test_whole_characters_and_spelt_out_escapes_are_text(text: bytes) -> None:
    assert isinstance(judged(with_text(text)), Taken)


@pytest.mark.parametrize(
    ("number", "where"),
    [
        (b"1.0", "$.occurred_at_ms"),
        (b"1e3", "$.occurred_at_ms"),
        (b"-1", "$.occurred_at_ms"),
        (b"9007199254740992", "$.occurred_at_ms"),
        (b'"1790000000000"', "$.occurred_at_ms"),
        (b"null", "$.occurred_at_ms"),
        (b"1e999", "$.occurred_at_ms"),
    ],
)
def test_a_number_out_of_bounds_is_refused_and_shown(number: bytes, where: str) -> None:
    line = a_line(1, occurred_at_ms=-77).replace(b"-77", number)
    found = refused(line)
    assert (found.code, found.where) == ("out_of_bounds", where)
    assert found.id == an_id(1)
    assert found.found == number.decode()
    assert found.expected == "a whole number from 0 to 9007199254740991"


@pytest.mark.parametrize(
    ("kind", "fields", "found", "expected"),
    [
        ("irrigant_delivered", {"site": "mb1", "how": "guessed"}, '"guessed"',
         "one of estimated, planned, read, recalled, timed"),
        ("irrigant_delivered", {"site": "mb1"}, "no such field",
         "one of estimated, planned, read, recalled, timed"),
        ("irrigant_delivered", {"site": "mb1", "how": "read", "volume_ul": "1,5"}, '"1,5"',
         "a whole number from 0 to 9007199254740991, or null"),
        ("irrigant_delivered", {"site": "mb1", "how": "read", "contents": []}, "[]",
         "a list of 1 to 3 items, or null"),
        ("irrigant_delivered", {"site": "mb1", "how": "read", "contents": [{"irrigant": "N"}]},
         '"N"', "1 to 64 lower-case letters, digits, '-', '_' and '.', beginning with a letter "
         "or digit"),
        ("canal_set", {"canal": "mb1", "joins": {"canal": "mb2"}}, "no such field",
         "a whole number from 0 to 9007199254740991"),
        ("note_added", {"text": 5}, "5", "text of at most 4000 characters"),
        ("syringe_read", {"syringe": "s", "emptied": 1}, "1", "true or false"),
    ],
)  # fmt: skip
def test_what_was_found_and_expected_is_told_in_words(
    kind: str, fields: dict[str, Any], found: str, expected: str
) -> None:
    told = refused(a_line(1, kind, **fields))
    assert (told.found, told.expected) == (found, expected)


def test_a_line_that_is_no_json_is_told_where_it_goes_wrong() -> None:
    told = refused(a_line(1, "irrigant_delivered", volume_ul=777).replace(b"777", b"1,5"))
    assert "1,5" in told.found and told.where.startswith("byte ")
    told = refused(a_line(1)[:-1])
    assert told.where == f"byte {len(a_line(1)) - 1}"


@pytest.mark.parametrize(
    ("kind", "fields", "where"),
    [
        ("irrigant_delivered", {"site": "MB1", "how": "read"}, "$.site"),
        ("irrigant_delivered", {"site": "mb1", "how": "guessed"}, "$.how"),
        ("irrigant_delivered", {"site": "mb1"}, "$.how"),
        ("irrigant_delivered", {"site": "mb1", "how": "read", "contents": []}, "$.contents"),
        ("note_added", {"text": "x" * 4001}, "$.text"),
        ("visit_closed", {"id": "1"}, "$.id"),
        ("visit_closed", {"id": an_id(10).upper()}, "$.id"),
        ("irrigant_removed", {"site": "mb1\n", "by": "points"}, "$.site"),
        ("visit_closed", {"id": an_id(1) + "\n"}, "$.id"),
        ("visit_closed", {"device": "tablet"}, "$.device"),
        ("Visit Closed", {}, "$.kind"),
    ],
)
def test_a_value_out_of_bounds_is_refused_by_its_path(
    kind: str, fields: dict[str, Any], where: str
) -> None:
    found = refused(a_line(1, kind, **fields))
    assert (found.code, found.where) == ("out_of_bounds", where)


def test_what_is_nested_without_end_is_refused() -> None:
    for depth in (40, 3000):
        line = a_line(1, x="HERE").replace(b'"HERE"', b"[" * depth + b"]" * depth)
        assert refused(line).code == "out_of_bounds"


def test_a_line_is_at_most_16_kb_long() -> None:
    padding = LINE_MAX - len(a_line(1, x=""))
    assert isinstance(judged(a_line(1, x="x" * padding)), Taken)
    found = refused(a_line(1, x="x" * (padding + 1)))
    assert (found.code, found.id) == ("too_large", an_id(1))


def test_lines_of_others_are_refused() -> None:
    assert refused(a_line(1, visit=a_visit(2))).code == "other_visit"
    assert refused(a_line(1, device=OTHER_DEVICE)).code == "other_device"
    found = refused(a_line(1, staff="stranger"))
    assert (found.code, found.found) == ("staff_unknown", '"stranger"')


def test_a_kind_said_twice_is_not_chosen_between() -> None:
    line = a_line(1)[:-1] + b', "kind": "visit_closed"}'
    assert refused(line).code == "out_of_bounds"


@pytest.mark.parametrize(
    ("payload", "where"),
    [
        ({"volume_ul": -1}, "$.payload.volume_ul"),
        ({"volume_ul": 1.5}, "$.payload.volume_ul"),
        ({"site": "MB1"}, "$.payload.site"),
        ({"occurred_at_ms": "now"}, "$.payload.occurred_at_ms"),
        ({"contents": [{"irrigant": "edta", "concentration_mg_per_l": 0.5}]}, "$.payload.contents"),
        ({"of_a_later_version": [1.5]}, "$.payload.of_a_later_version"),
    ],
)
def test_a_correction_is_checked_as_far_as_it_can_be(payload: dict[str, Any], where: str) -> None:
    fields = {"entry": an_id(1), "replaces": an_id(1), "reason": "slip"}
    found = refused(a_line(2, "entry_corrected", **fields, payload=payload))
    assert (found.code, found.where) == ("out_of_bounds", where)


def test_a_correction_within_bounds_is_taken_whatever_it_corrects() -> None:
    payload = {"site": "mb1", "volume_ul": None, "how": "read", "occurred_at_ms": 5, "new": [1]}
    fields = {"entry": an_id(9), "replaces": an_id(9), "reason": "slip", "payload": payload}
    assert isinstance(judged(a_line(2, "entry_corrected", **fields)), Taken)


def test_every_refusal_survives_json() -> None:
    for line in (b"\xff", with_text(b"\\ud83d"), a_line(1, id=an_id(1) + "\n")):
        json.dumps(refused(line).found)


@given(st.binary(max_size=300))
def test_no_bytes_at_all_make_intake_fail(line: bytes) -> None:
    assert isinstance(judged(line), Refused)


@given(
    st.integers(0, len(a_line(1)) - 1),
    st.binary(max_size=6) | st.sampled_from([b"\\u0000", b"\\ud800", b"[[", b"{", b"1e9", b'"']),
)
def test_a_line_with_a_wound_is_refused_or_reads_like_json_everywhere(
    at: int, wound: bytes
) -> None:
    line = a_line(1)[:at] + wound + a_line(1)[at + 1 :]
    found = judged(line)
    if isinstance(found, Taken):
        assert found.line == line
        read = json.loads(line)
        assert read["id"] == found.id
        json.dumps(read, ensure_ascii=False).encode()
        assert "\x00" not in json.dumps(read, ensure_ascii=False)
        read_event(line)


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
        max_leaves=8,
    ),
    st.sampled_from(["volume_ul", "site", "how", "contents", "tip_um", "syringe", "unknown_key"]),
)
def test_whatever_a_field_holds_the_answer_is_one_of_two(value: object, field: str) -> None:
    fields: dict[str, Any] = {"site": "mb1", "how": "read", field: value}
    assert isinstance(judged(a_line(1, "irrigant_delivered", **fields)), (Taken, Refused))
    correction = {"entry": an_id(1), "replaces": an_id(1), "reason": "", "payload": fields}
    assert isinstance(judged(a_line(1, "entry_corrected", **correction)), (Taken, Refused))
