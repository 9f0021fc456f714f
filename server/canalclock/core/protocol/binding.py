"""A document bound to a frozen value: every field in its small unit, or all problems at once.

Which keys exist, which are required and what they may hold is read from the value's own
definition; the trade's units come from one table (trade.py). Nothing is rounded or guessed.
"""

import types
import typing
from decimal import Decimal
from typing import Annotated, Any, Final, Literal, TypeVar, Union, get_args, get_origin

import msgspec
from msgspec import Struct
from msgspec.structs import FieldInfo, fields

from canalclock.core.protocol.documents import Document
from canalclock.core.protocol.hints import nearest, unknown_key
from canalclock.core.protocol.problems import Path, Problem
from canalclock.core.protocol.trade import Trade, trade_of, written_key
from canalclock.core.quantities import NotExact, bound_exactly

T = TypeVar("T", bound=Struct)

_MISSING: Final = object()
_PCT_WV_MAX: Final = 100
"""A strength above 100 % w/v is taken for a slip: no irrigant is that dense."""


def bind(document: Document, definition: type[T]) -> T | tuple[Problem, ...]:
    """
    A document as a value.

    Returns:
        The value; or every problem of form, in the order of the file.
    """
    binder = _Binder(document)
    value = binder.table(document.root, definition, ())
    if binder.problems:
        return tuple(sorted(binder.problems))
    return typing.cast(T, value)


class _Binder:
    """Walks a document beside a definition and gathers problems."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.problems: list[Problem] = []

    def refuse(self, path: Path, code: str, message: str) -> object:
        """Note a problem; what is returned marks the value as missing."""
        self.problems.append(self.document.problem(path, code, message))
        return _MISSING

    def table(self, written: object, definition: type[Struct], path: Path) -> object:
        """A table as a struct."""
        if not isinstance(written, dict):
            return self.refuse(path, "wrong_type", f"found {shown(written)}, expected a table")
        known = {written_key(f.name): f for f in fields(definition)}
        for key in written:
            if key not in known:
                code, message = unknown_key(key, tuple(known))
                self.refuse((*path, key), code, message)
        values: dict[str, object] = {}
        for key, field in known.items():
            if key in written:
                values[field.name] = self.field(written[key], field, (*path, key))
            elif field.required:
                self.refuse((*path, key), "missing_key", f"missing, expected {asked(field)}")
                values[field.name] = _MISSING
        if _MISSING in values.values():
            return _MISSING
        return definition(**values)

    def field(self, written: object, field: FieldInfo, path: Path) -> object:
        """One field by its type."""
        return self.value(written, field.type, trade_of(field.name), path)

    def value(self, written: object, kind: Any, trade: Trade | None, path: Path) -> object:
        """A value by its type: a table, an array, an amount or a plain value."""
        bare = _bare(kind)
        if isinstance(bare, type) and issubclass(bare, Struct):
            return self.table(written, bare, path)
        if get_origin(bare) is tuple:
            return self.array(written, kind, bare, path)
        if trade is not None:
            return self.amount(written, trade, path)
        return self.plain(written, kind, bare, path)

    def array(self, written: object, kind: Any, bare: Any, path: Path) -> object:
        """An array as a tuple."""
        if not isinstance(written, list):
            return self.refuse(path, "wrong_type", f"found {shown(written)}, expected an array")
        item = get_args(bare)[0]
        values = [self.value(w, item, None, (*path, n)) for n, w in enumerate(written)]
        if _MISSING in values:
            return _MISSING
        try:  # the number of items; the items themselves are bound already
            msgspec.convert(values, _counted(kind))
        except msgspec.ValidationError as e:
            return self.refuse(path, "out_of_bounds", f"found {len(values)} items: {e}")
        return tuple(values)

    def amount(self, written: object, trade: Trade, path: Path) -> object:
        """A number in the trade's unit as a whole number of the small unit."""
        if isinstance(written, bool) or not isinstance(written, int | Decimal):
            return self.refuse(path, "not_a_number", _no_number(written, trade))
        if trade.unit == "per cent of taper" and 0 < written < 1:
            percent = f"{(Decimal(written) * 100).normalize():f}"
            return self.refuse(
                path,
                "ambiguous_taper",
                f"found {written}, expected per cent: did you mean {percent} %? Then write "
                f"{percent}; no instrument has a taper of {written} %",
            )
        if trade.unit == "per cent w/v" and written > _PCT_WV_MAX:
            return self.refuse(
                path,
                "out_of_bounds",
                f"found {written} % w/v, expected at most {_PCT_WV_MAX} % w/v",
            )
        try:
            return bound_exactly(written, trade.factor, trade.unit, trade.small_unit)
        except NotExact as e:
            return self.refuse(path, "not_exact", str(e))

    def plain(self, written: object, kind: Any, bare: Any, path: Path) -> object:
        """Text, a whole number or a truth value."""
        choices = get_args(bare) if get_origin(bare) is Literal else ()
        expected = "text" if choices or bare is str else _NAMES.get(bare, str(bare))
        of = str if choices else bare
        if type(written) is not of:
            return self.refuse(path, "wrong_type", f"found {shown(written)}, expected {expected}")
        if choices and written not in choices:
            hint = nearest(str(written), choices)
            return self.refuse(path, "not_one_of", f"found {written!r}{hint}")
        try:
            return msgspec.convert(written, kind)
        except msgspec.ValidationError as e:
            return self.refuse(path, "out_of_bounds", f"found {shown(written)}: {_said(str(e))}")


_NAMES: Final = {int: "a whole number", bool: "true or false", str: "text"}


def asked(field: FieldInfo) -> str:
    """What a field expects, for a message."""
    trade = trade_of(field.name)
    if trade is not None:
        return f"a number of {trade.unit}"
    bare = _bare(field.type)
    if get_origin(bare) is Literal:
        return "one of: " + ", ".join(get_args(bare))
    if get_origin(bare) is tuple:
        return "an array"
    return str(_NAMES.get(bare, "a table"))


def shown(written: object) -> str:
    """A written value, for a message."""
    match written:
        case bool():
            return "true" if written else "false"
        case Decimal() | int():
            return str(written)
        case str():
            return repr(written if len(written) <= 60 else written[:57] + "...")
        case list():
            return "an array"
        case dict():
            return "a table"
        case _:
            return f"a {type(written).__name__}"


def _no_number(written: object, trade: Trade) -> str:
    expected = f"expected a bare number of {trade.unit} (the key's name carries the unit)"
    if isinstance(written, str):
        return f"found the text {shown(written)}, {expected}"
    return f"found {shown(written)}, {expected}"


def _said(message: str) -> str:
    """The reader's own sentence for people: it speaks of strings and regular expressions."""
    if "matching regex" in message:
        return (
            "expected lower-case letters, digits, '-' and '_', at most 64, beginning with a "
            "letter or digit"
            if "a-z0-9" in message
            else "expected another form: " + message
        )
    return message[0].lower() + message[1:]


def _bare(kind: Any) -> Any:
    """A type without its bounds and without None."""
    if get_origin(kind) is Annotated:
        return _bare(get_args(kind)[0])
    if get_origin(kind) in (Union, types.UnionType):
        rest = [a for a in get_args(kind) if a is not type(None)]
        if len(rest) == 1:
            return _bare(rest[0])
    return kind


def _counted(kind: Any) -> Any:
    """The type of an array with its bounds of number alone."""
    if get_origin(kind) is Annotated:
        return Annotated[list[Any], *get_args(kind)[1:]]
    return list[Any]
