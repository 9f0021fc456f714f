"""Copies of the checkout to build from, and the builds themselves.

A copy holds what git would hold (no built app, no packages of npm), so that a build in it starts
from nothing. Builds run without isolation: the environment of the tests has hatchling and Node
already, and the isolated way is the one by which that environment was made.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

LEFT_OUT = shutil.ignore_patterns(
    "node_modules", "unpacked", "unpacking-*", "__pycache__", ".*_cache", "*.egg-info"
)


def a_bare_copy(folder: Path) -> Path:
    """The checkout as a clone would have it, in a new folder."""
    folder.mkdir(parents=True)
    for name in ("README.md", "DEVELOPERS.md", "pyproject.toml", ".gitignore"):
        shutil.copy(ROOT / name, folder / name)
    for name in ("server", "web", "protocols", "tests"):
        shutil.copytree(ROOT / name, folder / name, ignore=LEFT_OUT)
    shutil.rmtree(folder / "server" / "canalclock" / "web", ignore_errors=True)
    return folder


def build(
    source: Path, target: str, into: Path, surroundings: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """
    Build with hatchling in this environment.

    Args:
        source: A folder with pyproject.toml.
        target: `wheel` or `sdist`.
        into: Where the result is put.
        surroundings: Environment variables to set beside this process's own.
    """
    return subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", target, "--directory", str(into)],
        cwd=source,
        env={**os.environ, **(surroundings or {})},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
        timeout=120,
    )


def build_needs(source: Path, target: str) -> str:
    """What a front end would be told to install before it builds, as it is printed."""
    asking = f"from hatchling import build; print(build.get_requires_for_build_{target}())"
    return subprocess.run(
        [sys.executable, "-c", asking], cwd=source, capture_output=True, text=True, check=True
    ).stdout


def registry_away(folder: Path) -> dict[str, str]:
    """npm sent to a closed port of this machine, with nothing kept from earlier fetches."""
    return {"npm_config_registry": "http://127.0.0.1:9/", "npm_config_cache": str(folder)}
