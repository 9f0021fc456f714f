"""The schema of every value that crosses the wire, from which the web app's types are written.

Printed by `python -m canalclock.wire_schema`; `web/tools/wire/schema.json` is its committed copy
and `web/src/wire/` is generated from that. Not here: TypeScript (web/tools/wire/).
"""

import json
from typing import Final

import msgspec

from canalclock.core.kit import Kit
from canalclock.core.record.events import AnyEvent, Unread

ROOTS: Final = {"AnyEvent": AnyEvent, "Unread": Unread, "Kit": Kit}
"""What is exchanged, by the name it has on the other side."""

ANY_JSON: Final[dict[str, object]] = {"$comment": "any JSON"}
"""A value whose shape another field decides (a correction's payload)."""


def wire_schema() -> dict[str, object]:
    """One JSON Schema document: every root and every struct under it, by name in `$defs`."""
    roots, structs = msgspec.json.schema_components(
        list(ROOTS.values()),
        schema_hook=lambda _: ANY_JSON,
        ref_template="#/$defs/{name}",
    )
    named = {name: schema for name, schema in zip(ROOTS, roots, strict=True) if "anyOf" in schema}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$defs": {**structs, **named},
    }


def schema_text() -> str:
    """The schema as committed: keys in the order of their definition, one final newline."""
    return json.dumps(wire_schema(), indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Print the schema."""
    print(schema_text(), end="")


if __name__ == "__main__":
    main()
