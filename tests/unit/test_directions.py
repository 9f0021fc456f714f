"""Imports point one way: the house as DEVELOPERS.md draws it, held against the code."""

import re
from collections.abc import Iterator
from itertools import takewhile
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2]
CORE = HOUSE / "server" / "canalclock" / "core"
SERVER = CORE.parent
WEB = HOUSE / "web" / "src"

PYTHON = re.compile(r"^\s*from canalclock(?:\.([\w.]+))? import", re.MULTILINE)
SCRIPT = re.compile(r"""^(?:import|export)[^;]*? from ["'](\.[^"']+)["']""", re.MULTILINE)


def floors(first_word: str) -> list[set[str]]:
    """The rooms of a drawing in DEVELOPERS.md, the leftmost floor first."""
    lines = (HOUSE / "DEVELOPERS.md").read_text().splitlines()
    start = next(n for n, x in enumerate(lines) if x.startswith(first_word) and " <- " in x)
    drawn = [lines[start], *takewhile(lambda x: x.startswith("    <- "), lines[start + 1 :])]
    text = " ".join(line.strip().split("   ")[0] for line in drawn)
    return [{room.strip() for room in floor.split(",")} for floor in text.split(" <- ")]


def floor_of(house: list[set[str]], room: str) -> int:
    found = [n for n, floor in enumerate(house) if room in floor]
    assert found, f"{room} stands nowhere in DEVELOPERS.md"
    return found[0]


def python_imports(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """Each file below a folder, and what it imports of the package."""
    for file in sorted(folder.rglob("*.py")):
        yield str(file.relative_to(folder)), PYTHON.findall(file.read_text())


def test_a_room_of_the_core_imports_from_rooms_to_its_left() -> None:
    house = floors("quantities")
    for file, modules in python_imports(CORE):
        room = Path(file).parts[0].removesuffix(".py")
        if room == "__init__":
            continue
        for module in modules:
            assert module.startswith("core."), f"core/{file} imports {module}"
            other = module.split(".")[1]
            if other != room:
                assert floor_of(house, other) < floor_of(house, room), f"{file} imports {other}"


def test_a_room_of_the_server_imports_from_rooms_to_its_left() -> None:
    house = floors("core")
    for file, modules in python_imports(SERVER):
        room = Path(file).parts[0].removesuffix(".py")
        if room in ("core", "__init__", "__main__"):
            continue
        for module in modules:
            other = module.split(".")[0]
            if other not in (room, ""):
                assert floor_of(house, other) < floor_of(house, room), f"{file} imports {other}"


@pytest.mark.parametrize("file", sorted(WEB.rglob("*.ts*")), ids=lambda f: str(f.name))
def test_a_room_of_the_web_app_imports_from_rooms_to_its_left(file: Path) -> None:
    house = floors("wire")
    room = file.relative_to(WEB).parts[0].split(".")[0]
    for target in SCRIPT.findall(file.read_text()):
        other = (file.parent / target).resolve().relative_to(WEB).parts[0].split(".")[0]
        if other != room:
            assert floor_of(house, other) < floor_of(house, room), f"{file} imports {other}"


def test_the_patterns_see_imports() -> None:
    assert sum(len(modules) for _, modules in python_imports(SERVER)) > 300
    assert sum(len(SCRIPT.findall(f.read_text())) for f in WEB.rglob("*.ts*")) > 300
