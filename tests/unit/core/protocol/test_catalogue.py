"""The shipped catalogue against the evidence it is made from, and catalogues that clash."""

from collections.abc import Callable

import pytest

from canalclock.core.protocol.definition import Catalogue
from canalclock.core.protocol.problems import Problem
from canalclock.core.protocol.reading import read_catalogue
from canalclock.protocol_files import CATALOGUE_FILES, protocols_dir, shipped_catalogue

AGENTS = (
    "sodium_hypochlorite", "edta", "citric_acid", "etidronate", "chlorhexidine",
    "hydrogen_peroxide", "ethanol", "isopropanol", "peracetic_acid", "povidone_iodine",
    "iodine_potassium_iodide", "calcium_hydroxide", "saline", "water",
)  # fmt: skip
MATRIX = """
naocl   . C R K D D C C R R R K K K
edta    R . C K R K C C C C C R K K
citric  R C . K K K K K K K K R K K
hedp    K K K . R K C C C C C C K K
chx     D R K R . C C K C C R R C K
h2o2    D K K K C . C C K C D R K K
ethanol C C K C C C . K C K K K K K
ipa     C C K C K C K . C K K K K K
paa     R C K C C K C C . C R C K K
pvpi    R C K C C C K K C . K C K K
iki     R C K C R D K K R K . K K K
caoh2   K K K C R R K K C C K . K K
saline  K K K K C K K K K K K K . K
water   K K K K K K K K K K K K K .
"""
"""Levels of the evidence table, first agent by row, second by column: K ok, C caution, R rinse,
D rinse and dry."""
LETTERS = {"K": "ok", "C": "mild", "R": "rinse", "D": "rinse_dry"}


def evidence() -> dict[tuple[str, str], str]:
    rows = [line.split()[1:] for line in MATRIX.strip().split("\n")]
    return {
        (first, second): LETTERS[letter]
        for first, row in zip(AGENTS, rows, strict=True)
        for second, letter in zip(AGENTS, row, strict=True)
        if letter != "."
    }


def changed(file: str, change: Callable[[str], str]) -> Catalogue | tuple[Problem, ...]:
    """The shipped catalogue with one of its files changed."""
    named = []
    for name in CATALOGUE_FILES:
        text = (protocols_dir() / "catalogue" / name).read_text(encoding="utf-8")
        if name == file:
            assert change(text) != text
            text = change(text)
        named.append((name, text.encode()))
    return read_catalogue(named[0], named[1], named[2])


def problem(file: str, old: str, new: str) -> Problem:
    """The one problem that a change brings."""
    told = changed(file, lambda text: text.replace(old, new, 1))
    assert isinstance(told, tuple), "the change went unnoticed"
    assert len(told) == 1, told
    return told[0]


def test_all_182_levels_are_those_of_the_evidence_table() -> None:
    expected = evidence()
    assert len(expected) == 182
    told = {(p.first, p.second): p.level for p in shipped_catalogue().pairs}
    assert {k: told[k] for k in expected} == expected


def test_what_a_level_asks_is_what_separates() -> None:
    asked = {"ok": (0, 0), "mild": (1000, 0), "rinse": (2000, 0), "rinse_dry": (2000, 1)}
    for pair in shipped_catalogue().pairs:
        assert (pair.rinse_ul, pair.removals) == asked[pair.level], pair


def test_a_chelator_carried_by_files_is_milder_to_hypochlorite() -> None:
    shaping = {(p.first, p.second): p.shaping_level for p in shipped_catalogue().pairs}
    softer = {k for k, level in shaping.items() if level is not None}
    assert softer == {("edta", "sodium_hypochlorite"), ("citric_acid", "sodium_hypochlorite")}


def test_every_pair_says_what_it_rests_on() -> None:
    for pair in shipped_catalogue().pairs:
        assert pair.source
        if pair.basis == "reasoned":
            assert pair.source.startswith("reasoned"), pair
        else:
            assert "no published data" not in pair.source, pair
    found = {frozenset((p.first, p.second)) for p in shipped_catalogue().pairs
             if p.basis == "found" and p.first in AGENTS and p.second in AGENTS}  # fmt: skip
    assert len(found) == 13


def test_water_may_follow_and_precede_every_agent_but_the_unknown() -> None:
    levels = {(p.first, p.second): p.level for p in shipped_catalogue().pairs}
    for i in shipped_catalogue().irrigants:
        if i.irrigant == i.reacts_as and i.irrigant not in ("water", "unknown"):
            assert levels[i.irrigant, "water"] == levels["water", i.irrigant] == "ok"


def test_hypochlorite_has_its_cautions_and_none_calls_anything_safe() -> None:
    entries = {i.irrigant: i for i in shipped_catalogue().irrigants}
    words = " ".join(entries["sodium_hypochlorite"].cautions).lower()
    for needed in ("isolation", "bind", "short of working length", "accident", "labelled"):
        assert needed in words
    everything = " ".join(c for i in entries.values() for c in i.cautions).lower()
    assert "safe" not in everything


def test_gels_and_pastes_react_as_their_agent() -> None:
    entries = {i.irrigant: i for i in shipped_catalogue().irrigants}
    assert entries["edta_gel"].reacts_as == "edta"
    assert entries["chlorhexidine_gel"].reacts_as == "chlorhexidine"
    assert entries["calcium_hydroxide_paste"].reacts_as == "calcium_hydroxide"
    assert entries["edta_gel"].viscous and not entries["edta"].viscous
    assert {i.kind for i in entries.values()} >= {"solvent", "anaesthetic", "dressing", "unknown"}


def test_letters_and_looks_of_the_design() -> None:
    look = {i.irrigant: (i.letter, i.pattern, i.hue) for i in shipped_catalogue().irrigants}
    assert look["sodium_hypochlorite"] == ("N", "diagonal", "#0072b2")
    assert look["edta"] == ("E", "dots", "#e69f00")
    assert look["chlorhexidine"] == ("C", "crosses", "#cc79a7")
    assert look["citric_acid"] == ("A", "waves", "#009e73")
    assert look["etidronate"] == ("H", "dashes", "#d55e00")
    assert look["water"][:2] == ("W", "plain")
    assert look["saline"][:2] == ("S", "border")
    assert look["unknown"][:2] == ("?", "checker")


def test_needles_by_their_largest_diameter() -> None:
    outer = {n.needle_gauge: n.outer_max_um for n in shipped_catalogue().needles}
    assert (outer[25], outer[27], outer[30], outer[31]) == (530, 420, 320, 267)
    reach = shipped_catalogue().reach
    assert {t.open_ended: t.reach_um for t in reach.tips} == {True: 2000, False: 1000}
    assert (reach.chamber_reach_um, reach.renew_within_ms, reach.clearance_um) == (3000, 120000, 50)
    assert [a.activation for a in reach.activations if a.draws_chamber] == ["negative_pressure"]


@pytest.mark.parametrize(
    ("file", "old", "new", "code", "says"),
    [
        ("irrigants.toml", 'letter = "E"', 'letter = "N"', "letter_clash", "sodium_hypochlorite"),
        ("irrigants.toml", 'pattern = "dots"\nhue = "#e69f00"',
         'pattern = "diagonal"\nhue = "#0072b2"', "look_clash", "sodium_hypochlorite"),
        ("irrigants.toml", 'reacts_as = "unknown"', 'reacts_as = "water"', "unknown_tamed",
         "everything"),
        ("pairs.toml", 'first = "sodium_hypochlorite"', 'first = "sodium_hypochlorid"',
         "unknown_irrigant", "sodium_hypochlorite"),
        ("pairs.toml", 'second = "citric_acid"', 'second = "edta"', "duplicate", "edta"),
        ("pairs.toml", "rinse_ml = 2", "rinse_ml = 0", "separation", "more than 0"),
        ("pairs.toml", "removals = 1", "removals = 0", "separation", "1 or more"),
        ("needles.toml", "needle_gauge = 22", "needle_gauge = 21", "duplicate", "21"),
        ("needles.toml", "outer_nominal_mm = 0.819", "outer_nominal_mm = 0.9", "out_of_order", ""),
    ],
)  # fmt: skip
def test_a_clash_is_refused(file: str, old: str, new: str, code: str, says: str) -> None:
    told = problem(file, old, new)
    assert (told.file, told.code) == (file, code)
    assert says in told.message
