"""The service under test: a process of its own on a data directory and a port of its own."""

import contextlib
import json
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx

STARTS_WITHIN_S = 30.0
STOPS_WITHIN_S = 15.0
BECOMES_WITHIN_S = 20.0


class NotStarted(RuntimeError):
    """The service ended, or did not answer in time; with what it printed."""


class Service:
    """`canalclock serve` on one data directory and one port, to be stopped and started."""

    def __init__(self, data: Path, demo: bool = False) -> None:
        """Nothing runs yet; the port is chosen once: a restart answers at the same place."""
        self.data = data
        self.port = _free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self._demo = demo
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """
        Start, and wait until it answers.

        Raises:
            NotStarted: It did not.
        """
        words = [sys.executable, "-m", "canalclock", "serve", "--json"]
        words += ["--data", str(self.data), "--port", str(self.port)]
        words += ["--demo"] if self._demo else []
        self.data.mkdir(parents=True, exist_ok=True)
        printed = self.data.parent / f"{self.data.name}.printed"
        with printed.open("ab") as out:
            self._process = subprocess.Popen(words, stdout=out, stderr=subprocess.STDOUT)
        until = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < until and self._process.poll() is None:
            with contextlib.suppress(httpx.TransportError):
                if httpx.get(f"{self.address}/api/health", timeout=2).status_code == 200:
                    return
            time.sleep(0.05)
        self.stop()
        raise NotStarted(printed.read_text())

    def stop(self) -> None:
        """Stop it as a person would; it clears up and ends."""
        if self._process is None:
            return
        self._process.terminate()
        try:
            self._process.wait(STOPS_WITHIN_S)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
            raise
        finally:
            self._process = None

    def get(self, path: str) -> Any:
        """The JSON of an address under /api."""
        answer = httpx.get(f"{self.address}/api{path}", timeout=30)
        answer.raise_for_status()
        return json.loads(answer.content)

    def visits(self) -> list[dict[str, Any]]:
        """Every visit's row."""
        rows: list[dict[str, Any]] = self.get("/visits?state=all")
        return rows

    def events(self, visit: str) -> list[dict[str, Any]]:
        """A visit's events as received, in the order of the ledger."""
        entries = self.get(f"/visits/{visit}/events?after=0")["entries"]
        return [entry["event"] for entry in entries]

    def given(self, visit: str, staff: str) -> list[str]:
        """Where somebody's deliveries of a visit went, in the order of the ledger."""
        delivered = [e for e in self.events(visit) if e["kind"] == "irrigant_delivered"]
        return [e["site"] for e in delivered if e["staff"] == staff]

    def report(self, visit: str) -> dict[str, Any]:
        """A visit's report."""
        report: dict[str, Any] = self.get(f"/visits/{visit}/report.json")
        return report


@contextlib.contextmanager
def running(data: Path, demo: bool = False) -> Iterator[Service]:
    """A service for the length of a block."""
    service = Service(data, demo)
    service.start()
    try:
        yield service
    finally:
        service.stop()


def becomes(
    ask: Callable[[], Any],
    wanted: Any,
    pause: Callable[[float], None] = lambda ms: time.sleep(ms / 1000),
) -> None:
    """
    Wait until a question is answered as wanted.

    Args:
        ask: The question.
        wanted: Its answer.
        pause: Lets so many milliseconds pass; a page's own way, where its requests are answered
            by the test.

    Raises:
        AssertionError: It was not in time; with the last answer.
    """
    until = time.monotonic() + BECOMES_WITHIN_S
    while (answer := ask()) != wanted and time.monotonic() < until:
        pause(50)
    assert answer == wanted


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
