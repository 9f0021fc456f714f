"""A directory that cannot hold the ledger is refused before anything is written."""

import errno
import os
import tempfile
from pathlib import Path
from typing import NoReturn

import pytest

from canalclock.data_place import Mount, goes_with_container, mount_of, mounts, why_not

FILE = "canalclock.sqlite3"


def test_a_directory_of_this_machine_will_do_whether_it_is_there_or_not(tmp_path: Path) -> None:
    assert why_not(tmp_path, FILE, ()) is None
    assert why_not(tmp_path / "not" / "yet", FILE, ()) is None
    assert list(tmp_path.iterdir()) == []
    assert why_not(tmp_path, FILE, mounts()) is None


def test_a_file_in_its_place_is_named(tmp_path: Path) -> None:
    file = tmp_path / "data"
    file.write_text("")
    assert why_not(file, FILE, ()) == (
        f"{file}: found a file, expected a directory for the ledger and its side files"
    )


def test_a_single_file_that_was_mounted_is_refused(tmp_path: Path) -> None:
    found = why_not(tmp_path, FILE, (Mount(at=str(tmp_path / FILE), kind="ext4"),))
    assert found is not None
    assert f"{tmp_path / FILE}: the file alone is mounted" in found


@pytest.mark.parametrize("kind", ["nfs4", "cifs", "fuse.sshfs"])
def test_a_share_of_another_machine_is_refused(tmp_path: Path, kind: str) -> None:
    found = why_not(tmp_path / "data", FILE, (Mount(at=str(tmp_path), kind=kind),))
    assert found is not None
    assert f"found a {kind} share" in found


@pytest.mark.parametrize("code", [errno.EACCES, errno.EROFS])
def test_one_that_cannot_be_written_is_named_with_owner_and_rights(
    tmp_path: Path, code: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(dir: Path) -> NoReturn:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(tempfile, "TemporaryFile", refuse)
    tmp_path.chmod(0o750)
    found = why_not(tmp_path / "data", FILE, ())
    user = os.geteuid()
    assert found == (
        f"{tmp_path}: {os.strerror(code)}; it belongs to user {user} with rights 750, and this "
        f"runs as user {user}, who needs to read, write and enter it"
    )


def test_the_nearest_mount_counts_and_of_two_at_one_place_the_later() -> None:
    found = mounts(
        "22 1 0:20 / / rw - overlay overlay rw\n"
        "30 22 8:1 / /srv/my\\040data rw shared:1 - ext4 /dev/sda1 rw\n"
        "31 30 0:9 / /srv/my\\040data rw - nfs4 there:/x rw\n"
        "broken line\n"
    )
    assert [mount.kind for mount in found] == ["overlay", "ext4", "nfs4"]
    inside = mount_of(Path("/srv/my data/clinic"), found)
    assert inside is not None
    assert inside.kind == "nfs4"
    assert goes_with_container(Path("/data"), found)
    assert not goes_with_container(Path("/srv/my data"), found)
