"""Builds the web app into the package, with Node from PyPI, when wheel or sdist is made.

    sdist or wheel's source with the app inside     nothing is built, no Node is asked for
    checkout whose app is of these very sources     nothing is built
    checkout with other or no app                   Node from PyPI, `npm ci`, `vite build`
    npm's registry away, an older app there         a warning, the older app is used
    npm's registry away, no app                     one sentence, and the build ends

An editable install reads `protocols/` where it lies; a wheel has it as `canalclock/protocols`.
The app lands in `canalclock/web`, which git ignores; `.built-from` in it is the sources' digest.
"""

import hashlib
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).parent))  # hatchling loads this file by its path
import node

SOURCES = ("index.html", "package-lock.json", "tsconfig.json", "vite.config.ts")
SOURCE_FOLDERS = ("build", "public", "src")
NOTE = ".built-from"
UNREACHABLE = ("ECONNREFUSED", "ENOTFOUND", "EAI_AGAIN", "ETIMEDOUT", "ECONNRESET", "ENETUNREACH")


class WebApp(BuildHookInterface):  # type: ignore[type-arg]
    """Hatchling's custom hook: fills `canalclock/web` before the files are gathered."""

    PLUGIN_NAME = "custom"

    @property
    def sources(self) -> Path:
        return Path(self.root, "web")

    @property
    def built(self) -> Path:
        return Path(self.root, "server", "canalclock", "web")

    def dependencies(self) -> list[str]:
        """Node, only when something has to be built."""
        return [] if self._current() else [node.REQUIREMENT]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the app, or say in one sentence why not; add protocols/ to a wheel."""
        if self.target_name == "wheel" and version == "standard":
            build_data["force_include"]["protocols"] = "canalclock/protocols"
        self._bring_web_app()

    def _bring_web_app(self) -> None:
        if self._current():
            return
        reason = self._build()
        if reason is None:
            (self.built / NOTE).write_text(sources_digest(self.sources))
        elif self._has_app():
            self.app.display_warning(f"the web app built before is used as it is: {reason}")
        else:
            self.app.abort(f"Canalclock's web app cannot be built: {reason}")

    def _has_app(self) -> bool:
        return (self.built / "index.html").is_file()

    def _current(self) -> bool:
        if not self._has_app():
            return False
        if Path(self.root, "PKG-INFO").is_file():
            return True
        note = self.built / NOTE
        return note.is_file() and note.read_text() == sources_digest(self.sources)

    def _build(self) -> str | None:
        """None when built, else the reason why not."""
        if not node.packages_current(self.sources, build_only=True):
            installed = node.install_packages(self.sources, build_only=True, quiet=True)
            if installed.returncode != 0:
                return why_not_installed(installed.stdout)
        made = node.run(["npm", "run", "build"], self.sources, quiet=True)
        return None if made.returncode == 0 else f"vite says:\n{made.stdout.strip()}"


def sources_digest(folder: Path) -> str:
    """SHA-256 over every file that the built app is made of."""
    files = [folder / name for name in SOURCES]
    for name in SOURCE_FOLDERS:
        files.extend(sorted((folder / name).rglob("*")))
    digest = hashlib.sha256()
    for file in files:
        if file.is_file():
            digest.update(f"{file.relative_to(folder).as_posix()}\n".encode())
            digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()


def why_not_installed(output: str) -> str:
    """npm's output as one sentence where the network is the cause, else as it is."""
    found = next((code for code in UNREACHABLE if code in output), None)
    if found is None:
        return f"npm says:\n{output.strip()}"
    return (
        f"the npm registry could not be reached ({found}); connect this machine, "
        "or install from a wheel or sdist, which carry the web app."
    )


def get_build_hook() -> type[BuildHookInterface]:  # type: ignore[type-arg]
    """What hatchling asks this file for."""
    return WebApp
