"""`canalclock serve --tls` as a process of its own; its clients trust its authority alone."""

import asyncio
import json
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
import websockets
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from tests.api.test_serve import ENV, canalclock
from tests.contract.lines import a_line, a_visit
from tests.unit.tls.clinics_own import a_certificate, a_key, brought, key_pem
from tests.unit.tls.machine import Machine

QUICK = (
    "import canalclock.tls.keeper as k; k.LOOK_EVERY_S = 0.2; "
    "from canalclock.cli import main; main()"
)
"""The command with a look at the certificate five times a second instead of once a minute."""


class Secure:
    """A running service: where it answers, what it said, and whom to trust."""

    def __init__(self, told: dict[str, Any], data: Path) -> None:
        self.connection = told["connection"]
        self.port = int(told["address"].rstrip("/").rsplit(":", 1)[1])
        self.trust = self.connection["trust"][0] if self.connection["trust"] else ""
        self.data = data

    @property
    def plain(self) -> str:
        """The plain port, by its address on this machine."""
        return f"http://127.0.0.1:{self.trust.rsplit(':', 1)[1].split('/')[0]}"

    def client(self, name: str | None = None) -> httpx.Client:
        """One that trusts the authority and nothing else, and takes this machine for `name`."""
        context = ssl.create_default_context(cafile=self.data / "tls" / "authority.crt")
        headers = {} if name is None else {"Host": f"{name}:{self.port}"}
        client = httpx.Client(
            verify=context, base_url=f"https://127.0.0.1:{self.port}", headers=headers
        )
        if name is not None:
            client.event_hooks["request"] = [
                lambda request: request.extensions.update(sni_hostname=name)
            ]
        return client


@contextmanager
def serving(data: Path, *options: str, quick: bool = False) -> Iterator[Secure]:
    """A service on free ports."""
    command = ["-c", QUICK] if quick else ["-m", "canalclock"]
    words = ["serve", "--port", "0", "--data", str(data), "--json", *options]
    process = subprocess.Popen(
        [sys.executable, *command, *words],
        env=ENV, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    try:
        said = process.stdout.readline()
        assert said, process.stderr and process.stderr.read()
        yield Secure(json.loads(said), data)
    finally:
        process.terminate()
        _, errors = process.communicate(timeout=20)
    assert "Traceback" not in errors


@pytest.fixture(scope="module")
def clinic(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Secure]:
    """One with a local authority, reached by clinic.local."""
    data = tmp_path_factory.mktemp("clinic")
    options = ("--tls", "--host", "0.0.0.0", "--name", "clinic.local")
    with serving(data, *options) as started:
        yield started


@pytest.mark.parametrize("name", [None, "clinic.local", "localhost"])
def test_it_answers_by_name_and_by_address_to_who_trusts_its_authority(
    clinic: Secure, name: str | None
) -> None:
    with clinic.client(name) as client:
        assert client.get("/api/health").json()["status"] == "ok"
        posted = client.post(
            f"/api/visits/{a_visit()}/events",
            content=a_line(1),
            headers={"Content-Type": "application/x-ndjson",
                     "Origin": f"https://{name or '127.0.0.1'}:{clinic.port}"},
        )  # fmt: skip
        assert posted.status_code == 200


def test_who_does_not_trust_it_gets_no_answer(clinic: Secure) -> None:
    with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
        httpx.get(f"https://127.0.0.1:{clinic.port}/api/health")


def test_a_name_that_it_does_not_hold_is_refused_by_the_client(clinic: Secure) -> None:
    with (
        clinic.client("clinic.example.org") as client,
        pytest.raises(httpx.ConnectError, match="mismatch"),
    ):
        client.get("/api/health")


async def test_the_live_feed_comes_over_tls(clinic: Secure) -> None:
    context = ssl.create_default_context(cafile=clinic.data / "tls" / "authority.crt")
    origin = f"https://127.0.0.1:{clinic.port}"
    async with websockets.connect(
        f"wss://127.0.0.1:{clinic.port}/api/live?after=0",
        ssl=context,
        origin=origin,  # type: ignore[arg-type]
    ) as feed:
        assert {"beat", "feed"} & set(json.loads(await feed.recv()))


def test_it_says_how_it_is_reached_and_gives_codes_that_lead_there(clinic: Secure) -> None:
    with clinic.client() as client:
        said = client.get("/api/connection").json()
        code = client.get("/api/connection/code.svg?of=trust")
        beyond = client.get("/api/connection/code.svg?of=app&at=40")
        wrong = client.get("/api/connection/code.svg?of=else")
    assert said["mode"] == "authority"
    assert said["addresses"][0] == f"https://clinic.local:{clinic.port}/"
    assert said["trust"][0] == clinic.trust
    assert said["notices"] == []
    ends = datetime.fromtimestamp(said["ends_at_ms"] / 1000, UTC)
    assert timedelta(days=390) < ends - datetime.now(UTC) <= timedelta(days=397)
    assert (code.status_code, code.headers["content-type"]) == (200, "image/svg+xml")
    assert code.content.startswith(b"<svg")
    assert beyond.json()["type"] == "urn:canalclock:problem:address_unknown"
    assert wrong.status_code == 400


def test_no_answer_ever_binds_a_local_name_to_https_for_good(clinic: Secure) -> None:
    with clinic.client() as client:
        answers = [client.get("/api/health"), client.get("/api/none"), client.put("/api/health")]
    answers += [httpx.get(f"{clinic.plain}/trust"), httpx.get(f"{clinic.plain}/")]
    assert ["strict-transport-security" in answer.headers for answer in answers] == [False] * 5


def test_the_plain_port_shows_how_to_trust_and_the_certificate_that_fits(clinic: Secure) -> None:
    page = httpx.get(f"{clinic.plain}/trust", headers={"User-Agent": "X (iPad; CPU)"})
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    root = ssl.PEM_cert_to_DER_cert((clinic.data / "tls" / "authority.crt").read_text())
    fingerprint = x509.load_der_x509_certificate(root).fingerprint(hashes.SHA256())
    pairs = fingerprint.hex(" ").upper()
    assert pairs == clinic.connection["fingerprint"]
    assert all(pair in page.text for pair in (pairs[:23], pairs[-23:]))
    assert f"https://clinic.local:{clinic.port}/" in page.text
    assert '<details id="ios" open>' in page.text
    [title] = _shown(clinic.port).issuer.get_attributes_for_oid(x509.NameOID.COMMON_NAME)
    assert f"“{title.value!s}”" in page.text
    short = fingerprint.hex()[:8]
    for ending, kind in (("crt", "application/x-x509-ca-cert"), ("pem", "application/x-pem-file")):
        path = f"/trust/canalclock-authority-{short}.{ending}"
        assert f'href="{path}"' in page.text
        got = httpx.get(clinic.plain + path)
        assert got.headers["content-type"] == kind
        name = f"canalclock-authority-{short}.{ending}"
        assert got.headers["content-disposition"] == f'inline; filename="{name}"'
        der = got.content if ending == "crt" else ssl.PEM_cert_to_DER_cert(got.text)
        assert der == root
    style = httpx.get(f"{clinic.plain}/trust/style.css")
    assert style.headers["content-type"].startswith("text/css")


def test_the_plain_port_gives_no_door_of_the_service(clinic: Secure) -> None:
    with clinic.client() as client:
        paths = client.get("/api/openapi.json").json()["paths"]
    assert len(paths) > 15
    with httpx.Client(base_url=clinic.plain) as plain:
        for listed in [*paths, "/", "/sw.js", "/visits/x/review?a=b"]:
            path = listed.replace("{", "").replace("}", "")
            sent = plain.get(path)
            assert sent.status_code == 307, path
            assert sent.headers["location"] == f"https://127.0.0.1:{clinic.port}{path}"
            assert sent.headers["cache-control"] == "no-store"
        for method in ("POST", "PUT", "DELETE", "OPTIONS"):
            refused = plain.request(method, f"/api/visits/{a_visit()}/events", content=a_line(9))
            assert refused.status_code == 403
            assert "Nothing was recorded" in refused.text
        assert plain.head("/trust").content == b""
        assert plain.get("/trust/../api/health").status_code == 307
        assert plain.get("/trust/authority.pem").status_code == 404


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1@example.org", "[", "", "a b"])
def test_the_plain_port_sends_nobody_to_another_site(clinic: Secure, host: str) -> None:
    sent = httpx.get(f"{clinic.plain}//example.org/x", headers={"Host": host})
    if sent.status_code == 400:
        return
    assert sent.headers["location"] == f"https://clinic.local:{clinic.port}/example.org/x"


async def test_the_plain_port_takes_no_sockets(clinic: Secure) -> None:
    with pytest.raises(websockets.InvalidStatus):
        async with websockets.connect(clinic.plain.replace("http", "ws") + "/api/live"):
            pass


def test_the_clinics_own_certificate_is_shown_and_read_again_without_a_restart(
    tmp_path: Path,
) -> None:
    now = datetime.now(UTC) - timedelta(hours=1)
    chain, key = brought(tmp_path, "clinic.example.org", begins=now)
    options = ("--certificate", str(chain), "--key", str(key))
    with serving(tmp_path / "data", *options, quick=True) as service:
        first = _shown(service.port)
        assert first == x509.load_pem_x509_certificate(chain.read_bytes())
        context = ssl.create_default_context(cafile=chain)
        with httpx.Client(verify=context, base_url=f"https://127.0.0.1:{service.port}") as old:
            named: dict[str, Any] = {
                "headers": {"Host": "clinic.example.org"},
                "extensions": {"sni_hostname": "clinic.example.org"},
            }
            assert old.get("/api/connection", **named).json()["mode"] == "own"
            new = a_key()
            key.write_bytes(key_pem(new))
            certificate = a_certificate(new, "clinic.example.org", begins=now, days=30)
            chain.write_bytes(certificate.public_bytes(_pem()))
            until = time.monotonic() + 20
            while _shown(service.port) != certificate:
                assert time.monotonic() < until, "the new certificate was not taken"
                time.sleep(0.1)
            assert old.get("/api/health", **named).status_code == 200, "open connections stay"


def _shown(port: int) -> x509.Certificate:
    text = ssl.get_server_certificate(("127.0.0.1", port))
    return x509.load_pem_x509_certificate(text.encode())


def _pem() -> Any:
    from cryptography.hazmat.primitives.serialization import Encoding

    return Encoding.PEM


def refused(*options: str, code: int = 3) -> str:
    """What a start that does not come about says, in one line."""
    said = canalclock("serve", "--port", "0", *options)
    assert said.returncode == code, said.stderr
    assert said.stdout == ""
    assert "Traceback" not in said.stderr
    assert code == 2 or said.stderr.count("\n") == 1
    return said.stderr


def test_a_key_that_is_not_there_is_said(tmp_path: Path) -> None:
    chain, key = brought(tmp_path, "clinic.example.org", begins=datetime.now(UTC))
    key.unlink()
    said = refused("--data", str(tmp_path / "d"), "--certificate", str(chain), "--key", str(key))
    assert f"{key}: No such file" in said


def test_a_certificate_that_has_ended_is_said(tmp_path: Path) -> None:
    ended = datetime.now(UTC) - timedelta(days=100)
    chain, key = brought(tmp_path, "clinic.example.org", begins=ended)
    said = refused("--data", str(tmp_path / "d"), "--certificate", str(chain), "--key", str(key))
    assert "the certificate has ended" in said


def test_a_clock_that_is_a_year_behind_the_authority_is_said(tmp_path: Path) -> None:
    machine = Machine()
    machine.now = datetime.now(UTC) + timedelta(days=365)
    machine.keeper(tmp_path)
    said = refused("--data", str(tmp_path), "--tls")
    assert "has not begun" in said
    assert f"this machine's clock says {datetime.now(UTC):%Y-%m-%d}" in said


def test_a_second_port_that_is_taken_is_said(clinic: Secure, tmp_path: Path) -> None:
    taken = clinic.plain.rsplit(":", 1)[1]
    said = refused("--data", str(tmp_path), "--tls", "--trust-port", taken)
    assert f"port {taken}" in said
    assert "--trust-port" in said


def test_options_that_do_not_fit_together_are_said(tmp_path: Path) -> None:
    data = ("--data", str(tmp_path))
    assert "only one of them" in refused(*data, "--certificate", "x.pem", code=2)
    assert "found both" in refused(*data, "--tls", "--proxy", "127.0.0.1", code=2)
    assert "found no --tls" in refused(*data, "--new-authority", code=2)
    assert "expected an address" in refused(*data, "--proxy", "my proxy", code=2)
    assert "expected a host name" in refused(*data, "--name", "https://x", code=2)
    assert list(tmp_path.iterdir()) == [], "nothing half done"


def test_plain_start_up_brings_no_cryptography(tmp_path: Path) -> None:
    words = "import sys, canalclock.cli.serve, canalclock.app; print('cryptography' in sys.modules)"
    said = subprocess.run(
        [sys.executable, "-c", words], env=ENV, capture_output=True, text=True, check=True
    )
    assert said.stdout == "False\n"


def test_a_demonstration_on_the_network_says_what_is_lost_without_https() -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "canalclock", "serve", "--demo", "--port", "0",
         "--host", "0.0.0.0", "--name", "clinic.local"],
        env=ENV, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    lines: list[str] = []
    while not lines or not lines[-1].startswith("Stop it"):
        lines.append(process.stdout.readline())
        assert lines[-1], lines
    process.terminate()
    process.communicate(timeout=20)
    said = "".join(lines)
    assert said.startswith("Canalclock answers at http://clinic.local:")
    for lost in ("working offline", "installing the app", "keeping the screen awake", "--tls"):
        assert lost in said
    assert sum("█" in line for line in lines) > 12


async def test_behind_a_reverse_proxy_it_is_the_proxys_https_that_counts(tmp_path: Path) -> None:
    from tests.api.reverse_proxy import proxying

    chain, key = brought(tmp_path, "clinic.example.org", begins=datetime.now(UTC))
    options = ("--proxy", "127.0.0.1", "--name", "clinic.example.org")
    started = serving(tmp_path / "data", *options)
    service = await asyncio.to_thread(started.__enter__)
    try:
        assert service.connection["mode"] == "proxy"
        assert service.connection["addresses"] == ["https://clinic.example.org/"]
        async with proxying(chain, key, service.port) as port:
            context = ssl.create_default_context(cafile=chain)
            origin = f"https://clinic.example.org:{port}"
            headers = {"Host": f"clinic.example.org:{port}", "Origin": origin}
            sni = {"sni_hostname": "clinic.example.org"}
            async with httpx.AsyncClient(verify=context, headers=headers) as client:
                posted = await client.post(
                    f"https://127.0.0.1:{port}/api/visits/{a_visit()}/events",
                    content=a_line(1),
                    headers={"Content-Type": "application/x-ndjson"},
                    extensions=sni,
                )
                assert posted.status_code == 200
                forged = await client.post(
                    f"https://127.0.0.1:{port}/api/visits/{a_visit()}/events",
                    content=a_line(2),
                    headers={"Origin": "https://example.org"},
                    extensions=sni,
                )
                assert forged.status_code == 403
            async with websockets.connect(
                f"wss://clinic.example.org:{port}/api/live?after=0",
                ssl=context, host="127.0.0.1", port=port, origin=origin,  # type: ignore[arg-type]
            ) as feed:  # fmt: skip
                assert {"beat", "feed"} & set(json.loads(await feed.recv()))
    finally:
        await asyncio.to_thread(started.__exit__, None, None, None)


@pytest.mark.parametrize(
    ("proxies", "taken"),
    [((), True), (("127.0.0.1",), True), (("127.0.0.0/8",), True), (("192.0.2.7",), False)],
)
async def test_who_asked_is_taken_from_named_proxies_alone(
    monkeypatch: pytest.MonkeyPatch, proxies: tuple[str, ...], taken: bool
) -> None:
    """Asked from 127.0.0.1, which stands for a proxy or, where another is named, for a stranger."""
    import uvicorn

    from canalclock.cli.serve import _listen, server_config
    from canalclock.settings import Settings

    monkeypatch.setenv("FORWARDED_ALLOW_IPS", "*")

    async def mirror(scope: Any, receive: Any, send: Any) -> None:
        said = json.dumps([scope["scheme"], scope["client"][0]]).encode()
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": said})

    server = uvicorn.Server(server_config(mirror, Settings(data=Path("x"), proxies=proxies)))
    listening = _listen("127.0.0.1", 0, "--port")
    running = asyncio.create_task(server.serve(sockets=[listening]))
    forwarded = {"X-Forwarded-Proto": "https", "X-Forwarded-For": "10.9.9.9"}
    async with httpx.AsyncClient() as client:
        port = listening.getsockname()[1]
        seen = (await client.get(f"http://127.0.0.1:{port}/", headers=forwarded)).json()
    server.should_exit = True
    await running
    assert seen == (["https", "10.9.9.9"] if taken else ["http", "127.0.0.1"])
