"""The report of a visit and the audit of a period, over HTTP."""

from pathlib import Path

import httpx
import msgspec
import pytest

from canalclock.api import report_doors, reports
from canalclock.api.visit_rows import Asked
from canalclock.app import create_app, running
from canalclock.core.kit import kit_digest
from canalclock.core.record.fold import fold
from canalclock.core.record.totals import totals
from canalclock.demo import post
from canalclock.demo.clinic import CLINIC
from canalclock.demo.post import post_demo
from canalclock.intake import Taken
from canalclock.settings import Settings
from tests.api.conftest import START_MS, Client, Clock, a_kit
from tests.api.test_demo import kits, visits
from tests.contract.lines import DEVICE, KIT, a_line, a_visit, an_id

DELIVERED = {
    "occurred_at_ms": START_MS + 20_000, "site": "mb", "how": "read", "volume_ul": 1000,
    "duration_ms": 10_000,
    "contents": [{"irrigant": "sodium_hypochlorite", "concentration_mg_per_l": 30_000}],
}  # fmt: skip


def opened(visit: str = a_visit(), kit: str | None = None, training: bool = False) -> bytes:
    return a_line(
        1, "visit_opened", visit=visit, course="c", tooth="46", label="L", room="room-1",
        kit=kit or kit_digest(a_kit()), canals=["mb"], training=training,
    )  # fmt: skip


async def report(client: Client, query: str = "") -> httpx.Response:
    return await client.get(f"/api/visits/{a_visit()}/report.json{query}")


async def test_a_report_counts_what_its_entries_say(client: Client) -> None:
    line = a_line(2, "irrigant_delivered", **DELIVERED)
    at = START_MS + 60_002
    removed = a_line(3, "irrigant_removed", site="mb", by="points", occurred_at_ms=at)
    await client.post_lines(a_visit(), opened(), line, removed)
    answer = await report(client)
    assert answer.status_code == 200
    told = answer.json()
    (headline,) = told["totals"]["headlines"]
    assert (headline["site"], headline["irrigant"]) == ("mb", "sodium_hypochlorite")
    assert headline["anywhere_ms"] == 60_002 - 20_000 + 10_000
    assert told["totals"]["tooth"][0]["passed_ng"] == 1000 * 30_000
    assert [e["seq"] for e in told["events"]] == [1, 2, 3]
    assert line in answer.content


async def test_a_report_speaks_as_of_an_instant(client: Client) -> None:
    line = a_line(2, "irrigant_delivered", **DELIVERED)
    await client.post_lines(a_visit(), opened(), line)
    at = START_MS + 20_000 + 5000
    told = (await report(client, f"?as_of_ms={at}")).json()
    assert told["as_of_ms"] == at
    assert told["totals"]["headlines"][0]["anywhere_ms"] == 15_000
    assert (await report(client, "?as_of_ms=-1")).status_code == 400


async def test_what_another_version_took_is_listed_as_unread(client: Client) -> None:
    await client.post_lines(a_visit(), opened())
    line = a_line(2, "irrigant_delivered", **(DELIVERED | {"how": "weighed"}))
    taken = Taken(
        id=an_id(2), kind="irrigant_delivered", device=DEVICE, device_seq=2, line=line
    )  # fmt: skip
    await client.running.service.ledger.append(a_visit(), [taken], START_MS)
    told = (await report(client)).json()
    assert [u["id"] for u in told["unread"]] == [an_id(2)]
    assert "unread" in [f["rule"] for f in told["findings"]]
    assert told["may_be_incomplete"]


async def test_the_same_entries_and_instant_give_the_same_bytes(client: Client) -> None:
    await client.post_lines(a_visit(), opened(), a_line(2, "irrigant_delivered", **DELIVERED))
    first = await report(client, f"?as_of_ms={START_MS + 29_000}")
    client.running.service.reports._folded.clear()
    again = await report(client, f"?as_of_ms={START_MS + 29_000}")
    assert first.content == again.content


async def test_a_new_entry_is_heard_although_the_record_was_kept(client: Client) -> None:
    await client.post_lines(a_visit(), opened())
    assert (await report(client)).json()["totals"]["tooth"] == []
    await client.post_lines(a_visit(), a_line(2, "irrigant_delivered", **DELIVERED))
    assert (await report(client)).json()["totals"]["tooth"][0]["volume_ul"] == 1000


async def test_gaps_and_signatures_stand_in_the_report(client: Client) -> None:
    head = (await client.post_lines(a_visit(), opened(), a_line(5))).json()["head"]
    body = {"staff": "dentist-1", "fold_version": 1, "totals": {"shown": 1}, **head}
    await client.http.post(f"/api/visits/{a_visit()}/sign", json=body)
    told = (await report(client)).json()
    assert [(g["first"], g["last"]) for g in told["gaps"]] == [(2, 4)]
    assert told["may_be_incomplete"]
    assert told["signatures"][0]["totals"] == {"shown": 1}


async def test_a_visit_whose_opening_is_missing_is_read_without_a_protocol(
    client: Client,
) -> None:
    await client.post_lines(a_visit(), a_line(2, "irrigant_delivered", **DELIVERED))
    told = (await report(client)).json()
    assert told["kit"]["pinned"] is None
    assert told["may_be_incomplete"]
    assert told["totals"]["tooth"][0]["volume_ul"] == 1000


async def test_a_visit_with_a_kit_that_nobody_has_is_not_guessed_at(client: Client) -> None:
    await client.post_lines(a_visit(), opened(kit=KIT))
    answer = await report(client)
    assert answer.status_code == 409
    assert KIT in answer.json()["found"]
    audit = (await client.get("/api/audit")).json()
    assert (audit["rows"], audit["unreadable"]) == ([], [a_visit()])


async def test_no_report_of_a_visit_that_is_not_there(client: Client) -> None:
    assert (await report(client)).status_code == 404
    assert (await client.get("/api/visits/x/report.json")).status_code == 400


async def test_an_audit_puts_each_canal_beside_what_was_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report_doors, "BUDGET_S", 600.0)  # however busy the machine is
    monkeypatch.setattr(post, "played", lambda _: tuple(visits().values()))
    settings, clock = Settings(data=tmp_path), Clock()
    async with running(settings, clock, list(kits().values()), CLINIC) as service:
        app = create_app(service.service, settings)
        await post_demo(app, kits(), clock)
        client = Client(app, service, clock)
        audit = (await client.get("/api/audit?protocol=mature-apex-one-visit")).json()
        room = (await client.get("/api/audit?room=room-3")).json()
        day = 86_400_000
        old = (await client.get(f"/api/audit?to_ms={START_MS - 5 * day}")).json()
        await client.http.aclose()
    assert {r["tooth"] for r in audit["rows"]} == {"14", "16"}
    assert {r["tooth"] for r in room["rows"]} == {"46"}
    assert {(r["tooth"], r["signed"]) for r in old["rows"]} == {("36", True)}
    row = next(
        r
        for r in audit["rows"]
        if (r["tooth"], r["canal"], r["irrigant"]) == ("14", "b", "sodium_hypochlorite")
    )
    chair = visits()["premolar"].chair
    figures = totals(fold(chair.kit, chair._read), chair.now_ms)
    headline = next(
        h for h in figures.headlines if (h.site, h.irrigant) == ("b", "sodium_hypochlorite")
    )
    assert row["had"]["anywhere_ms"] == headline.anywhere_ms
    assert row["had"]["last_3mm_least_ms"] == headline.last_3mm_least_ms
    assert row["asked"]["contact_ms"] == 1_200_000
    assert row["signed"]


async def test_an_open_visits_row_is_computed_again_as_time_goes_on(client: Client) -> None:
    await client.post_lines(a_visit(), opened(), a_line(2, "irrigant_delivered", **DELIVERED))
    asked = Asked()
    seen = []
    for at_ms in (0, reports.OPEN_FOR_MS - 1, reports.OPEN_FOR_MS):
        view = await client.running.service.reports.audit(asked, START_MS + 30_000 + at_ms)
        seen.append(view.rows[0].had.anywhere_ms)
    assert seen == [20_000, 20_000, 50_000]


async def test_an_audit_says_how_many_visits_it_has_not_read_yet(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    await client.post_lines(a_visit(), opened(), a_line(2, "irrigant_delivered", **DELIVERED))
    monkeypatch.setattr(report_doors, "BUDGET_S", -1.0)
    assert (await client.get("/api/audit")).json()["stale"] == 1
    monkeypatch.setattr(report_doors, "BUDGET_S", 2.0)
    assert (await client.get("/api/audit")).json()["stale"] == 0
    monkeypatch.setattr(report_doors, "BUDGET_S", -1.0)
    kept = (await client.get("/api/audit")).json()
    assert (kept["stale"], len(kept["rows"])) == (0, 1)
    await client.post_lines(a_visit(), a_line(3))
    again = (await client.get("/api/audit")).json()
    assert (again["stale"], [r["stale"] for r in again["rows"]]) == (1, [True])


async def test_no_more_records_are_kept_than_there_is_room_for(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reports, "KEPT", 2)
    for n in range(1, 5):
        line = a_line(
            n, "visit_opened", visit=a_visit(n), course="c", tooth="46", label="L", room="room-1",
            kit=kit_digest(a_kit()),
        )  # fmt: skip
        await client.post_lines(a_visit(n), line)
        assert (await client.get(f"/api/visits/{a_visit(n)}/report.json")).status_code == 200
    assert len(client.running.service.reports._folded) == 2


async def test_the_same_figures_leave_as_tables(client: Client) -> None:
    await client.post_lines(a_visit(), opened(), a_line(2, "irrigant_delivered", **DELIVERED))
    for path in (f"/api/visits/{a_visit()}/report.csv", "/api/audit.csv"):
        answer = await client.get(path)
        assert answer.status_code == 200
        assert answer.headers["content-type"].startswith("text/csv")
        assert "sodium_hypochlorite" in answer.text
        assert "attachment" in answer.headers["content-disposition"]


def test_the_played_visits_read_back_as_they_were_said() -> None:
    for visit in visits().values():
        lines = visit.chair.lines(START_MS)
        events = [msgspec.json.decode(line) for line in lines]
        assert events[0]["occurred_at_ms"] == START_MS
        assert len({e["id"] for e in events}) == len(events)
