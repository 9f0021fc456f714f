"""README and DEVELOPERS name what there is, and the files of the build keep their promises."""

import json
import re
import tomllib
from pathlib import Path

from canalclock.cli import COMMANDS
from tests.parts import task_of

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())


def name_of(requirement: str) -> str:
    found = re.match(r"[A-Za-z0-9_.-]+", requirement)
    assert found is not None
    return found.group().lower()


def reasons() -> str:
    return DEVELOPERS.split("## Dependencies, each with its reason")[1].split("\n## ")[0]


def test_every_command_of_the_command_line_is_in_the_readme() -> None:
    assert [name for name in COMMANDS if f"`canalclock {name}" not in README] == []


def test_the_readmes_test_command_is_what_continuous_integration_runs() -> None:
    blocks = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)
    (tests,) = [block for block in blocks if block.endswith("poe test")]
    script = (ROOT / ".ci/run").read_text().splitlines()
    assert script[-1] == tests


def test_every_task_is_named_for_developers() -> None:
    tasks = PYPROJECT["tool"]["poe"]["tasks"]
    chapter = DEVELOPERS.split("## Commands")[1].split("\n## ")[0]
    assert [name for name in tasks if not re.search(rf"\b{name}\b", chapter)] == []


def test_every_folder_of_tests_is_run_by_a_part_of_the_test_task() -> None:
    tasks = PYPROJECT["tool"]["poe"]["tasks"]
    parts = tasks["test"]["cmd"].split()[2:]
    commands = " ".join(str(tasks[task_of(part)]) for part in parts)
    ran = set(re.findall(r"tests/(\w+)", commands))
    folders = {path.relative_to(ROOT / "tests").parts[0] for path in python_tests()}
    assert folders - ran == set()


def python_tests() -> list[Path]:
    found = (ROOT / "tests").rglob("test_*.py")
    return [path for path in found if "node_modules" not in path.parts]


def test_every_dependency_has_a_reason() -> None:
    project = PYPROJECT["project"]
    asked = [
        *PYPROJECT["build-system"]["requires"],
        *project["dependencies"],
        *project["optional-dependencies"]["test"],
    ]
    packages = [name_of(requirement) for requirement in asked]
    for folder in ("web", "tests/browser/node"):
        package = json.loads((ROOT / folder / "package.json").read_text())
        packages += [*package["dependencies"], *package.get("devDependencies", {})]
    assert [name for name in packages if name not in reasons()] == []


def test_packages_of_npm_are_pinned_and_their_locks_name_no_host() -> None:
    for folder in ("web", "tests/browser/node"):
        package = json.loads((ROOT / folder / "package.json").read_text())
        versions = [*package["dependencies"].values(), *package.get("devDependencies", {}).values()]
        assert [
            version for version in versions if not re.fullmatch(r"\d+\.\d+\.\d+", version)
        ] == []
        lock = (ROOT / folder / "package-lock.json").read_text()
        assert '"resolved"' not in lock
        assert "://registry." not in lock


def test_the_top_level_holds_what_the_house_plan_says() -> None:
    plan = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "web", "tests", "protocols"}
    made = {"dist", "build", "node_modules"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - made == plan
