"""What holds for every answer: headers, one shape of refusal, the app's files, the schema."""

from pathlib import Path
from typing import Any

import httpx
import pytest

from canalclock.api.headers import SECURITY
from canalclock.api.problems import TABLE
from canalclock.app import create_app
from canalclock.ledger.port import LedgerUnavailable
from canalclock.settings import Settings
from tests.api.conftest import Client
from tests.contract.lines import a_line, a_visit

HTML = {"accept": "text/html,*/*"}


@pytest.mark.parametrize(
    "path", ["/", "/sw.js", "/assets/main-abc.js", "/api/health", "/api/nothing", "/nothing.js"]
)
async def test_every_answer_carries_the_headers(client: Client, path: str) -> None:
    answer = await client.get(path)
    for name, value in SECURITY.items():
        assert answer.headers[name] == value, (path, name)


async def test_a_fault_of_ours_is_a_problem_without_its_inside(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def broken() -> int:
        raise RuntimeError("secret detail")

    monkeypatch.setattr(client.running.service.ledger, "feed", broken)
    answer = await client.get("/api/feed")
    assert answer.status_code == 500
    assert answer.headers["content-type"] == "application/problem+json"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"


async def test_a_store_in_trouble_is_503_and_says_that_nothing_was_written(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def full(*_: object) -> None:
        raise LedgerUnavailable("disk full")

    monkeypatch.setattr(client.running.service.ledger, "append", full)
    answer = await client.post_lines(a_visit(), a_line(1))
    assert answer.status_code == 503
    assert "nothing was written" in answer.json()["title"]


async def test_every_page_address_gets_the_app(client: Client) -> None:
    for path in ("/", "/visits/anything/at-all", "/index.html"):
        answer = await client.get(path, **HTML)
        assert answer.status_code == 200, path
        assert "the app" in answer.text
        assert answer.headers["cache-control"] == "no-cache"
        assert answer.headers["content-type"] == "text/html; charset=utf-8"


async def test_hashed_files_are_kept_for_ever_and_the_worker_is_not(client: Client) -> None:
    script = await client.get("/assets/main-abc.js")
    assert "immutable" in script.headers["cache-control"]
    assert script.headers["content-type"].split(";")[0] in {
        "text/javascript", "application/javascript",
    }  # fmt: skip
    worker = await client.get("/sw.js", **HTML)
    assert worker.text == "// worker"
    assert worker.headers["cache-control"] == "no-cache"


@pytest.mark.parametrize("path", ["/api/nothing", "/api", "/api/visits/x/y/z"])
async def test_what_is_not_there_under_api_is_a_problem_even_to_a_browser(
    client: Client, path: str
) -> None:
    answer = await client.get(path, **HTML)
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize(
    "path", ["/../data/canalclock.sqlite3", "/%2e%2e/data/canalclock.sqlite3", "/assets/../../x"]
)
async def test_no_file_outside_the_app_is_served(client: Client, path: str) -> None:
    answer = await client.get(path)
    assert answer.status_code in {400, 404}


async def test_a_method_that_is_not_answered_is_a_problem(client: Client) -> None:
    answer = await client.http.delete(f"/api/visits/{a_visit()}")
    assert answer.status_code == 405
    assert answer.json()["found"] == "DELETE"


@pytest.mark.parametrize("origin", ["http://elsewhere.test", "null", "http://clinic.test.evil"])
async def test_another_site_may_not_write(client: Client, origin: str) -> None:
    answer = await client.http.post(
        f"/api/visits/{a_visit()}/events",
        content=a_line(1),
        headers={"Content-Type": "application/x-ndjson", "Origin": origin},
    )
    assert (answer.status_code, answer.json()["found"]) == (403, f"Origin: {origin}")
    assert (await client.get("/api/feed")).json()["feed"] == 0


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8470", 200), ("192.168.7.20", 200), ("[::1]:8470", 200), ("localhost", 200),
        ("clinic-pc", 200), ("clinic-pc.local:8470", 200), ("elsewhere.example", 421),
        ("127.0.0.1.elsewhere.example", 421), ("local", 200), ("evil.com:8470", 421),
    ],
)  # fmt: skip
async def test_a_name_that_leads_elsewhere_is_not_answered(
    client: Client, host: str, status: int
) -> None:
    answer = await client.get("/api/clinic", host=host)
    assert answer.status_code == status
    if status == 421:
        assert answer.json()["found"] == f"Host: {host}"


async def test_a_name_that_was_given_is_answered(client: Client) -> None:
    given = create_app(client.running.service, Settings(data=Path(), names=("clinic.example.org",)))
    asgi: Any = given
    transport = httpx.ASGITransport(app=asgi)
    async with httpx.AsyncClient(transport=transport, base_url="http://clinic.example.org") as own:
        assert (await own.get("/api/clock")).status_code == 200


async def test_our_own_pages_may_write(client: Client) -> None:
    answer = await client.http.post(
        f"/api/visits/{a_visit()}/events",
        content=a_line(1),
        headers={"Content-Type": "application/x-ndjson", "Origin": "http://clinic.test"},
    )
    assert answer.status_code == 200


async def test_the_schema_describes_every_door(client: Client) -> None:
    schema = (await client.get("/api/openapi.json")).json()
    assert schema["openapi"].startswith("3.1")
    assert {
        "/api/health", "/api/clock", "/api/clinic", "/api/devices", "/api/protocols", "/api/kits",
        "/api/kits/{digest}", "/api/visits", "/api/visits/{visit}", "/api/visits/{visit}/events",
        "/api/visits/{visit}/sign", "/api/feed", "/api/cards/incident",
    } <= set(schema["paths"])  # fmt: skip
    assert "safe" not in (await client.get("/api/openapi.json")).text.lower()


def test_the_table_of_problems_has_statuses_and_titles() -> None:
    for code, (status, title) in TABLE.items():
        assert 400 <= status <= 599, code
        assert title
