"""Posting events: the good lines land, each bad one says why, nothing is half done."""

import asyncio
from typing import Any

import pytest

from canalclock.ledger.chain import FIRST_PREV, entry_digest, line_digest
from tests.api.conftest import START_MS, Client
from tests.contract.lines import DEVICE, KIT, OTHER_DEVICE, a_line, a_visit, an_id

OPENED = {"course": "c-1", "tooth": "16", "label": "L 1", "room": "room-1", "kit": KIT}


async def test_the_good_lines_of_a_batch_land(client: Client) -> None:
    answer = await client.post_lines(
        a_visit(),
        a_line(1, "visit_opened", **OPENED),
        b'{"not json',
        a_line(2, text="whole"),
        a_line(3, text="HALF").replace(b"HALF", b"\\ud83d"),
        a_line(4, text="NUL").replace(b"NUL", b"\\u0000"),
        a_line(5, visit=a_visit(2)),
        a_line(6, device=OTHER_DEVICE),
        a_line(7, staff="stranger"),
        a_line(8, text="x" * 17_000),
        a_line(9, device_seq=-1),
        a_line(2, text="other bytes"),
        a_line(2, text="whole"),
    )
    assert answer.status_code == 200
    told = answer.json()["answers"]
    assert [a["line"] for a in told] == list(range(1, 13))
    assert [a["code"] or a["answer"] for a in told] == [
        "recorded", "not_json", "recorded", "bad_text", "bad_text", "other_visit", "other_device",
        "staff_unknown", "too_large", "out_of_bounds", "id_reused", "already_recorded",
    ]  # fmt: skip
    for a in told:
        if a["answer"] == "refused":
            assert all(a[key] for key in ("message", "found", "expected", "where")), a
    assert [told[n]["seq"] for n in (0, 2, 11)] == [1, 2, 2]
    assert answer.json()["head"]["seq"] == 2


async def test_events_come_back_as_they_were_sent(client: Client) -> None:
    odd = a_line(1, "irrigant_warmed", celsius=37.5).replace(b", ", b" ,  ")
    client.clock.at_ms = START_MS + 7
    await client.post_lines(a_visit(), odd, a_line(2))
    answer = await client.get(f"/api/visits/{a_visit()}/events")
    assert odd in answer.content
    first, second = answer.json()["entries"]
    assert first["event"]["celsius"] == 37.5
    assert first["line_digest"] == line_digest(odd)
    assert first["digest"] == entry_digest(FIRST_PREV, a_visit(), 1, START_MS + 7, line_digest(odd))
    assert second["prev"] == first["digest"]
    assert answer.json()["head"] == {"seq": 2, "digest": second["digest"]}
    later = (await client.get(f"/api/visits/{a_visit()}/events?after=1")).json()
    assert [e["seq"] for e in later["entries"]] == [2]
    none = (await client.get(f"/api/visits/{a_visit()}/events?after=2")).json()
    assert (none["entries"], none["head"]) == ([], later["head"])


async def test_a_batch_sent_again_changes_nothing(client: Client) -> None:
    lines = [a_line(n) for n in range(1, 4)]
    first = (await client.post_lines(a_visit(), *lines)).json()
    again = (await client.post_lines(a_visit(), *lines)).json()
    assert [a["answer"] for a in again["answers"]] == ["already_recorded"] * 3
    assert again["head"] == first["head"]
    assert [a["seq"] for a in again["answers"]] == [1, 2, 3]


async def test_the_same_batch_from_many_tries_at_once_lands_once(client: Client) -> None:
    lines = [a_line(n) for n in range(1, 6)]
    answers = await asyncio.gather(*(client.post_lines(a_visit(), *lines) for _ in range(10)))
    said = [a["answer"] for answer in answers for a in answer.json()["answers"]]
    assert said.count("recorded") == 5
    assert said.count("already_recorded") == 45
    assert await client.running.service.ledger.verify() == ()


async def test_ten_thousand_lines_are_refused_and_nothing_is_written(client: Client) -> None:
    short = b"{}"
    answer = await client.post_lines(a_visit(), *[short] * 10_000)
    assert answer.status_code == 413
    problem = answer.json()
    assert problem["type"].endswith(":too_many_lines")
    assert (problem["found"], problem["expected"]) == ("10000 lines", "at most 500 lines")
    long = await client.post_lines(a_visit(), *[a_line(n) for n in range(1, 10_001)])
    assert long.status_code == 413
    assert (await client.get("/api/feed")).json()["feed"] == 0


async def test_five_hundred_lines_are_taken(client: Client) -> None:
    answer = await client.post_lines(a_visit(), *[a_line(n) for n in range(1, 501)])
    assert answer.json()["head"]["seq"] == 500


@pytest.mark.parametrize(
    ("visit", "media", "body", "status", "code"),
    [
        ("not-a-visit", "application/x-ndjson", b"{}\n", 400, "visit_id"),
        (a_visit(10).upper(), "application/x-ndjson", b"{}\n", 400, "visit_id"),
        (a_visit(), "application/json", b"{}\n", 415, "content_type"),
        (a_visit(), "text/plain", b"{}\n", 415, "content_type"),
        (a_visit(), "application/x-ndjson", b"", 400, "bad_request"),
        (a_visit(), "application/x-ndjson", b"x" * 1_048_577, 413, "too_large"),
    ],
)
async def test_a_whole_request_is_refused_with_a_problem(
    client: Client, visit: str, media: str, body: bytes, status: int, code: str
) -> None:
    answer = await client.http.post(
        f"/api/visits/{visit}/events", content=body, headers={"Content-Type": media}
    )
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    problem = answer.json()
    assert problem["type"] == f"urn:canalclock:problem:{code}"
    assert problem["status"] == status
    assert all(problem[key] for key in ("title", "detail", "found", "expected", "where"))


async def test_a_body_that_hides_its_length_is_cut_off(client: Client) -> None:
    sent = 0
    messages: list[Any] = []

    async def receive() -> Any:
        nonlocal sent
        assert sent < 50_000_000
        sent += 65_536
        return {"type": "http.request", "body": b"x" * 65_536, "more_body": True}

    async def send(message: Any) -> None:
        messages.append(message)

    scope: Any = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "POST",
        "scheme": "http", "path": f"/api/visits/{a_visit()}/events", "raw_path": b"",
        "query_string": b"", "root_path": "", "state": {}, "client": ("127.0.0.1", 1),
        "headers": [(b"content-type", b"application/x-ndjson"), (b"host", b"t")],
        "server": ("t", 80),
    }  # fmt: skip
    await client.app(scope, receive, send)
    assert messages[0]["status"] == 413
    assert sent <= 1_048_576 + 2 * 65_536


async def test_the_header_names_the_device_that_sends(client: Client) -> None:
    answer = await client.http.post(
        f"/api/visits/{a_visit()}/events",
        content=a_line(1) + b"\n" + a_line(2, device=OTHER_DEVICE),
        headers={"Content-Type": "application/x-ndjson", "Canalclock-Device": OTHER_DEVICE},
    )
    assert [a["code"] or a["answer"] for a in answer.json()["answers"]] == [
        "other_device",
        "recorded",
    ]
    wrong = await client.http.post(
        f"/api/visits/{a_visit()}/events",
        content=a_line(1),
        headers={"Content-Type": "application/x-ndjson", "Canalclock-Device": "tablet"},
    )
    assert (wrong.status_code, wrong.json()["found"]) == (400, "tablet")


async def test_a_clock_a_day_wrong_is_recorded(client: Client) -> None:
    day = 86_400_000
    answer = await client.post_lines(
        a_visit(), a_line(1, occurred_at_ms=START_MS + day), a_line(2, occurred_at_ms=1)
    )
    assert [a["answer"] for a in answer.json()["answers"]] == ["recorded"] * 2


async def test_an_id_of_another_visit_with_other_content_is_refused(client: Client) -> None:
    await client.post_lines(a_visit(1), a_line(1))
    answer = await client.post_lines(a_visit(2), a_line(1, visit=a_visit(2)))
    told = answer.json()["answers"][0]
    assert (told["code"], told["id"]) == ("id_reused", an_id(1))
    assert a_visit(1) in told["found"]
    assert (await client.get(f"/api/visits/{a_visit(2)}")).status_code == 404


async def test_a_line_fault_does_not_stop_a_device_in_its_other_lines(client: Client) -> None:
    first = await client.post_lines(a_visit(), b"nonsense", a_line(1))
    assert first.json()["answers"][1]["answer"] == "recorded"
    row = (await client.get(f"/api/visits/{a_visit()}")).json()
    assert row["devices"] == [{"device": DEVICE, "last_seq": 1, "gaps": []}]
