r"""Cells and rows of CSV by RFC 4180: numbers bare, texts guarded against spreadsheets.

A spreadsheet takes a text that begins with `= + - @` (or with a tab, a line break or blanks
before one) for a formula; one that splits at semicolons sees such a beginning inside a text too.
Rule: before each such character at the beginning of a text, or after a semicolon, tab or line
break in it, one apostrophe is put; an apostrophe that stands there already gets another. To get
the text back, take one apostrophe away at each of those places. Numbers are not touched.
"""

import re
from collections.abc import Iterable

Cell = str | int | None
"""An int is a number; a text is guarded, unless it is a `Number`; None is an empty cell."""

_START = r"(^|[;\t\r\n])([^\S;\t\r\n]*)"
_GUARDED = re.compile(_START + r"(?=['=+\-@＝＋－＠﹦﹢﹣﹫])")
_APOSTROPHE = re.compile(_START + r"'(?=['=+\-@＝＋－＠﹦﹢﹣﹫])")
_QUOTED = re.compile(r"[\",;\t\r\n]|^\s|\s$")


class Number(str):
    """A decimal written out, as figures.py writes it: goes into its cell bare."""

    __slots__ = ()


def guarded(text: str) -> str:
    """
    A text that no spreadsheet takes for a formula.

    Examples:
        >>> guarded("=1+1"), guarded("3 % of -1"), guarded("'=x")
        ("'=1+1", '3 % of -1', "''=x")

    Source:
        OWASP, CSV Injection; the rule for getting the text back is ours.
    """
    return _GUARDED.sub(r"\1\2'", text)


def unguarded(text: str) -> str:
    """The text that was guarded."""
    return _APOSTROPHE.sub(r"\1\2", text)


def row(cells: Iterable[Cell]) -> str:
    """
    One record with its line break (CR LF).

    Source:
        RFC 4180, section 2.
    """
    return ",".join(map(_cell, cells)) + "\r\n"


def _cell(cell: Cell) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return "yes" if cell else "no"
        case int() | Number():
            return str(cell)
        case _:
            return _quoted(guarded(cell))


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if _QUOTED.search(text) else text
