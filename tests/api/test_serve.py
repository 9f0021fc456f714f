"""`canalclock serve` as a process of its own: stopping, killing, sharing, floods."""

import asyncio
import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import websockets

from canalclock.cli.serve import _listen
from tests.contract.lines import a_line, a_visit

ENV = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "server")}


def start(*arguments: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "canalclock", *arguments],
        env=ENV, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


@contextmanager
def serving(data: Path) -> "Iterator[tuple[subprocess.Popen[str], str]]":
    """A service on a free port, and its address."""
    process = start("serve", "--port", "0", "--data", str(data), "--json")
    assert process.stdout
    try:
        said = process.stdout.readline()
        assert said, process.stderr and process.stderr.read()
        told = json.loads(said)
        assert (told["data"], told["temporary"]) == (str(data), False)
        yield process, told["address"].rstrip("/")
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()


def post(address: str, *lines: bytes) -> bytes:
    request = urllib.request.Request(
        f"{address}/api/visits/{a_visit()}/events",
        data=b"\n".join(lines),
        headers={"Content-Type": "application/x-ndjson"},
    )
    with urllib.request.urlopen(request, timeout=10) as answer:
        body: bytes = answer.read()
    return body


def canalclock(*arguments: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "canalclock", *arguments],
        env=ENV, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_a_second_service_on_the_same_data_is_refused(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, _):
        second = canalclock("serve", "--port", "0", "--data", str(tmp_path))
        assert second.returncode == 4
        assert f"process {process.pid} already serves this data" in second.stderr
        assert canalclock("migrate", "--data", str(tmp_path)).returncode == 4


def test_what_was_acknowledged_survives_a_kill_and_verifies(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, address):
        post(address, a_line(1), a_line(2))
        assert canalclock("verify", "--data", str(tmp_path)).stdout == "1 visit, 0 breaks\n"
        process.send_signal(signal.SIGKILL)
        process.wait()
    with serving(tmp_path) as (_, address):
        assert post(address, a_line(1), a_line(2)).count(b"already_recorded") == 2
    found = canalclock("verify", "--data", str(tmp_path), "--json")
    assert (found.returncode, found.stdout) == (0, '{"visits":1,"breaks":[]}\n')


async def test_a_stop_closes_open_screens_and_does_not_wait_for_them(tmp_path: Path) -> None:
    with serving(tmp_path) as (process, address):
        ws = address.replace("http", "ws") + "/api/live?after=0"
        async with websockets.connect(ws) as one, websockets.connect(ws) as two:
            await one.recv()
            await two.recv()
            process.send_signal(signal.SIGTERM)
            await asyncio.wait_for(one.wait_closed(), 3)
            await asyncio.wait_for(two.wait_closed(), 3)
        await asyncio.wait_for(asyncio.to_thread(process.wait), 3)
        assert process.stderr
        assert process.stderr.read() == ""


def test_fifty_megabytes_are_refused_before_they_are_sent(tmp_path: Path) -> None:
    with serving(tmp_path) as (_, address):
        host, port = address.removeprefix("http://").split(":")
        with socket.create_connection((host, int(port)), timeout=5) as raw:
            raw.sendall(
                f"POST /api/visits/{a_visit()}/events HTTP/1.1\r\nHost: {host}:{port}\r\n"
                "Content-Type: application/x-ndjson\r\nContent-Length: 52428800\r\n\r\n".encode()
            )
            assert raw.recv(4096).startswith(b"HTTP/1.1 413 ")
        assert b'"recorded"' in post(address, a_line(1))


def test_a_taken_port_is_said_in_one_line(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        said = canalclock("serve", "--port", str(port), "--data", str(tmp_path))
    assert said.returncode == 3
    assert said.stderr.count("\n") == 1
    assert f"port {port}" in said.stderr


def test_verify_names_a_break_and_says_so_by_its_exit_code(tmp_path: Path) -> None:
    import sqlite3

    with serving(tmp_path) as (_, address):
        post(address, a_line(1), a_line(2))
    file = sqlite3.connect(tmp_path / "canalclock.sqlite3", isolation_level=None)
    file.execute("DROP TRIGGER entry_refuses_update")
    file.execute("UPDATE entry SET line = x'7b7d' WHERE seq = 2")
    file.close()
    found = canalclock("verify", "--data", str(tmp_path))
    assert found.returncode == 1
    assert f"visit {a_visit()}, entry 2: digest of the line: found " in found.stdout


def test_the_demonstration_prints_its_address_and_a_code_of_it() -> None:
    process = start("serve", "--demo", "--port", "0")
    assert process.stdout
    lines = list(iter(process.stdout.readline, "Stop it with Ctrl-C.\n"))
    process.send_signal(signal.SIGTERM)
    _, said = process.communicate(timeout=20)
    assert (process.returncode, said) == (0, "")
    address = re.fullmatch(r"Canalclock answers at http://127\.0\.0\.1:\d+/\n", lines[0])
    assert address
    data = lines[1].removeprefix("Data: ").removesuffix(", temporary\n")
    assert not Path(data).exists()
    assert any("█" in line for line in lines)
    assert any(line.startswith("Only this machine can open it.") for line in lines)


def test_no_ledger_is_exit_code_3(tmp_path: Path) -> None:
    found = canalclock("verify", "--data", str(tmp_path))
    assert found.returncode == 3
    assert "found no ledger" in found.stderr
    assert list(tmp_path.iterdir()) == []


def test_help_names_every_command_with_examples() -> None:
    from canalclock.cli import COMMANDS

    said = canalclock("--help").stdout
    for command in COMMANDS:
        assert command in said
        assert "Examples:" in canalclock(command, "--help").stdout, command


def test_answers_leave_at_once_and_do_not_wait_for_more_to_send() -> None:
    """Loops turn off waiting (TCP_NODELAY) only on sockets that say they are TCP."""
    listening = _listen("127.0.0.1", 0, "--port")
    assert listening.proto == socket.IPPROTO_TCP
    listening.close()
