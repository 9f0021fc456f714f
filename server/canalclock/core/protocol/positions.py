"""On which line each key of a TOML document stands.

The standard reader gives values without places, so this scans for places without values. It
takes for granted that the document is valid TOML 1.0 (the reader has accepted it); that both see
the same keys is held by a test over valid and odd documents.

Source: TOML v1.0.0, https://toml.io/en/v1.0.0
"""

import tomllib
from typing import Final

from canalclock.core.protocol.problems import Path

_SPACE: Final = " \t"
_BLANK: Final = " \t\r\n"
_ENDS_SCALAR: Final = ",]}#\n"
_ENDS_KEY: Final = " \t.=]"


def key_lines(text: str) -> dict[Path, int]:
    """The line, from 1, of every key, table and array element of a valid TOML document."""
    return _Scan(text).document()


class _Scan:
    """One pass over a document."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {(): 1}
        self.tables: dict[Path, int] = {}
        """How many elements each array of tables has so far."""
        self._line = 1
        self._counted = 0

    def document(self) -> dict[Path, int]:
        """Walk all statements."""
        table: Path = ()
        while self._skip():
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
        return self.lines

    def _line_here(self) -> int:
        """Line of the present place; places only grow."""
        self._line += self.text.count("\n", self._counted, self.at)
        self._counted = self.at
        return self._line

    def _note(self, path: Path) -> None:
        self.lines.setdefault(path, self._line_here())

    def _skip(self, blank: str = _BLANK) -> bool:
        """Past blanks and comments; False at the end."""
        text = self.text
        while self.at < len(text):
            if text[self.at] == "#":
                end = text.find("\n", self.at)
                self.at = len(text) if end < 0 else end
            elif text[self.at] in blank:
                self.at += 1
            else:
                return True
        return False

    def _header(self) -> Path:
        """`[a.b]` or `[[a.b]]`: the table that follows."""
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        parts = self._key("]")
        self.at += 2 if many else 1
        path: Path = ()
        for n, part in enumerate(parts):
            path = (*path, part)
            self._note(path)
            if many and n == len(parts) - 1:
                self.tables[path] = self.tables.get(path, 0) + 1
            if path in self.tables:
                path = (*path, self.tables[path] - 1)
                self._note(path)
        return path

    def _pair(self, table: Path) -> None:
        """`key = value` under a table."""
        path = table
        for part in self._key("="):
            path = (*path, part)
            self._note(path)
        self.at += 1
        self._value(path)

    def _key(self, end: str) -> list[str]:
        """A dotted key up to and not past `end`."""
        parts: list[str] = []
        while True:
            self._skip(_SPACE)
            here = self.text[self.at]
            if here == end:
                return parts
            if here == ".":
                self.at += 1
            elif here in "\"'":
                parts.append(str(tomllib.loads("k = " + self._string())["k"]))
            else:
                start = self.at
                while self.text[self.at] not in _ENDS_KEY:
                    self.at += 1
                parts.append(self.text[start : self.at])

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        here = self.text[self.at]
        if here in "\"'":
            self._string()
        elif here == "[":
            self._array(path)
        elif here == "{":
            self._inline(path)
        else:
            while self.at < len(self.text) and self.text[self.at] not in _ENDS_SCALAR:
                self.at += 1

    def _array(self, path: Path) -> None:
        self.at += 1
        n = 0
        while self._skip():
            if self.text[self.at] == "]":
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._note((*path, n))
            self._value((*path, n))
            n += 1

    def _inline(self, path: Path) -> None:
        self.at += 1
        while self._skip():
            if self.text[self.at] == "}":
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._pair(path)

    def _string(self) -> str:
        """Past a string; its text with the quotes."""
        text, start = self.text, self.at
        quote = text[start]
        long = text.startswith(quote * 3, start)
        closing = quote * 3 if long else quote
        self.at = start + len(closing)
        while not text.startswith(closing, self.at):
            self.at += 2 if quote == '"' and text[self.at] == "\\" else 1
        self.at += len(closing)
        while long and text.startswith(quote, self.at):  # up to two quotes before the closing three
            self.at += 1
        return text[start : self.at]
