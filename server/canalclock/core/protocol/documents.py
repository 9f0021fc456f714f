"""Bytes of a TOML file as a document with lines, or the one problem that forbids reading it.

Numbers with a point are read as decimals, never as binary fractions.
"""

import re
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Final

from msgspec import Struct

from canalclock.core.protocol.positions import key_lines
from canalclock.core.protocol.problems import Path, Problem, path_text

BYTES_MAX: Final = 1_000_000
"""Largest file that is read. [bytes]  A choice: the largest shipped file has a twentieth."""

_PLACE: Final = re.compile(r"line (\d+), column (\d+)")
_DECIMAL_COMMA: Final = re.compile(r"=\s*[+-]?(\d+),(\d+)\s*(?:[#,}\]]|$)")
_UNIT_AFTER_NUMBER: Final = re.compile(r"=\s*([+-]?[\d._]+)\s*(%|[A-Za-zµ]\w*)")


class Document(Struct, frozen=True):
    """A file's tree of values, and the line of every path in it."""

    file: str
    root: dict[str, object]
    lines: dict[Path, int]

    def line(self, path: Path) -> int:
        """Line of a path, or of the nearest table around it."""
        while path not in self.lines:
            path = path[:-1]
        return self.lines[path]

    def problem(self, path: Path, code: str, message: str) -> Problem:
        """A problem of this file; what is missing is told at the table around it."""
        return Problem(
            file=self.file,
            line=self.line(path),
            path=path_text(path),
            code=code,
            message=message,
        )


def read_document(data: bytes, file: str) -> Document | Problem:
    """
    A file as a document.

    Args:
        data: The file's bytes: UTF-8, TOML 1.0.
        file: Its name, for the problems.

    Returns:
        The document; or one problem (`too_large`, `not_utf8`, `syntax`), which stands alone,
        since nothing after it can be trusted.
    """
    if len(data) > BYTES_MAX:
        found = f"found {len(data)} bytes, expected at most {BYTES_MAX}"
        return _whole(file, 1, "too_large", found)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as e:
        line = data.count(b"\n", 0, e.start) + 1
        found = f"found byte {data[e.start]:#04x}, expected UTF-8 text"
        return _whole(file, line, "not_utf8", found)
    if text.startswith("\ufeff"):
        found = "found a byte order mark, expected plain UTF-8 without one"
        return _whole(file, 1, "syntax", found)
    text = text.replace("\r\n", "\n")
    try:
        root = tomllib.loads(text, parse_float=_decimal)
    except RecursionError:
        return _whole(file, 1, "syntax", "found tables nested too deep to read")
    except ValueError as e:  # TOMLDecodeError is one; so is a whole number of too many digits
        return _syntax(file, text, str(e))
    return Document(file=file, root=root, lines=key_lines(text))


def _decimal(written: str) -> Decimal:
    try:
        return Decimal(written)
    except InvalidOperation:  # an exponent beyond all bounds: let it be refused as not finite
        return Decimal("Infinity")


def _whole(file: str, line: int, code: str, message: str) -> Problem:
    return Problem(file=file, line=line, path="$", code=code, message=message)


def _syntax(file: str, text: str, told: str) -> Problem:
    lines = text.split("\n")
    place = _PLACE.search(told)
    last = max(1, len(text.rstrip("\n").split("\n")))
    line = int(place.group(1)) if place else (last if "end of document" in told else 1)
    here = lines[line - 1].strip() if line <= len(lines) else ""
    return _whole(file, line, "syntax", _explained(here, told))


def _explained(here: str, told: str) -> str:
    """The reader's words, and what is likely meant."""
    comma = _DECIMAL_COMMA.search(here)
    if comma:
        whole, part = comma.groups()
        return f"found a decimal comma, {whole},{part}; expected a point: {whole}.{part}"
    unit = _UNIT_AFTER_NUMBER.search(here)
    if unit and not re.fullmatch(r"(0[xob]\w*|e[+-]?\d+|inf|nan)", unit.group(2)):
        number, name = unit.groups()
        return (
            f"found {number} {name}; expected the number alone, since the unit is in the key's name"
        )
    return f"not TOML 1.0: {told}; found: {here[:80]}" if here else f"not TOML 1.0: {told}"
