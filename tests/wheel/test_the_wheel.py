"""What the wheel carries, and that it runs where nothing else is."""

import contextlib
import gzip
import json
import os
import re
import signal
import socket
import subprocess
import time
import urllib.request
import zipfile
from collections.abc import Iterator
from http.client import HTTPResponse
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SHELL_MAX_KB = 27
"""What index.html asks for by itself, gzip. [kB of 1024 bytes] Lower it when it shrinks."""
WHOLE_MAX_KB = 140
"""Every screen, as the service worker fetches them once, gzip. [kB of 1024 bytes]"""


def names(wheel: Path) -> set[str]:
    return set(zipfile.ZipFile(wheel).namelist())


def files_listed(worker: str) -> list[str]:
    """The app's files as the built service worker lists them."""
    found = re.search(r"""\[(["'`])/.*?\]""", worker)
    assert found is not None, "sw.js has no list of files"
    listed: list[str] = json.loads(re.sub(r"['`]", '"', found.group()))
    return listed


def test_the_web_app_is_inside(wheel: Path) -> None:
    inside = names(wheel)
    assert "canalclock/web/index.html" in inside
    assert "canalclock/web/sw.js" in inside
    assert any(name.startswith("canalclock/web/assets/main-") for name in inside)


def test_every_protocol_and_the_catalogue_are_inside(wheel: Path) -> None:
    inside = names(wheel)
    files = [path.relative_to(ROOT) for path in (ROOT / "protocols").rglob("*") if path.is_file()]
    assert len(files) > 3
    assert {f"canalclock/{path.as_posix()}" for path in files} <= inside


def test_every_file_of_the_package_is_inside(wheel: Path) -> None:
    package = ROOT / "server" / "canalclock"
    files = {
        f"canalclock/{path.relative_to(package).as_posix()}"
        for path in package.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and "web" not in path.parts
    }
    assert any("/ledger/migrations/" in name for name in files)
    assert files <= names(wheel)


def test_nothing_but_the_package_is_inside(wheel: Path) -> None:
    tops = {name.split("/")[0] for name in names(wheel)}
    assert tops == {"canalclock", next(top for top in tops if top.endswith(".dist-info"))}
    assert not [name for name in names(wheel) if name.endswith((".map", ".pyc"))]


def test_the_service_worker_knows_every_file_of_the_app_once(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        worker = archive.read("canalclock/web/sw.js").decode()
    assert "__SHELL_" not in worker
    listed = files_listed(worker)
    app = {
        "/" if name == "canalclock/web/index.html" else name.removeprefix("canalclock/web")
        for name in names(wheel)
        if name.startswith("canalclock/web/")
    }
    assert sorted(listed) == sorted(app - {"/sw.js", "/.built-from"})


def test_the_shell_and_the_whole_app_are_small(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        sizes = {
            name.removeprefix("canalclock/web"): len(gzip.compress(archive.read(name)))
            for name in archive.namelist()
            if name.startswith("canalclock/web/") and name.endswith((".html", ".js", ".css"))
        }
        page = archive.read("canalclock/web/index.html").decode()
    shell = {"/index.html", *re.findall(r'(?:src|href)="(/assets/[^"]+\.(?:js|css))"', page)}
    assert len(shell) > 2
    assert sum(sizes[name] for name in shell) <= SHELL_MAX_KB * 1024, sizes
    assert sum(sizes.values()) <= WHOLE_MAX_KB * 1024, sizes


def test_help_runs_and_names_the_commands(installed: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [str(installed / "canalclock"), "--help"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    for command in ("serve", "check", "plan", "report", "audit", "kit", "verify", "migrate"):
        assert command in done.stdout


def test_the_module_is_the_command(installed: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [str(installed / "python"), "-m", "canalclock", "--version"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "0." in done.stdout


@contextlib.contextmanager
def served(installed: Path, folder: Path) -> Iterator[str]:
    """A demonstration clinic served from the installed wheel; its address."""
    with contextlib.closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with subprocess.Popen(
        [
            str(installed / "canalclock"),
            *("serve", "--demo", "--port", str(port), "--data", str(folder / "data")),
        ],
        cwd=folder,
        env={**os.environ, "HOME": str(folder)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        try:
            yield wait_for(f"http://127.0.0.1:{port}", process)
        finally:
            process.send_signal(signal.SIGTERM)
            process.communicate(timeout=20)


def wait_for(address: str, process: subprocess.Popen[str]) -> str:
    until = time.monotonic() + 30
    while time.monotonic() < until:
        if process.poll() is not None:
            out, _ = process.communicate()
            raise AssertionError(f"the service ended with {process.returncode}: {out}")
        with contextlib.suppress(OSError):
            fetch(f"{address}/api/health").close()
            return address
        time.sleep(0.1)
    raise AssertionError("the service did not answer within 30 s")


def demonstration_visits(address: str) -> list[object]:
    """The visits of the demonstration, which is posted once the service answers."""
    until = time.monotonic() + 15
    visits: list[object] = []
    while not visits and time.monotonic() < until:
        visits = json.loads(body(f"{address}/api/visits?state=all"))
        time.sleep(0.1)
    return visits


def fetch(address: str, accept: str = "*/*") -> HTTPResponse:
    request = urllib.request.Request(address, headers={"Accept": accept})
    answer: HTTPResponse = urllib.request.urlopen(request, timeout=10)
    return answer


def body(address: str, accept: str = "*/*") -> bytes:
    with contextlib.closing(fetch(address, accept)) as answer:
        return answer.read()


def test_the_installed_service_serves_its_app_and_its_protocols(
    installed: Path, tmp_path: Path
) -> None:
    with served(installed, tmp_path) as address:
        page = body(f"{address}/", accept="text/html").decode()
        assert 'src="/assets/main-' in page
        assert body(f"{address}/a/deep/link", accept="text/html").decode() == page
        worker = body(f"{address}/sw.js").decode()
        for file in files_listed(worker):
            assert body(address + file), file
        assert len(json.loads(body(f"{address}/api/protocols"))) >= 6
        assert demonstration_visits(address)
