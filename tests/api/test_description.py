"""What the service says of its doors."""

from typing import Any

import httpx
import pytest
from litestar.handlers import WebsocketRouteHandler

from canalclock.api.routes import DOORS
from canalclock.core.record.reading import KINDS
from tests.api.conftest import Client


@pytest.fixture
async def document(client: Client) -> dict[str, Any]:
    """The description as it is served."""
    answer: httpx.Response = await client.get("/api/openapi.json")
    found: dict[str, Any] = answer.json()
    return found


def operations(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [(p, m, of) for p, methods in document["paths"].items() for m, of in methods.items()]


async def test_every_door_and_the_socket_are_described(document: dict[str, Any]) -> None:
    assert document["openapi"].startswith("3.1")
    listed = {(path, method.upper()) for path, method, _ in operations(document)}
    for door in DOORS:
        (path,) = door.paths
        methods = {"GET"} if isinstance(door, WebsocketRouteHandler) else door.http_methods
        spelt = path.replace(":str", "")
        assert {(spelt, str(m)) for m in methods if m != "OPTIONS"} <= listed, spelt


async def test_every_door_has_words_and_so_has_each_parameter(document: dict[str, Any]) -> None:
    for path, method, of in operations(document):
        assert of["summary"].endswith("."), (path, method)
        assert of["description"], (path, method)
        for parameter in of.get("parameters", ()):
            assert parameter["description"], (path, parameter["name"])


async def test_every_refusal_has_the_one_shape(document: dict[str, Any]) -> None:
    for path, method, of in operations(document):
        refused = of["responses"]["default"]["content"]["application/problem+json"]
        assert refused["schema"] == {"$ref": "#/components/schemas/Problem"}, (path, method)
        assert not [code for code in of["responses"] if code.startswith(("4", "5"))]
    assert set(document["components"]["schemas"]["Problem"]["required"]) == {
        "type", "title", "status", "detail",
    }  # fmt: skip


async def test_a_batch_is_lines_of_the_closed_union_of_events(document: dict[str, Any]) -> None:
    body = document["paths"]["/api/visits/{visit}/events"]["post"]["requestBody"]
    schema = body["content"]["application/x-ndjson"]["schema"]
    assert schema["contentSchema"] == {"$ref": "#/components/schemas/AnyEvent"}
    union = document["components"]["schemas"]["AnyEvent"]
    assert set(union["discriminator"]["mapping"]) == KINDS


async def test_what_is_no_json_says_so(document: dict[str, Any]) -> None:
    for path in ("/api/audit.csv", "/api/visits/{visit}/report.csv"):
        answer = document["paths"][path]["get"]["responses"]["200"]
        assert list(answer["content"]) == ["text/csv"]


async def test_every_reference_leads_somewhere(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]

    def walk(value: Any) -> None:
        if isinstance(value, dict):
            reference = value.get("$ref")
            if isinstance(reference, str):
                assert reference.removeprefix("#/components/schemas/") in schemas, reference
            for inner in value.values():
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)

    walk(document)
