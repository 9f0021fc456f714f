"""Protocol files, good and bad: every bad one gives exactly the problems beside it."""

import json
from pathlib import Path

import pytest

from canalclock.core.protocol.definition import Protocol
from canalclock.core.protocol.problems import Problem, problem_line
from canalclock.core.protocol.reading import read_catalogue, read_protocol
from canalclock.protocol_files import protocols_dir, shipped_catalogue, shipped_protocols

FILES = Path(__file__).parents[3] / "protocols"
INVALID = sorted((FILES / "invalid").glob("*.toml"))
VALID = sorted((FILES / "valid").glob("*.toml"))


def read(path: Path) -> Protocol | tuple[Problem, ...]:
    return read_protocol(path.read_bytes(), path.name, shipped_catalogue())


@pytest.mark.parametrize("path", INVALID, ids=lambda p: p.stem)
def test_a_bad_file_gives_every_problem_with_its_place(path: Path) -> None:
    expected = json.loads(path.with_suffix(".problems.json").read_text(encoding="utf-8"))
    told = read(path)
    assert isinstance(told, tuple), "the file was taken for a good one"
    shown = "\n".join(problem_line(p) for p in told)
    assert [(p.line, p.path, p.code) for p in told] == [
        (p["line"], p["path"], p["code"]) for p in expected
    ], shown
    for problem, wanted in zip(told, expected, strict=True):
        for words in wanted["says"]:
            assert words in problem.message, shown
        assert problem.file == path.name


@pytest.mark.parametrize("path", VALID, ids=lambda p: p.stem)
def test_a_good_file_has_no_problem(path: Path) -> None:
    told = read(path)
    assert isinstance(told, Protocol), told


def test_there_is_a_bad_file_for_every_code_of_a_protocol() -> None:
    seen = {
        p["code"]
        for path in INVALID
        for p in json.loads(path.with_suffix(".problems.json").read_text(encoding="utf-8"))
    }
    assert seen >= {
        "syntax", "unknown_key", "missing_key", "wrong_type", "not_a_number", "not_exact",
        "out_of_bounds", "not_one_of", "ambiguous_taper", "strength_without_basis",
        "strength_implausible", "unknown_irrigant", "unknown_solution", "unused_solution",
        "duplicate", "step_needs", "step_has_stray", "limit_below_minimum", "cycles",
        "no_instrument", "unknown_question", "missing_question", "missing_source", "not_used",
        "asks_nothing", "visits", "visit_order", "pressure", "tip_at_working_length",
        "never_in_one_barrel", "reacting_neighbours",
    }  # fmt: skip
    assert len(INVALID) >= 50


def test_bytes_that_are_no_text_are_told_with_their_line() -> None:
    told = read_protocol(b'protocol = "a"\ntitle = "\xff"\n', "x", shipped_catalogue())
    assert isinstance(told, tuple)
    assert [(p.code, p.line) for p in told] == [("not_utf8", 2)]


def test_a_huge_file_is_not_read() -> None:
    told = read_protocol(b"#" * 1_000_001, "x", shipped_catalogue())
    assert isinstance(told, tuple)
    assert [p.code for p in told] == ["too_large"]


@pytest.mark.parametrize(
    "text",
    ["a = " + "[" * 40_000 + "]" * 40_000, "a = " + "9" * 5000, "a = \x00", "a = 'x", "\r"],
    ids=["nested", "long-number", "nul", "unclosed", "bare-return"],
)
def test_what_the_reader_chokes_on_is_one_problem_of_syntax(text: str) -> None:
    told = read_protocol(text.encode(), "x", shipped_catalogue())
    assert isinstance(told, tuple)
    assert [p.code for p in told] == ["syntax"]


def test_line_ends_of_other_systems_change_no_line() -> None:
    path = FILES / "invalid" / "capital-millilitres.toml"
    data = path.read_bytes()
    told = read_protocol(data.replace(b"\n", b"\r\n"), path.name, shipped_catalogue())
    assert told == read(path)


def test_problems_come_in_the_order_of_the_lines() -> None:
    told = read(FILES / "invalid" / "unknown-keys-all-at-once.toml")
    assert isinstance(told, tuple)
    assert [p.line for p in told] == sorted(p.line for p in told)
    assert len(told) == 4


def test_at_least_six_protocols_are_shipped_each_with_its_source() -> None:
    protocols = {p.protocol: p for p in shipped_protocols()}
    assert set(protocols) >= {
        "mature-apex-one-visit", "chlorhexidine-last", "open-apex", "retreatment",
        "necrotic-two-visits", "continuous-chelation",
    }  # fmt: skip
    assert all(p.source.cite for p in protocols.values())
    assert all(path.stem in protocols for path in protocols_dir().glob("*.toml"))


def test_problems_of_three_catalogue_files_are_told_together() -> None:
    told = read_catalogue(("i", b"irrigants = 1\n"), ("p", b"pears = []\n"), ("n", b"= 3\n"))
    assert isinstance(told, tuple)
    assert [(p.file, p.code) for p in told] == [
        ("i", "wrong_type"), ("p", "missing_key"), ("p", "unknown_key"), ("n", "syntax"),
    ]  # fmt: skip
