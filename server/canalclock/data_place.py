"""Whether a directory can hold the ledger, asked before anything is written there.

A database keeps side files beside its file and locks them, so it needs a directory that this user
may write, on a disk of this machine, that outlives the process.
"""

import os
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from msgspec import Struct

NETWORK: Final = frozenset({"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "fuse.sshfs",
                            "fuse.glusterfs", "davfs", "fuse.davfs2"})  # fmt: skip
"""Kinds of file system on another machine; a write-ahead log does not work there.

Source: SQLite, "Write-Ahead Logging", 1 ("WAL does not work over a network filesystem").
"""
_MOUNTS: Final = Path("/proc/self/mountinfo")


class Mount(Struct, frozen=True, kw_only=True):
    """Something mounted, and the kind of its file system."""

    at: str
    kind: str


def mounts(text: str | None = None) -> tuple[Mount, ...]:
    """What is mounted, as the system tells it (proc(5), mountinfo); empty where it does not."""
    if text is None:
        text = _MOUNTS.read_text() if _MOUNTS.exists() else ""
    found = []
    for line in text.splitlines():
        before, _, after = line.partition(" - ")
        fields = before.split(" ")
        if len(fields) >= 5 and after:
            at = fields[4].encode().decode("unicode_escape")
            found.append(Mount(at=at, kind=after.split(" ")[0]))
    return tuple(found)


def mount_of(path: Path, among: Iterable[Mount]) -> Mount | None:
    """The mount that a path lies on; None = it is not known."""
    fit = [m for m in among if path == Path(m.at) or Path(m.at) in path.parents]
    return max(reversed(fit), key=lambda mount: len(mount.at)) if fit else None


def why_not(data: Path, file: str, among: Iterable[Mount]) -> str | None:
    """
    Why a directory cannot hold the ledger; None = it can.

    Args:
        data: The directory; it need not be there yet.
        file: Name of the ledger's file in it.
        among: What is mounted.
    """
    among = tuple(among)
    if data.exists() and not data.is_dir():
        return f"{data}: found a file, expected a directory for the ledger and its side files"
    if any(Path(mount.at) == data / file for mount in among):
        return (
            f"{data / file}: the file alone is mounted, expected its directory {data}; the files "
            "that the database keeps beside it would be lost"
        )
    mount = mount_of(data, among)
    if mount is not None and mount.kind in NETWORK:
        return (
            f"{data}: found a {mount.kind} share of another machine, expected a disk of this one; "
            "a database that is shared over a network breaks"
        )
    return _unwritable(data)


def goes_with_container(data: Path, among: Iterable[Mount]) -> bool:
    """Whether a directory lies in a container's own layer, which goes with the container."""
    mount = mount_of(data, among)
    return mount is not None and mount.at == "/" and mount.kind == "overlay"


def _unwritable(data: Path) -> str | None:
    nearest = next(path for path in (data, *data.parents) if path.exists())
    try:
        with tempfile.TemporaryFile(dir=nearest):
            return None
    except OSError as fault:
        return f"{nearest}: {fault.strerror}; {_rights(nearest)}"


def _rights(path: Path) -> str:
    if sys.platform == "win32":
        return "expected a directory that this user may write"
    found = path.stat()
    return (
        f"it belongs to user {found.st_uid} with rights {found.st_mode & 0o777:03o}, and this runs "
        f"as user {os.geteuid()}, who needs to read, write and enter it"
    )
