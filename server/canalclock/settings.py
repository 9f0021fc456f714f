"""One frozen Settings, read once, a line of documentation per field."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct


class Settings(Struct, frozen=True, kw_only=True):
    """Everything that a running service is told from outside."""

    data: Path
    """Directory of the ledger, its lock, the local authority and nothing else; made if it is not
    there."""
    host: str = "127.0.0.1"
    """Address to listen on; 0.0.0.0 = every address of this machine."""
    port: int = 8470
    """TCP port to listen on; 0 = any free one."""
    names: tuple[str, ...] = ()
    """Further names by which this machine is reached, beside addresses and local names."""
    tls: bool = False
    """Whether the service answers over https: by the local authority, or by `certificate`."""
    certificate: Path | None = None
    """The clinic's own certificate with those up to its authority, as PEM; None = the local one."""
    key: Path | None = None
    """The key of `certificate`, as PEM without a password."""
    new_authority: bool = False
    """Whether another local authority is made, in place of the one there is."""
    trust_port: int | None = None
    """Plain-http port beside https; None = the one after `port`, or any free one if that is 0."""
    proxies: tuple[str, ...] = ()
    """Addresses or networks of reverse proxies whose word for the client is taken; empty = only
    this machine's."""
    demo: bool = False
    """Whether the demonstration clinic is posted at the start."""
    temporary: bool = False
    """Whether the data goes when the service stops."""
    web: Path | None = None
    """Directory of the built web app; None = the one inside the package."""


def default_data(environment: Mapping[str, str], platform: str = sys.platform) -> Path:
    """
    Where the ledger is kept when nobody says.

    Args:
        environment: The process's environment.
        platform: As `sys.platform`.

    Returns:
        `CANALCLOCK_DATA` if it is set; else the platform's place for a program's data.

    Source:
        XDG Base Directory Specification 0.8 (Linux); the platforms' own conventions.
    """
    if said := environment.get("CANALCLOCK_DATA"):
        return Path(said)
    home = Path(environment.get("HOME") or os.path.expanduser("~"))
    if platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or home / "AppData" / "Local") / "canalclock"
    if platform == "darwin":
        return home / "Library" / "Application Support" / "canalclock"
    return Path(environment.get("XDG_DATA_HOME") or home / ".local" / "share") / "canalclock"
