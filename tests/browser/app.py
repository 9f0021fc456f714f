"""The web app of the service under test: built when its sources changed since."""

from pathlib import Path

import build_hook
import node

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "server" / "canalclock" / "web"


class NotBuilt(RuntimeError):
    """The web app could not be built; with what was said."""


def bring() -> None:
    """
    Build the app into the package, unless it is of these very sources.

    Raises:
        NotBuilt: npm or vite refused.
    """
    note = BUILT / build_hook.NOTE
    digest = build_hook.sources_digest(ROOT / "web")
    if note.is_file() and note.read_text() == digest:
        return
    if not node.packages_current(ROOT / "web", build_only=True):
        installed = node.install_packages(ROOT / "web", quiet=True)
        if installed.returncode != 0:
            raise NotBuilt(build_hook.why_not_installed(installed.stdout))
    made = node.run(["npm", "run", "build"], ROOT / "web", quiet=True)
    if made.returncode != 0:
        raise NotBuilt(made.stdout)
    note.write_text(digest)
