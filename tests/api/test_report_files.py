"""Reports and audits as files: names, tables, the commands that write them beside the service."""

import asyncio
import csv
import io
import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from canalclock.cli.audit import command as audit_command
from canalclock.cli.report import command as report_command
from canalclock.core.kit import kit_digest
from tests.api.conftest import START_MS, Client, a_kit
from tests.contract.lines import a_line, a_visit

HOSTILE = 'Łukasz O’Neil 李/../x "\u0085Set-Cookie: a=b;'


def opened(label: str = "L") -> bytes:
    return a_line(
        1, "visit_opened", course="c", tooth="46", label=label, room="room-1",
        kit=kit_digest(a_kit()), canals=["mb"], occurred_at_ms=START_MS,
    )  # fmt: skip


def delivered(number: int, at_ms: int, **more: Any) -> bytes:
    payload: dict[str, Any] = {
        "site": "mb", "how": "read", "volume_ul": 1000, "duration_ms": 10_000,
        "occurred_at_ms": START_MS + at_ms,
        "contents": [{"irrigant": "sodium_hypochlorite", "concentration_mg_per_l": 30_000}],
    }  # fmt: skip
    return a_line(number, "irrigant_delivered", **(payload | more))


def table(content: bytes) -> list[dict[str, str]]:
    lines = list(csv.reader(io.StringIO(content.decode(), newline=""), strict=True))
    assert len({len(line) for line in lines}) == 1
    return [dict(zip(lines[0], line, strict=True)) for line in lines[1:]]


async def test_a_files_name_holds_no_text_of_a_patient(client: Client) -> None:
    await client.post_lines(a_visit(), opened(HOSTILE), delivered(2, 20_000))
    for form in ("csv", "json"):
        answer = await client.get(f"/api/visits/{a_visit()}/report.{form}")
        assert answer.status_code == 200
        name = answer.headers["content-disposition"].split("; ")[1]
        assert name == f'filename="canalclock-{a_visit()}.{form}"'
        assert name.isascii()
    csv_rows = table((await client.get(f"/api/visits/{a_visit()}/report.csv")).content)
    assert {row["label"] for row in csv_rows} == {HOSTILE}


async def test_a_table_ends_with_what_it_counted(client: Client) -> None:
    head = (
        await client.post_lines(
            a_visit(), opened(), *(delivered(n, n * 20_000) for n in range(2, 103))
        )
    ).json()["head"]
    *rows, end = table((await client.get(f"/api/visits/{a_visit()}/report.csv")).content)
    assert end["row"] == "end"
    assert (end["entries"], end["last_seq"], end["digest"]) == ("102", "102", head["digest"])
    (tooth,) = [r for r in rows if r["row"] == "tooth"]
    assert tooth["volume_ml"] == "101"


async def test_the_audits_table_and_its_list_say_the_same(client: Client) -> None:
    await client.post_lines(a_visit(), opened("=cmd"), delivered(2, 20_000))
    client.clock.at_ms = START_MS + 70_000
    view = (await client.get("/api/audit")).json()
    *rows, end = table((await client.get("/api/audit.csv")).content)
    assert [(r["canal"], r["irrigant"]) for r in rows] == [
        (r["canal"], r["irrigant"]) for r in view["rows"]
    ]
    assert (rows[0]["contact_s"], view["rows"][0]["had"]["anywhere_ms"]) == ("60", 60_000)
    assert rows[0]["label"] == "'=cmd"
    assert (end["row"], end["records"], end["visits"], end["stale_visits"]) == (
        "end", "1", "1", "0",
    )  # fmt: skip


async def test_the_audit_keeps_to_its_period_and_room(client: Client) -> None:
    await client.post_lines(a_visit(), opened(), delivered(2, 20_000))
    for query, count in (
        (f"from_ms={START_MS}", 1), (f"from_ms={START_MS + 1}", 0), (f"to_ms={START_MS}", 0),
        (f"to_ms={START_MS + 1}", 1), ("room=room-2", 0), ("protocol=none-such", 0),
    ):  # fmt: skip
        assert len((await client.get(f"/api/audit?{query}")).json()["rows"]) == count, query
    assert (await client.get("/api/audit?from_ms=x")).status_code == 400


async def test_an_open_visits_row_grows_with_time_and_a_closed_ones_does_not(
    client: Client,
) -> None:
    await client.post_lines(a_visit(), opened(), delivered(2, 20_000))

    async def contact_ms() -> int:
        row = (await client.get("/api/audit")).json()["rows"][0]
        return int(row["had"]["anywhere_ms"])

    client.clock.at_ms = START_MS + 60_000
    assert await contact_ms() == 50_000
    client.clock.at_ms = START_MS + 100_000
    assert await contact_ms() == 90_000
    await client.post_lines(a_visit(), a_line(3, "visit_closed", occurred_at_ms=START_MS + 100_000))
    assert await contact_ms() == 10_000
    client.clock.at_ms = START_MS + 900_000
    assert await contact_ms() == 10_000


async def test_a_clock_a_day_wrong_is_recorded_and_flagged(client: Client) -> None:
    await client.post_lines(a_visit(), opened(), delivered(2, 86_400_000))
    told = (await client.get(f"/api/visits/{a_visit()}/report.json")).json()
    (finding,) = [f for f in told["findings"] if f["rule"] == "device_clock_off"]
    assert len(finding["events"]) == 1
    assert told["totals"]["tooth"][0]["volume_ul"] == 1000


async def test_the_doors_are_described(client: Client) -> None:
    paths = (await client.get("/api/openapi.json")).json()["paths"]
    report = paths["/api/visits/{visit}/report.json"]["get"]["responses"]["200"]
    assert report["content"]["application/json"]["schema"]
    assert {"/api/visits/{visit}/report.csv", "/api/audit", "/api/audit.csv"} <= set(paths)


async def test_the_commands_read_the_ledger_beside_the_service(
    client: Client, tmp_path: Path
) -> None:
    await client.post_lines(
        a_visit(), opened(), delivered(2, 20_000),
        a_line(3, "visit_closed", occurred_at_ms=START_MS + 100_000),
    )  # fmt: skip
    served = (await client.get(f"/api/visits/{a_visit()}/report.json")).content
    data, out = str(tmp_path / "data"), tmp_path / "out.json"

    def commands() -> None:
        ran = CliRunner().invoke(report_command, [a_visit(), "--data", data, "--to", str(out)])
        assert ran.exit_code == 0, ran.output
        listed = CliRunner().invoke(audit_command, ["--data", data, "--json"])
        assert [r["canal"] for r in json.loads(listed.stdout)["rows"]] == ["mb"]
        shown = CliRunner().invoke(audit_command, ["--data", data])
        assert "sodium_hypochlorite" in shown.stdout and "1 visit, 1 row" in shown.stdout
        none = CliRunner().invoke(report_command, ["nobody", "--data", data, "--to", "-"])
        assert none.exit_code == 3 and "found no visit 'nobody'" in none.stderr

    await asyncio.to_thread(commands)
    assert out.read_bytes() == served
