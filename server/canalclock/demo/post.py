"""Posts the demonstration through the API, in process, as any device posts."""

import asyncio
from collections.abc import Callable
from typing import Any

import msgspec
from litestar import Litestar

from canalclock.core.kit import Kit
from canalclock.core.record.fold import FOLD_VERSION
from canalclock.core.record.totals import totals
from canalclock.demo.clinic import TABLETS
from canalclock.demo.visits import Played, played


class NotTaken(RuntimeError):
    """The service did not take a part of the demonstration: a fault of ours."""


async def post_demo(app: Litestar, kits: dict[str, Kit], now_ms: Callable[[], int]) -> int:
    """
    Post the clinic's devices and visits; what is there already stays as it is.

    Args:
        app: The service.
        kits: The shipped kits by the names of their protocols.
        now_ms: The server's clock. [ms since 1970, UTC]

    Returns:
        How many visits were posted now.

    Raises:
        NotTaken: Something was refused.
    """
    for tablet in TABLETS:
        await _ask(app, "POST", "/api/devices", msgspec.json.encode(tablet))
    there = {row["visit"] for row in await _ask(app, "GET", "/api/visits")}
    visits = await asyncio.to_thread(played, kits)
    new = [visit for visit in visits if visit.chair.visit not in there]
    for visit in new:
        await _post_visit(app, visit, now_ms())
    return len(new)


async def _post_visit(app: Litestar, visit: Played, now_ms: int) -> None:
    chair = visit.chair
    path = f"/api/visits/{chair.visit}"
    opened_at_ms = now_ms - visit.ends_before_now_ms - chair.length_ms
    lines = chair.lines(opened_at_ms)
    for first in range(0, len(lines), 500):
        batch = b"\n".join(lines[first : first + 500])
        answer = await _ask(app, "POST", f"{path}/events", batch, "application/x-ndjson")
        refused = [a for a in answer["answers"] if a["answer"] != "recorded"]
        if refused:
            raise NotTaken(f"{chair.name}: {refused[0]}")
    if visit.signed_by is not None:
        head = (await _ask(app, "GET", path))["head"]
        record = chair.record()
        shown = totals(record, chair.now_ms)
        sign = {
            "staff": visit.signed_by,
            "fold_version": FOLD_VERSION,
            "totals": msgspec.to_builtins(shown) | {"as_of_ms": opened_at_ms + chair.length_ms},
            **head,
        }
        await _ask(app, "POST", f"{path}/sign", msgspec.json.encode(sign))


async def _ask(
    app: Litestar, method: str, path: str, body: bytes = b"", media: str = "application/json"
) -> Any:
    """One request to the application, in process."""
    answer: list[Any] = []
    sent = False

    async def receive() -> Any:
        nonlocal sent
        if sent:
            await asyncio.sleep(3600)
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Any) -> None:
        answer.append(message)

    scope: Any = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "root_path": "",
        "query_string": b"",
        "headers": [
            (b"host", b"localhost"),
            (b"content-type", media.encode()),
            (b"content-length", str(len(body)).encode()),
        ],
        "client": ("127.0.0.1", 0),
        "server": ("localhost", 80),
        "state": {},
    }
    await app(scope, receive, send)
    content = b"".join(part.get("body", b"") for part in answer[1:])
    if answer[0]["status"] >= 400:
        raise NotTaken(f"{method} {path}: {content.decode(errors='replace')}")
    return msgspec.json.decode(content)
