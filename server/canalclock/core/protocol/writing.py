"""A protocol as canonical TOML: one spelling, so that its bytes can be digest and export.

Keys in the order of the definition, trade units, defaults left out, `\\n` at every line's end.
Read again it gives the same protocol. Comments of the author's file are not kept.
"""

from typing import Final

from msgspec import Struct
from msgspec.structs import fields

from canalclock.core.protocol.definition import Protocol
from canalclock.core.protocol.trade import trade_of, written_amount, written_key

_ESCAPED: Final = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def protocol_toml(protocol: Protocol) -> bytes:
    """
    The protocol's one spelling.

    Returns:
        UTF-8 text in TOML 1.0: plain keys first, then one `[[table]]` per solution, stage, ask
        and limit; steps as inline tables, one a line.
    """
    plain: list[str] = []
    tables: list[str] = []
    for field in fields(protocol):
        value = getattr(protocol, field.name)
        if not field.required and value == field.default:
            continue
        if isinstance(value, tuple) and value and isinstance(value[0], Struct):
            tables += [_table(field.name, item) for item in value]
        else:
            plain.append(f"{field.name} = {_value(field.name, value)}\n")
    return "".join([*plain, *tables]).encode()


def _table(name: str, item: Struct) -> str:
    lines = [f"\n[[{name}]]\n"]
    lines += [f"{key} = {value}\n" for key, value in _pairs(item)]
    return "".join(lines)


def _pairs(item: Struct) -> list[tuple[str, str]]:
    return [
        (written_key(f.name), _value(f.name, getattr(item, f.name)))
        for f in fields(item)
        if f.required or getattr(item, f.name) != f.default
    ]


def _value(name: str, value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            trade = trade_of(name)
            return str(value) if trade is None else written_amount(value, trade)
        case str():
            return _text(value)
        case tuple():
            if not value:
                return "[]"
            return "[\n" + "".join(f"  {_value(name, item)},\n" for item in value) + "]"
        case Struct():
            return "{" + ", ".join(f"{k} = {_inline(v)}" for k, v in _pairs(value)) + "}"
        case _:
            raise TypeError(f"found {type(value).__name__}, which no protocol holds")


def _inline(written: str) -> str:
    """An array inside an inline table stays on its line, as TOML 1.0 asks of the table."""
    if not written.startswith("[\n"):
        return written
    return "[" + written[2:-1].strip().removesuffix(",").replace(",\n  ", ", ") + "]"


def _text(value: str) -> str:
    """A basic string; characters that TOML does not allow bare are escaped."""
    out = []
    for character in value:
        if character in _ESCAPED:
            out.append(_ESCAPED[character])
        elif ord(character) < 0x20 or ord(character) == 0x7F:
            out.append(f"\\u{ord(character):04x}")
        else:
            out.append(character)
    return '"' + "".join(out) + '"'
