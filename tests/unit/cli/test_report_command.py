"""`canalclock report` on files of events: what is written, told and returned."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from canalclock.cli.report import command
from canalclock.core.kit import kit_bytes
from tests.builders import HYPOCHLORITE, WATER, Chair, a_kit, a_visit, lines

S = 1000


def rinsed() -> Chair:
    chair = a_visit("mb", tooth="46")
    chair.delivered("mb", HYPOCHLORITE, 60 * S)
    chair.delivered("mb", WATER, 120 * S)
    return chair


class Folder:
    """A folder with events and a kit, and the command run on them."""

    def __init__(self, path: Path, content: bytes) -> None:
        self.path = path
        (path / "visit.jsonl").write_bytes(content)
        (path / "kit.json").write_bytes(kit_bytes(a_kit()))

    def run(self, to: str, *more: str) -> Result:
        given = ["--events", str(self.path / "visit.jsonl"), "--kit", str(self.path / "kit.json")]
        target = to if to == "-" else str(self.path / to)
        return CliRunner().invoke(command, [*given, "--to", target, *more])

    def document(self, *more: str) -> dict[str, Any]:
        ran = self.run("out.json", *more)
        assert ran.exit_code in (0, 1), ran.output
        document: dict[str, Any] = json.loads((self.path / "out.json").read_bytes())
        return document


def test_a_file_of_events_becomes_a_report(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    assert folder.run("out.json").exit_code == 0
    told = folder.document()
    hypochlorite = told["totals"]["headlines"][0]
    assert (hypochlorite["irrigant"], hypochlorite["anywhere_ms"]) == (
        "sodium_hypochlorite",
        60_000,
    )
    assert told["as_of_ms"] == 120 * S


def test_the_same_command_writes_the_same_bytes(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    folder.run("a.json")
    folder.run("b.json")
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()


def test_an_instant_may_be_asked_for_with_its_zone(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    assert folder.document("--as-of", "1970-01-01T01:01:30+01:00")["as_of_ms"] == 90 * S
    refused = folder.run("out.json", "--as-of", "1970-01-01T00:01:30")
    assert refused.exit_code == 2
    assert "without a zone" in refused.output


def test_bad_lines_are_told_with_their_numbers_and_the_good_ones_are_used(tmp_path: Path) -> None:
    good = lines(rinsed().events).splitlines()
    folder = Folder(tmp_path, b"\n".join([good[0], b'{"volume_ml": 2,5}', *good[1:]]))
    ran = folder.run("out.json")
    assert ran.exit_code == 1
    assert "visit.jsonl, line 2: The line is not JSON. Found " in ran.stderr
    told = folder.document()
    assert [b["line"] for b in told["bad_lines"]] == [2]
    assert len(told["events"]) == 4
    assert told["may_be_incomplete"]


def test_a_file_without_one_event_writes_nothing(tmp_path: Path) -> None:
    folder = Folder(tmp_path, b"nothing\n")
    ran = folder.run("out.json")
    assert ran.exit_code == 3
    assert "found no event" in ran.stderr
    assert not (tmp_path / "out.json").exists()


def test_the_screen_gets_json_and_nothing_else(tmp_path: Path) -> None:
    ran = Folder(tmp_path, lines(rinsed().events)).run("-")
    assert json.loads(ran.stdout)["foot"]["entries"] == 4
    assert "it was read by the kit" in ran.stderr


def test_a_table_is_written_in_the_zone_asked_for(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    assert folder.run("out.csv", "--zone", "Asia/Tokyo").exit_code == 0
    text = (tmp_path / "out.csv").read_bytes().decode()
    first = next(csv.DictReader(io.StringIO(text, newline="")))
    assert first["opened_at"] == "1970-01-01T09:00:00+09:00"
    assert folder.run("out.csv", "--zone", "Nowhere").exit_code == 2


@pytest.mark.parametrize("to", ["out.pdf", "out", "out.json.txt"])
def test_a_form_that_is_not_there_is_refused_by_name(tmp_path: Path, to: str) -> None:
    ran = Folder(tmp_path, lines(rinsed().events)).run(to)
    assert ran.exit_code == 2
    assert "expected a name that ends in .json or .csv" in ran.output
    assert not (tmp_path / to).exists()


def test_a_kit_that_is_none_is_refused_with_its_path(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    (tmp_path / "kit.json").write_bytes(b'{"format": 1}')
    ran = folder.run("out.json")
    assert ran.exit_code == 3
    assert "kit.json: found " in ran.stderr and "expected a kit" in ran.stderr


def test_an_earlier_file_stays_whole_when_the_new_one_cannot_be_written(tmp_path: Path) -> None:
    folder = Folder(tmp_path, lines(rinsed().events))
    (tmp_path / "out.json").mkdir()
    ran = folder.run("out.json")
    assert ran.exit_code == 3
    assert sorted(p.name for p in tmp_path.iterdir()) == ["kit.json", "out.json", "visit.jsonl"]


@pytest.mark.parametrize(
    "given",
    [[], ["--events", "a.jsonl"], ["--kit", "k.json"], ["visit", "--events", "a", "--kit", "k"]],
)
def test_half_of_what_is_needed_is_used_wrongly(given: list[str]) -> None:
    ran = CliRunner().invoke(command, [*given, "--to", "-"])
    assert ran.exit_code == 2
    assert "give" in ran.output.lower()


def test_the_strength_as_it_probably_was_comes_only_when_asked_for(tmp_path: Path) -> None:
    chair = a_visit("mb", tooth="46")
    chair.log("syringe_prepared", 1, syringe="n", contents=HYPOCHLORITE)
    chair.delivered("mb", HYPOCHLORITE, 60 * S, syringe="n", contents=None)
    folder = Folder(tmp_path, lines(chair.events))
    assert folder.document()["strength_left"] is None
    (row,) = folder.document("--with-storage", "--stock-days", "60", "--celsius", "30")[
        "strength_left"
    ]
    assert (row["stock_days"], row["celsius"], row["labelled_mg_per_l"]) == (60, 30, 30_000)
    assert row["low_pct_wv"] < row["remaining_pct_wv"] < 3
    refused = folder.run("out.json", "--stock-days", "60")
    assert refused.exit_code == 2
    assert "--with-storage" in refused.output
