"""Visits in the lists, the dentist's signature, and the clinic's own lists."""

from typing import Any

import pytest

from canalclock.core.kit import kit_bytes, kit_digest
from tests.api.conftest import START_MS, Client, a_kit
from tests.contract.lines import DEVICE, a_line, a_visit, an_id


def opened(number: int, visit: str, **fields: Any) -> bytes:
    payload: dict[str, Any] = {
        "course": "c-1", "tooth": "16", "label": f"L {number}", "room": "room-1",
        "kit": kit_digest(a_kit()),
    }  # fmt: skip
    at = START_MS + number
    payload |= {"visit": visit, "occurred_at_ms": at}
    return a_line(number, "visit_opened", **(payload | fields))


async def labels(client: Client, query: str) -> list[str | None]:
    answer = await client.get(f"/api/visits{query}")
    assert answer.status_code == 200, answer.text
    return [row["label"] for row in answer.json()]


async def test_a_visit_is_listed_by_what_its_opening_says(client: Client) -> None:
    head = (await client.post_lines(a_visit(), opened(1, a_visit()))).json()["head"]
    (row,) = (await client.get("/api/visits")).json()
    assert row == {
        "visit": a_visit(), "course": "c-1", "tooth": "16", "label": "L 1", "room": "room-1",
        "kit": kit_digest(a_kit()), "protocol": None, "opened_at_ms": START_MS + 1,
        "closed_at_ms": None, "head": head, "signed_seq": None, "training": False,
    }  # fmt: skip


async def test_a_corrected_opening_and_a_voided_close_are_heard(client: Client) -> None:
    await client.post_lines(a_visit(), opened(1, a_visit()), a_line(2, "visit_closed"))
    (row,) = (await client.get("/api/visits")).json()
    assert row["closed_at_ms"] is not None
    payload: dict[str, Any] = {
        "course": "c-1", "tooth": "26", "label": "L 1", "room": "room-2",
        "kit": kit_digest(a_kit()), "occurred_at_ms": START_MS,
    }  # fmt: skip
    await client.post_lines(
        a_visit(),
        a_line(
            3, "entry_corrected", entry=an_id(1), replaces=an_id(1), reason="room", payload=payload
        ),
        a_line(4, "entry_voided", entry=an_id(2), replaces=an_id(2), reason="too soon"),
    )
    (row,) = (await client.get("/api/visits")).json()
    assert (row["tooth"], row["room"], row["closed_at_ms"]) == ("26", "room-2", None)


async def test_a_visit_whose_opening_has_not_arrived_is_listed_all_the_same(
    client: Client,
) -> None:
    await client.post_lines(a_visit(), a_line(1))
    (row,) = (await client.get("/api/visits?state=open")).json()
    assert (row["visit"], row["tooth"], row["opened_at_ms"]) == (a_visit(), None, None)


async def test_lists_ask_by_state_room_and_period(client: Client) -> None:
    for n in (1, 2, 3):
        visit = a_visit(n)
        await client.post_lines(visit, opened(n, visit, room=f"room-{n}"))
    await client.post_lines(a_visit(2), a_line(9, "visit_closed", visit=a_visit(2)))
    assert await labels(client, "") == ["L 1", "L 2", "L 3"]
    assert await labels(client, "?state=open") == ["L 1", "L 3"]
    assert await labels(client, "?state=closed") == ["L 2"]
    assert await labels(client, "?room=room-3") == ["L 3"]
    assert await labels(client, f"?from_ms={START_MS + 2}") == ["L 2", "L 3"]
    assert await labels(client, f"?to_ms={START_MS + 2}") == ["L 1"]
    assert await labels(client, "?protocol=none-such") == []


@pytest.mark.parametrize(
    ("path", "where"),
    [
        ("/api/visits?state=half", "state"),
        ("/api/visits?from_ms=-1", "from_ms"),
        ("/api/visits?from_ms=yesterday", "from_ms"),
        ("/api/feed?after=-1", "after"),
        ("/api/feed?after=1.5", "after"),
    ],
)
async def test_a_question_out_of_bounds_is_refused_by_its_name(
    client: Client, path: str, where: str
) -> None:
    answer = await client.get(path)
    problem = answer.json()
    assert (answer.status_code, problem["where"]) == (400, where)
    assert problem["found"] == path.split("=")[1]


async def test_a_dentist_signs_the_head_that_was_shown(client: Client) -> None:
    head = (await client.post_lines(a_visit(), opened(1, a_visit()))).json()["head"]
    body = {"staff": "dentist-1", "fold_version": 1, "totals": {"tooth": [1, 2]}, **head}
    client.clock.at_ms = START_MS + 99
    first = await client.http.post(f"/api/visits/{a_visit()}/sign", json=body)
    assert first.status_code == 201
    assert first.json() == {
        "visit": a_visit(), "signed_at_ms": START_MS + 99, "addendum": False, **body,
    }  # fmt: skip
    again = await client.http.post(f"/api/visits/{a_visit()}/sign", json=body)
    assert (again.status_code, again.json()) == (200, first.json())
    view = (await client.get(f"/api/visits/{a_visit()}")).json()
    assert (view["signed_seq"], view["signatures"]) == (1, [first.json()])


async def test_later_events_ask_for_an_addendum(client: Client) -> None:
    head = (await client.post_lines(a_visit(), opened(1, a_visit()))).json()["head"]
    body = {"staff": "dentist-1", "fold_version": 1, "totals": {}}
    await client.http.post(f"/api/visits/{a_visit()}/sign", json=body | head)
    later = (await client.post_lines(a_visit(), a_line(2))).json()["head"]
    moved = await client.http.post(
        f"/api/visits/{a_visit()}/sign", json=body | head | {"staff": "dentist-2"}
    )
    assert moved.status_code == 409
    assert moved.json()["type"].endswith(":head_moved")
    assert moved.json()["head"] == later
    view = (await client.get(f"/api/visits/{a_visit()}")).json()
    assert (view["signed_seq"], view["head"]["seq"]) == (1, 2)
    second = await client.http.post(f"/api/visits/{a_visit()}/sign", json=body | later)
    assert (second.status_code, second.json()["addendum"]) == (201, True)


@pytest.mark.parametrize(
    ("change", "status", "code"),
    [
        ({"staff": "assistant-1"}, 403, "role"),
        ({"staff": "lead-1"}, 403, "role"),
        ({"staff": "stranger"}, 422, "staff_unknown"),
        ({"digest": "short"}, 400, "out_of_bounds"),
        ({"seq": -1}, 400, "out_of_bounds"),
        ({"totals": []}, 400, "out_of_bounds"),
    ],
)
async def test_nobody_else_signs_and_nothing_else_is_signed(
    client: Client, change: dict[str, Any], status: int, code: str
) -> None:
    head = (await client.post_lines(a_visit(), opened(1, a_visit()))).json()["head"]
    body = {"staff": "dentist-1", "fold_version": 1, "totals": {}} | head | change
    answer = await client.http.post(f"/api/visits/{a_visit()}/sign", json=body)
    problem = answer.json()
    assert (answer.status_code, problem["type"].rsplit(":")[-1]) == (status, code)
    assert all(problem[key] for key in ("found", "expected", "where"))
    assert (await client.get(f"/api/visits/{a_visit()}")).json()["signatures"] == []


async def test_a_visit_that_nobody_wrote_to_is_not_there(client: Client) -> None:
    assert (await client.get(f"/api/visits/{a_visit()}")).status_code == 404
    body = {
        "staff": "dentist-1", "fold_version": 1, "totals": {}, "seq": 0, "digest": "0" * 64,
    }  # fmt: skip
    signed = await client.http.post(f"/api/visits/{a_visit()}/sign", json=body)
    assert signed.status_code == 404


async def test_the_clinic_lists_rooms_and_staff(client: Client) -> None:
    lists = (await client.get("/api/clinic")).json()
    assert lists["notation_default"] == "iso3950"
    assert len(lists["rooms"]) == 3
    assert {s["role"] for s in lists["staff"]} == {
        "assistant", "dentist", "lead", "administrator",
    }  # fmt: skip


async def test_a_device_makes_itself_known_once(client: Client) -> None:
    device = {"device": DEVICE, "title": "Tablet", "room": "room-1"}
    assert (await client.http.post("/api/devices", json=device)).status_code == 201
    moved = device | {"room": "room-2"}
    assert (await client.http.post("/api/devices", json=moved)).status_code == 200
    assert (await client.get("/api/devices")).json() == [moved]
    lost = await client.http.post("/api/devices", json=device | {"room": "room-9"})
    assert (lost.status_code, lost.json()["found"]) == (422, "room-9")
    wrong = await client.http.post("/api/devices", json=device | {"device": "tablet"})
    assert (wrong.status_code, wrong.json()["found"]) == (400, '"tablet"')


async def test_kits_are_served_byte_for_byte_and_kept(client: Client) -> None:
    (listed,) = (await client.get("/api/kits")).json()
    assert (listed["kit"], listed["protocol"]) == (kit_digest(a_kit()), None)
    answer = await client.get(f"/api/kits/{listed['kit']}")
    assert answer.content == kit_bytes(a_kit())
    assert "immutable" in answer.headers["cache-control"]
    assert (await client.get("/api/kits/" + "f" * 64)).status_code == 404
    assert (await client.get("/api/protocols")).json() == []


async def test_the_clock_is_the_servers_and_is_not_kept(client: Client) -> None:
    answer = await client.get("/api/clock")
    assert answer.json() == {"now_ms": START_MS}
    assert answer.headers["cache-control"] == "no-store"


async def test_the_accident_card_says_that_nobody_here_approved_it(client: Client) -> None:
    card = (await client.get("/api/cards/incident")).json()
    assert card["approved"] is False
    assert card["sources"]
    assert "not approved by this clinic" in card["notice"]
