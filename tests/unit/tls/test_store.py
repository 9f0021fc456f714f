"""Keys lie where only the service reads them, files are replaced whole, damage is said."""

import os
import stat
from pathlib import Path

import pytest

from canalclock.tls.authority import fingerprint
from canalclock.tls.faults import BadFile
from canalclock.tls.store import Store
from tests.unit.tls.machine import Machine, an_authority


def mode(file: Path) -> int:
    return stat.S_IMODE(file.stat().st_mode)


def test_keys_are_readable_by_the_service_alone_whatever_the_umask(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        Machine().keeper(tmp_path)
    finally:
        os.umask(before)
    folder = tmp_path / "tls"
    assert mode(folder) == 0o700
    assert {file.name: mode(file) for file in folder.iterdir()} == {
        "authority.pem": 0o600, "server.pem": 0o600, "authority.crt": 0o644,
    }  # fmt: skip
    assert b"PRIVATE" not in (folder / "authority.crt").read_bytes()


def test_the_roots_key_is_written_nowhere(tmp_path: Path) -> None:
    keeper = Machine().keeper(tmp_path)
    kept = Store(tmp_path).authority()
    assert kept is not None
    assert kept.key.public_key() != keeper.authority.root.public_key()
    assert (tmp_path / "tls" / "authority.pem").read_bytes().count(b"PRIVATE KEY-----") == 2


def test_a_key_that_others_could_read_is_closed_and_said(tmp_path: Path) -> None:
    machine = Machine()
    machine.keeper(tmp_path)
    file = tmp_path / "tls" / "authority.pem"
    file.chmod(0o644)
    notices = machine.keeper(tmp_path).notices()
    assert mode(file) == 0o600
    assert [(notice.code, notice.about) for notice in notices] == [("exposed", "authority.pem")]


def test_an_authority_is_made_once(tmp_path: Path) -> None:
    machine = Machine()
    first = machine.keeper(tmp_path).fingerprint
    assert machine.keeper(tmp_path).fingerprint == first
    assert machine.keeper(tmp_path, anew=True).fingerprint != first


@pytest.mark.parametrize("keep", [0, 1, 300, 900, 1500])
def test_a_damaged_authority_is_never_replaced_in_silence(tmp_path: Path, keep: int) -> None:
    Machine().keeper(tmp_path)
    file = tmp_path / "tls" / "authority.pem"
    damaged = file.read_bytes()[:keep]
    file.write_bytes(damaged)
    with pytest.raises(BadFile, match="--new-authority") as refused:
        Machine().keeper(tmp_path)
    assert str(file) in str(refused.value)
    assert file.read_bytes() == damaged


def test_a_damaged_certificate_is_made_again_and_trust_stays(tmp_path: Path) -> None:
    first = Machine().keeper(tmp_path).fingerprint
    (tmp_path / "tls" / "server.pem").write_bytes(b"half")
    assert Machine().keeper(tmp_path).fingerprint == first
    assert Store(tmp_path).issued() is not None


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "tls").write_text("a file where a folder should be")
    with pytest.raises(BadFile, match="authority"):
        Machine().keeper(tmp_path)


def test_a_write_that_fails_leaves_the_file_that_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = Store(tmp_path)
    first = an_authority()
    store.keep_authority(first)

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadFile, match="No space left on device"):
        store.keep_authority(an_authority())
    kept = store.authority()
    assert kept is not None
    assert fingerprint(kept.root) == fingerprint(first.root)
    assert not [file for file in store.folder.iterdir() if file.name.endswith(".new")]
