"""How the doors describe themselves: OpenAPI 3.1, as far as the framework cannot tell by itself.

Beside what follows from the handlers' types: the lines of a batch, refusals in their one shape,
files that are no JSON, and the socket.
"""

from typing import Any, Final

import msgspec
from litestar.openapi import OpenAPIConfig
from litestar.openapi.plugins import JsonRenderPlugin

from canalclock.api.problems import MEDIA as PROBLEM_MEDIA
from canalclock.api.problems import TABLE, Problem
from canalclock.core.record.events import AnyEvent

SCHEMAS: Final = "#/components/schemas/"
LINES_MEDIA: Final = "application/x-ndjson"
FILES: Final = {
    "/api/audit.csv": "text/csv",
    "/api/visits/{visit}/report.csv": "text/csv",
    "/api/connection/code.svg": "image/svg+xml",
}
PARAMETERS: Final = {
    "visit": "The visit's id: a UUID of version 7 in lower case.",
    "digest": "The kit's digest: 64 hexadecimal digits in lower case.",
    "name": "The calculator's name, as listed under /api/calc.",
    "state": "Open visits, closed ones, or all.",
    "room": "In this room only.",
    "protocol": "Run by this protocol only.",
    "from_ms": "Opened at or after this instant. [ms since 1970, UTC]",
    "to_ms": "Opened before this instant. [ms since 1970, UTC]",
    "as_of_ms": "Count only what had been done by then. [ms since 1970, UTC]",
    "after": "Only what has a greater number.",
    "of": "Whether the code is of the app, or of the page that brings trust.",
    "at": "Which of the addresses that /api/connection lists, from 0.",
    "Canalclock-Device": "The device that sends the batch; without it the first line says so.",
}
"""What each parameter means, wherever it stands."""


class Description(JsonRenderPlugin):
    """The framework's description with what it leaves out."""

    def render(self, request: Any, openapi_schema: dict[str, Any]) -> bytes:
        """The document, in UTF-8."""
        return super().render(request, described(openapi_schema))


def description(version: str) -> OpenAPIConfig:
    """Where the description stands, and what it says of the whole."""
    return OpenAPIConfig(
        title="Canalclock",
        version=version,
        description="Records, times, computes and warns. It never advises a dose and does "
        "not replace licensed judgement or local codes.",
        path="/api/openapi.json",
        render_plugins=[Description(path="/")],
        use_handler_docstrings=True,
    )


def described(document: dict[str, Any]) -> dict[str, Any]:
    """A copy of a description, with the lines of a batch, refusals, files and the socket."""
    schemas = {**document["components"]["schemas"], **_schemas()}
    paths = {
        path: {method: _operation(path, of) for method, of in methods.items()}
        for path, methods in document["paths"].items()
    }
    batch = paths["/api/visits/{visit}/events"]["post"]
    batch["requestBody"] = {
        "required": True,
        "description": "JSON Lines: one event a line, at most 500 lines and 1 MiB.",
        "content": {
            LINES_MEDIA: {
                "schema": {
                    "type": "string",
                    "contentMediaType": LINES_MEDIA,
                    "description": "Each line is one event.",
                    "contentSchema": {"$ref": f"{SCHEMAS}AnyEvent"},
                }
            }
        },
    }
    paths["/api/live"] = {"get": _live()}
    return {
        **document,
        "paths": dict(sorted(paths.items())),
        "components": {**document["components"], "schemas": schemas},
    }


def _schemas() -> dict[str, Any]:
    """The events, and the shape of a refusal."""
    (union, _), schemas = msgspec.json.schema_components(
        (AnyEvent, Problem),
        schema_hook=lambda _: {"description": "Any JSON value."},
        ref_template=SCHEMAS + "{name}",
    )
    return {**schemas, "AnyEvent": union}


def _operation(path: str, of: dict[str, Any]) -> dict[str, Any]:
    """One door: its docstring's first line as summary, its files, its refusals."""
    told = of.get("description", "")
    responses = {code: answer for code, answer in of["responses"].items() if code < "400"}
    if path in FILES:
        file = {FILES[path]: {"schema": {"type": "string"}}}
        responses = {code: {**answer, "content": file} for code, answer in responses.items()}
    more: dict[str, Any] = {"summary": told.split("\n")[0].strip(), "responses": responses}
    if "parameters" in of:
        more["parameters"] = [
            {**p, "description": PARAMETERS.get(p["name"], "")} for p in of["parameters"]
        ]
    responses["default"] = _REFUSED
    return {**of, **more}


_REFUSED: Final = {
    "description": "Not done. `type` ends in one of: " + ", ".join(TABLE) + ".",
    "content": {PROBLEM_MEDIA: {"schema": {"$ref": f"{SCHEMAS}Problem"}}},
}


def _live() -> dict[str, Any]:
    return {
        "summary": "News as they are committed, over a WebSocket.",
        "description": "Text messages, each one JSON object: every number of the feed after "
        "`after` as `{feed, visit, seq, signed}`; `{alarm: {visit, canal, step, cycle, "
        "due_at_ms}}`, a hint; and at once, then every 5 s, `{beat, epoch, feed}`. What a screen "
        "sends is read and forgotten. Closed with 1013 when a screen does not take its messages.",
        "operationId": "Live",
        "parameters": [
            {"name": "after", "in": "query", "schema": {"type": "integer", "minimum": 0},
             "description": PARAMETERS["after"]},
        ],
        "responses": {
            "101": {"description": "Switching to WebSocket."},
            "default": _REFUSED,
        },
    }  # fmt: skip
