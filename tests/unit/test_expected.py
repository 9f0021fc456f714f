"""What a value should have been, in words."""

from typing import Annotated, Literal

import msgspec
import pytest
from msgspec import Meta, Struct

from canalclock.core.forms import IN_WORDS
from canalclock.core.record.events import Slug
from canalclock.expected import Unfit, expected, steps, unfit


class Inner(Struct, forbid_unknown_fields=True):
    how: Literal["one", "two"]
    size: Annotated[int, Meta(ge=3, le=9)] | None = None


class Outer(Struct, forbid_unknown_fields=True):
    name: Slug
    parts: tuple[Inner, ...] = ()
    more: dict[str, float] | None = None
    ready: bool = False


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ("$.name", "1 to 64 lower-case letters, digits, '-', '_' and '.', beginning with a letter "
         "or digit"),
        ("$.parts", "a list"),
        ("$.parts[3].how", "one of one, two"),
        ("$.parts[0].size", "a whole number from 3 to 9, or null"),
        ("$.more", "an object, or null"),
        ("$.more[...]", "a number"),
        ("$.ready", "true or false"),
        ("$", "an object with name (perhaps parts, more, ready)"),
    ],
)  # fmt: skip
def test_a_type_says_what_it_expects_at_each_place(where: str, words: str) -> None:
    assert expected(Outer, where) == words


def test_a_place_that_the_type_has_not_expects_nothing() -> None:
    assert expected(Outer, "$.name.first") is None
    assert expected(Outer, "$.other") is None


@pytest.mark.parametrize(
    ("document", "found"),
    [
        (b'{"name": "a", "parts": [{"how": "three"}]}',
         Unfit(where="$.parts[0].how", expected="one of one, two", is_missing=False)),
        (b'{"name": "a", "parts": [{}]}',
         Unfit(where="$.parts[0].how", expected="one of one, two", is_missing=True)),
        (b'{"name": "a", "parts": [{"how": "one", "sise": 4}]}',
         Unfit(where="$.parts[0].sise", is_missing=False,
               expected="no `sise`, but an object with how (perhaps size)")),
    ],
)  # fmt: skip
def test_a_readers_message_becomes_a_place_and_an_expectation(
    document: bytes, found: Unfit
) -> None:
    with pytest.raises(msgspec.ValidationError) as said:
        msgspec.json.decode(document, type=Outer)
    assert unfit(Outer, str(said.value)) == found


def test_a_place_is_read_step_by_step() -> None:
    assert steps("$") == ()
    assert steps("$.a[2].b[...]") == ("a", 2, "b", 0)


def test_every_form_has_its_words_and_lets_no_line_break_follow() -> None:
    for pattern, words in IN_WORDS.items():
        assert pattern.endswith(r"$(?!\n)") and words
