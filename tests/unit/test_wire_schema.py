"""The committed schema, from which the web app's types are written, is the one the types give."""

from pathlib import Path

from canalclock.wire_schema import schema_text, wire_schema

COMMITTED = Path(__file__).parents[2] / "web" / "tools" / "wire" / "schema.json"


def test_the_committed_schema_is_that_of_the_types() -> None:
    assert COMMITTED.read_text(encoding="utf-8") == schema_text(), "run the task wire"


def test_every_reference_leads_to_a_definition() -> None:
    definitions = wire_schema()["$defs"]
    assert isinstance(definitions, dict)
    named = {name for name in definitions if f'"#/$defs/{name}"' in schema_text()}
    roots = {"AnyEvent", "Unread", "Kit"}
    assert set(definitions) - named <= roots
    assert roots <= set(definitions)
