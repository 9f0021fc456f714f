"""What a value should have been, in words, read from its own type.

A reader of JSON names types and regular expressions; people are told of whole numbers, lists and
words. Not here: what was found.
"""

import re
from typing import Any, Final

from msgspec import Struct, inspect

from canalclock.core.forms import IN_WORDS

_PATH: Final = re.compile(r" - at `(?P<path>[^`]*)`$")
_MISSING: Final = re.compile(r"missing required field `(?P<field>[^`]+)`")
_UNKNOWN: Final = re.compile(r"contains unknown field `(?P<field>[^`]+)`")
_STEP: Final = re.compile(r"\.([^.\[]+)|\[(\d+|\.\.\.)\]")


class Unfit(Struct, frozen=True, kw_only=True):
    """What a reader's message says to a person."""

    where: str
    """`$`, then fields and items: `$.contents[0].irrigant`."""
    expected: str
    is_missing: bool
    """Whether there is no such field at all."""


def unfit(kind: Any, said: str) -> Unfit:
    """
    A reader's message in words.

    Args:
        kind: The type that was read, as msgspec takes it.
        said: Text of its `ValidationError`.

    Returns:
        The place, and what the type expects there; the reader's own words where it says nothing.
    """
    path = _PATH.search(said)
    where = path["path"] if path else "$"
    unknown = _UNKNOWN.search(said)
    if unknown is not None:
        own = f"no `{unknown['field']}`, but {expected(kind, where) or 'what is known'}"
        return Unfit(where=f"{where}.{unknown['field']}", expected=own, is_missing=False)
    missing = _MISSING.search(said)
    if missing is not None:
        where = f"{where}.{missing['field']}"
    own = _PATH.sub("", said).removeprefix("Expected ")
    return Unfit(where=where, expected=expected(kind, where) or own, is_missing=missing is not None)


def steps(where: str) -> tuple[str | int, ...]:
    """The fields and items that a place names; an item of no number is the first."""
    return tuple(
        name or (0 if number == "..." else int(number)) for name, number in _STEP.findall(where)
    )


def expected(kind: Any, where: str = "$") -> str | None:
    """What a type expects at a place within it, in words; None if it has no such place."""
    found: inspect.Type | None = inspect.type_info(kind)
    for step in steps(where):
        found = None if found is None else _inside(found, step)
    return None if found is None else _words(found)


def _inside(kind: inspect.Type, step: str | int) -> inspect.Type | None:
    match _bare(kind):
        case inspect.StructType(fields=fields):
            return next((f.type for f in fields if f.encode_name == step), None)
        case inspect.VarTupleType(item_type=item) | inspect.ListType(item_type=item):
            return item
        case inspect.DictType(value_type=value):
            return value
        case inspect.UnionType(types=types):
            inner = (_inside(t, step) for t in types)
            return next((t for t in inner if t is not None), None)
        case _:
            return None


def _bare(kind: inspect.Type) -> inspect.Type:
    return _bare(kind.type) if isinstance(kind, inspect.Metadata) else kind


def _words(kind: inspect.Type) -> str:
    match _bare(kind):
        case inspect.UnionType(types=types):
            parts = [t for t in types if not isinstance(_bare(t), inspect.NoneType)]
            words = " or ".join(map(_words, parts))
            return words if len(parts) == len(types) else f"{words}, or null"
        case inspect.LiteralType(values=values):
            return "one of " + ", ".join(str(v) for v in values)
        case inspect.IntType(ge=least, le=most):
            return "a whole number" + _range(least, most)
        case inspect.FloatType(ge=least, le=most):
            return "a number" + _range(least, most)
        case inspect.StrType(pattern=str(pattern)):
            return IN_WORDS.get(pattern, f"text of the form {pattern}")
        case inspect.StrType(max_length=most):
            return "text" + ("" if most is None else f" of at most {most} characters")
        case inspect.BoolType():
            return "true or false"
        case inspect.VarTupleType(min_length=least, max_length=most):
            items = "" if most is None else f" of {least or 0} to {most} items"
            return "a list" + items
        case inspect.StructType(fields=fields):
            needed = ", ".join(f.encode_name for f in fields if f.required)
            more = ", ".join(f.encode_name for f in fields if not f.required)
            named = (f" with {needed}" if needed else "", f" (perhaps {more})" if more else "")
            return "an object" + "".join(named)
        case inspect.DictType():
            return "an object"
        case _:
            return "another value"


def _range(least: float | None, most: float | None) -> str:
    match least, most:
        case None, None:
            return ""
        case _, None:
            return f" of at least {least}"
        case None, _:
            return f" of at most {most}"
        case _:
            return f" from {least} to {most}"
