"""Planted faults: read from planted.toml, put into a copy of the sources, and judged there."""

import json
import os
import shutil
import subprocess
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import node

HERE: Final = Path(__file__).parent
ROOT: Final = HERE.parents[1]
CORES: Final = {"python": "server/canalclock/core", "typescript": "web/src/core"}
COPIED: Final = (
    "server/canalclock/__init__.py",
    "server/canalclock/core",
    "tests/vectors",
    "web/src",
    "web/test/core",
    "web/build",
    "web/package.json",
    "web/tsconfig.json",
    "web/vite.config.ts",
)


class DoesNotFit(ValueError):
    """A patch whose old line is not in its file exactly once."""


@dataclass(frozen=True)
class Patch:
    """One line of one file in place of another."""

    file: str
    old: str
    new: str


@dataclass(frozen=True)
class Fault:
    """One fault, in both languages, and what it breaks."""

    name: str
    why: str
    patches: dict[str, Patch]


def planted() -> list[Fault]:
    """The faults of planted.toml."""
    read: dict[str, Any] = tomllib.loads((HERE / "planted.toml").read_text(encoding="utf-8"))
    return [
        Fault(one["name"], one["why"], {language: Patch(**one[language]) for language in CORES})
        for one in read["fault"]
    ]


def patched(text: str, patch: Patch) -> str:
    """
    The text with the patch in it.

    Raises:
        DoesNotFit: The old line is not there exactly once, or the patch changes nothing.
    """
    found = text.count(patch.old)
    if found != 1 or patch.old == patch.new or "\n" in patch.old + patch.new:
        raise DoesNotFit(f"{patch.file}: found {found} times, expected once: {patch.old}")
    return text.replace(patch.old, patch.new)


def copy_of_the_sources(folder: Path) -> Path:
    """A copy of both cores and of what judges them, with web's packages linked."""
    for name in COPIED:
        source, target = ROOT / name, folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir():
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(source, target)
    (folder / "web/node_modules").symlink_to(ROOT / "web/node_modules")
    return folder


def failing(language: str, folder: Path) -> list[str]:
    """The vectors that fail in a copy, by one language; a core that breaks fails them all."""
    return _failing_in_python(folder) if language == "python" else _failing_in_typescript(folder)


def _failing_in_python(folder: Path) -> list[str]:
    paths = os.pathsep.join((str(folder / "server"), str(folder)))
    run = subprocess.run(
        [sys.executable, "-B", "-m", "tests.vectors.failing"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": paths},
        capture_output=True,
        text=True,
        check=False,
    )
    if run.returncode != 0:
        return [f"no answer: {run.stderr.strip().splitlines()[-1]}"]
    return [str(name) for name in json.loads(run.stdout)]


def _failing_in_typescript(folder: Path) -> list[str]:
    script = "node_modules/vitest/vitest.mjs"
    arguments = ["run", "test/core/vectors.test.ts", "--reporter=json", "--outputFile=out.json"]
    told = node.run(["node", script, *arguments], folder / "web", quiet=True)
    out = folder / "web/out.json"
    if not out.exists():
        return [f"no answer: {told.stdout[-300:]}"]
    suites = json.loads(out.read_text(encoding="utf-8"))["testResults"]
    out.unlink()
    names = [t["title"] for s in suites for t in s["assertionResults"] if t["status"] == "failed"]
    broken = [s["message"] for s in suites if s["status"] == "failed" and not s["assertionResults"]]
    return [name.removesuffix(" gives the answer worked by hand") for name in names] + broken
