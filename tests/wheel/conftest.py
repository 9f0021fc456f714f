"""One wheel, built from a bare copy, and one environment it is installed in."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.wheel.building import a_bare_copy, build


@pytest.fixture(scope="package")
def built_copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bare copy in which the wheel was built; its dist/ holds the wheel."""
    copy = a_bare_copy(tmp_path_factory.mktemp("wheel") / "clone")
    made = build(copy, "wheel", copy / "dist")
    assert made.returncode == 0, made.stdout
    return copy


@pytest.fixture(scope="package")
def wheel(built_copy: Path) -> Path:
    """The wheel's file."""
    (file,) = (built_copy / "dist").glob("*.whl")
    return file


@pytest.fixture(scope="package")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Programs of an environment that holds the wheel and what it asks for."""
    place = tmp_path_factory.mktemp("installed") / "venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(place)], check=True)
    programs = place / ("Scripts" if os.name == "nt" else "bin")
    done = subprocess.run(
        [sys.executable, "-m", "pip", "--python", str(place), "install", "--quiet", str(wheel)],
        cwd=place,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    return programs
