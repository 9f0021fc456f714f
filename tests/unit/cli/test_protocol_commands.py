"""`check`, `plan` and `kit` as a person at a terminal meets them."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from canalclock.cli import main
from canalclock.cli.plan import canal_given
from canalclock.core.kit import kit_digest, read_kit
from canalclock.protocol_files import kit_for, protocols_dir, shipped_protocol

FILES = Path(__file__).parents[2] / "protocols"
GOOD = str(protocols_dir() / "mature-apex-one-visit.toml")
BAD = str(FILES / "invalid" / "unknown-keys-all-at-once.toml")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, list(arguments))


def test_check_says_nothing_was_found_and_ends_with_0() -> None:
    told = run("check", GOOD, str(protocols_dir() / "catalogue"))
    assert (told.exit_code, told.output) == (0, "2 files, 0 problems\n")


def test_check_tells_every_problem_of_every_file_and_ends_with_1() -> None:
    other = str(FILES / "invalid" / "decimal-comma.toml")
    told = run("check", BAD, GOOD, other)
    assert told.exit_code == 1
    lines = told.output.splitlines()
    assert len(lines) == 6
    assert lines[1].startswith(f"{BAD}:2: $.versoin: found 'versoin', did you mean 'version'?")
    assert lines[4].startswith(f"{other}:10: $: found a decimal comma")
    assert lines[5] == "3 files, 5 problems"


def test_check_as_json_carries_the_same_problems() -> None:
    told = json.loads(run("check", BAD, "--json").output)
    assert told["files"] == 1
    assert [p["code"] for p in told["problems"]] == [
        "missing_key", "unknown_key", "missing_key", "unknown_key",
    ]  # fmt: skip
    assert set(told["problems"][0]) == {"file", "line", "path", "code", "message"}


def test_a_file_that_cannot_be_read_ends_with_3() -> None:
    for arguments in (("check", "no-such.toml"), ("kit", "no-such.toml"),
                      ("plan", "no-such.toml", "--tooth", "16")):  # fmt: skip
        told = run(*arguments)
        assert told.exit_code == 3, told.output
        assert "no-such.toml" in told.output


def test_a_catalogue_given_along_judges_the_protocols(tmp_path: Path) -> None:
    for path in (protocols_dir() / "catalogue").iterdir():
        text = path.read_text(encoding="utf-8")
        if path.name == "irrigants.toml":
            text = text.replace("usual_high_pct_wv = 6\n", "usual_high_pct_wv = 1\n")
        (tmp_path / path.name).write_text(text, encoding="utf-8")
    told = run("check", str(tmp_path), GOOD)
    assert told.exit_code == 1
    assert "usual is 0.5 to 1 % w/v" in told.output


def test_kit_writes_the_whole_document_and_prints_its_digest(tmp_path: Path) -> None:
    to = tmp_path / "kit.json"
    told = run("kit", GOOD, "--to", str(to))
    assert told.exit_code == 0
    kit = read_kit(to.read_bytes())
    assert kit == kit_for(shipped_protocol("mature-apex-one-visit"))
    assert told.output == kit_digest(kit) + "\n"
    told = run("kit", GOOD, "--to", str(to), "--json")
    assert json.loads(told.output) == {"kit": kit_digest(kit), "file": str(to)}
    assert [p.name for p in tmp_path.iterdir()] == ["kit.json"]


def test_kit_of_a_bad_protocol_writes_nothing(tmp_path: Path) -> None:
    told = run("kit", BAD, "--to", str(tmp_path / "kit.json"))
    assert told.exit_code == 1
    assert "did you mean 'version'" in told.output
    assert list(tmp_path.iterdir()) == []


def test_plan_prints_steps_depths_volumes_and_syringes() -> None:
    told = run("plan", GOOD, "--tooth", "16", "--canal", "mb1:wl=20,size=30,taper=6,orifice=9",
               "--canal", "p", "--instruments", "2")  # fmt: skip
    assert told.exit_code == 0, told.output
    assert "chelator: irrigate, e17, 1 mL, at least 60 s in contact, limit 180 s, tip at 19 mm" in (
        told.output
    )
    assert "tip 1 mm short of working length" in told.output  # p: no working length yet
    # by hand: chamber 2, each of two canals 2 rounds x 9 (1 + 3 + 2 + 3), and 3 closing
    assert "n3: sodium_hypochlorite 3 % w/v: 44 mL, 9 syringes of 5 mL" in told.output
    assert "does not replace licensed judgement or local codes" in told.output


def test_plan_as_json_has_the_canals_and_what_to_draw_up() -> None:
    told = json.loads(run("plan", GOOD, "--tooth", "36", "--json").output)
    assert [line["site"] for line in told["plan"]["lines"]] == ["mb", "ml", "d", "chamber"]
    assert [d["solution"]["solution"] for d in told["draw_up"]] == ["n3", "e17", "gel", "w"]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--tooth", "19"), "ISO 3950"),
        (("--tooth", "16", "--canal", "mb1:taper=0.04"), "did you mean 4"),
        (("--tooth", "16", "--canal", "MB1"), "lower case"),
        (("--tooth", "16", "--canal", "mb1:wl=20mm"), "a number of mm"),
        (("--tooth", "16", "--canal", "mb1:wl=nan"), "finite"),
        (("--tooth", "16", "--canal", "mb1:depth=3"), "expected wl, orifice"),
        (("--tooth", "16", "--canal", "mb1:wl=20,wl=21"), "twice"),
        (("--tooth", "16", "--canal", "p", "--canal", "p"), "twice"),
        (("--tooth", "16", "--canal", "chamber"), "lower case"),
        (("--tooth", "16", "--canal", "p:size=5000"), "size"),
        (("--tooth", "16", "--visit", "2"), "the protocol has 1"),
        (("--tooth", "16", "--syringe-ml", "0"), "more than 0"),
        (("--tooth", "16", "--syringe-ml", "5,0"), "a number of mL"),
        ((), "--tooth"),
    ],
)
def test_plan_used_wrongly_says_what_was_expected_and_ends_with_2(
    arguments: tuple[str, ...], says: str
) -> None:
    told = run("plan", GOOD, *arguments)
    assert told.exit_code == 2, told.output
    assert says in told.output


def test_a_canal_on_the_command_line_is_bound_exactly() -> None:
    assert canal_given("mb1:wl=20.5,size=30,taper=6,orifice=9").values == {
        "working_length_um": 20_500, "apical_size": 30, "taper_um_per_mm": 60, "orifice_um": 9_000,
    }  # fmt: skip


def test_plan_sets_out_needles_separation_and_time() -> None:
    file = str(protocols_dir() / "chlorhexidine-last.toml")
    canal = "mb1:wl=20,size=35,taper=6,orifice=8"
    told = run("plan", file, "--tooth", "16", "--canal", canal, "--canal", "p", "--needle", "27")
    assert told.exit_code == 0, told.output
    assert "mb1: 5.2 µL; 1 mL is 194 of its volumes" in told.output
    assert "27 G side_vented: loose from 2.0 mm short; stop at 18 mm (2 mm short)" in told.output
    assert "30 G" not in told.output.split("Where this comes from")[0]
    assert "p: not known: working_length_um, apical_size, taper_um_per_mm" in told.output
    assert "asked 2 mL rinse then 1 removal by points" in told.output
    assert "Time, estimated" in told.output
    sheet = json.loads(run("plan", file, "--tooth", "16", "--canal", canal, "--json").output)
    assert [n["needle_gauge"] for n in sheet["set_out"]["canals"][0]["needles"]] == [27, 30]


def test_plan_refuses_a_needle_that_nobody_knows() -> None:
    told = run("plan", GOOD, "--tooth", "16", "--needle", "30:blunt")
    assert told.exit_code == 2
    assert "found '30:blunt', expected a gauge" in told.output
    told = run("plan", GOOD, "--tooth", "16", "--needle", "12")
    assert told.exit_code == 2
    assert "needle_gauge: found 12" in told.output
