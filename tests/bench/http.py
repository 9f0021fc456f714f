"""Durable events over HTTP, one a request, with 1, 8 and 64 clients, against the plain peer.

Both run as processes of their own on the loopback and are asked by the same bare client, in
turns. What is counted is acknowledged: answered 200 and recorded.
"""

import asyncio
import contextlib
import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

from tests.bench.rounds import Ratio, ratio
from tests.contract.lines import a_line, a_visit

ROUNDS: Final = 5
ROUND_S: Final = 1.0
CLIENTS: Final = (1, 8, 64)
AIMS: Final = {64: ">= 20"}

Request = Callable[[], bytes]
Asked = tuple[int, Request]
"""A port, and what makes the next request."""


def rows() -> Iterator[Ratio]:
    """Rates for each number of clients, and the tail at 8."""
    with tempfile.TemporaryDirectory() as folder, contextlib.ExitStack() as running:
        data = Path(folder)
        ours = running.enter_context(_serving(data / "ours"))
        peer = running.enter_context(_peer(data / "peer.sqlite3"))
        for clients in CLIENTS:
            yield from asyncio.run(_compared(clients, ours, peer))


@contextlib.contextmanager
def _serving(data: Path) -> Iterator[Asked]:
    process = subprocess.Popen(
        [sys.executable, "-m", "canalclock", "serve", "--port", "0", "--data", str(data), "--json"],
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout
        address = json.loads(process.stdout.readline())["address"]
        yield (
            int(address.rstrip("/").rsplit(":", 1)[1]),
            _requests(f"/api/visits/{a_visit()}/events", "application/x-ndjson"),
        )
    finally:
        process.terminate()
        process.wait(timeout=20)


@contextlib.contextmanager
def _peer(file: Path) -> Iterator[Asked]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.bench.peer", str(file)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout and process.stdin
        yield int(process.stdout.readline()), _requests("/events", "application/json")
    finally:
        assert process.stdin
        process.stdin.close()
        process.wait(timeout=20)


def _requests(path: str, media: str) -> Request:
    """Requests one after another, each with an event of its own."""
    number = 0

    def following() -> bytes:
        nonlocal number
        number += 1
        body = a_line(number) + b"\n"
        head = (
            f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: {media}\r\n"
            f"Content-Length: {len(body)}\r\n\r\n"
        )
        return head.encode() + body

    return following


async def _compared(clients: int, ours: Asked, peer: Asked) -> list[Ratio]:
    rates: tuple[list[float], list[float]] = ([], [])
    tails: tuple[list[float], list[float]] = ([], [])
    for asked in (ours, peer):
        await _round(asked, clients, ROUND_S / 4)
    for _ in range(ROUNDS):
        for n, asked in enumerate((ours, peer)):
            took = await _round(asked, clients, ROUND_S)
            rates[n].append(len(took) / ROUND_S)
            tails[n].append(statistics.quantiles(took, n=100)[98])
    names = ("service", "plain peer")
    what, aim = f"durable events over HTTP, {clients} clients", AIMS.get(clients, "")
    ours_rate, peer_rate = (names[0], rates[0]), (names[1], rates[1])
    found = [ratio(what, ours_rate, peer_rate, aim, rates=True)]
    if clients == 8:
        tail = ("p99 at 8 clients", (names[0], tails[0]), (names[1], tails[1]), "<= 1/50")
        found.append(ratio(*tail))
    return found


async def _round(asked: Asked, clients: int, seconds: float) -> list[float]:
    """Times until each event was acknowledged, in that many seconds. [s]"""
    port, following = asked
    until = time.perf_counter() + seconds
    took: list[float] = []

    async def client() -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        while (start := time.perf_counter()) < until:
            writer.write(following())
            await _acknowledged(reader)
            took.append(time.perf_counter() - start)
        writer.close()

    await asyncio.gather(*(client() for _ in range(clients)))
    return took


async def _acknowledged(reader: asyncio.StreamReader) -> None:
    head = await reader.readuntil(b"\r\n\r\n")
    length = next(
        int(line.split(b":")[1])
        for line in head.split(b"\r\n")
        if line.lower().startswith(b"content-length:")
    )
    body = await reader.readexactly(length)
    assert b" 200 " in head[:20] and b'"recorded"' in body, (head, body)
