"""Node and npm by the wheel's own files."""

import json
from pathlib import Path

import pytest

import node


def a_folder(place: Path) -> Path:
    (place / "package.json").write_text(json.dumps({"name": "x", "private": True}))
    (place / "package-lock.json").write_text(
        json.dumps({"name": "x", "lockfileVersion": 3, "packages": {"": {"name": "x"}}})
    )
    return place


def test_npm_is_started_by_its_script_and_not_by_the_wheels_broken_link(tmp_path: Path) -> None:
    words = node.command_line(["npm", "ci"], tmp_path)
    assert words[0] == str(node.node_program(tmp_path))
    assert words[1].endswith("npm-cli.js")
    assert words[2:] == ["ci"]


def test_another_program_is_refused() -> None:
    with pytest.raises(ValueError, match="found 'yarn', expected npm or node"):
        node.command_line(["yarn"], Path())


def test_the_wheels_node_comes_first_on_path() -> None:
    home = node.node_home()
    assert node.surroundings(home)["PATH"].startswith(str(node.node_program(home).parent))


def test_node_is_the_release_that_was_asked_for() -> None:
    done = node.run(["node", "--version"], node.ROOT, quiet=True)
    assert done.stdout.startswith("v24.")


def test_packages_are_current_until_the_lock_changes(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    (folder / "node_modules").mkdir()
    assert not node.packages_current(folder)
    assert node.install_packages(folder, quiet=True).returncode == 0
    assert node.packages_current(folder)
    lock = folder / "package-lock.json"
    lock.write_text(lock.read_text() + "\n")
    assert not node.packages_current(folder)


def test_what_a_build_needs_is_not_enough_for_the_tests(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    (folder / "node_modules").mkdir()
    assert node.install_packages(folder, build_only=True, quiet=True).returncode == 0
    assert node.packages_current(folder, build_only=True)
    assert not node.packages_current(folder)
