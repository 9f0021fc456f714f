"""The authority and the certificate on disk: `<data>/tls`, each a file that is replaced whole.

authority.pem   0600   the signer's key, the signer, the root
authority.crt   0644   the root alone, for whoever brings devices to trust it
server.pem      0600   the server's key, its certificate, the signer
"""

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeVar

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from canalclock.tls.authority import Authority
from canalclock.tls.certificate import Issued
from canalclock.tls.faults import BadFile

FOLDER: Final = "tls"
OWNER_ONLY: Final = 0o600
_PEM_MAX: Final = 1_000_000
"""Largest file that is read as certificates or a key. [bytes]"""
T = TypeVar("T")


class Store:
    """The files of one data directory."""

    def __init__(self, data: Path) -> None:
        """Nothing is read or made yet."""
        self.folder = data / FOLDER
        self.authority_file = self.folder / "authority.pem"
        self.root_file = self.folder / "authority.crt"
        self.server_file = self.folder / "server.pem"

    def authority(self) -> Authority | None:
        """
        The authority; None = none was made yet.

        Raises:
            BadFile: There is one, and it cannot be used. It is never replaced in silence: every
                device would have to be shown the new one.
        """
        if not self.authority_file.exists():
            return None
        advice = (
            "; put back a copy of it, or start once with --new-authority, and bring every device "
            "to trust the new one"
        )
        try:
            key, chain = _key_and_chain(self.authority_file)
        except BadFile as fault:
            raise BadFile(f"{fault}{advice}") from fault
        if len(chain) != 2 or chain[0].public_key() != key.public_key():
            raise BadFile(
                f"{self.authority_file}: found {len(chain)} certificates that do not go with the "
                f"key in it, expected the signer's key, the signer and the root{advice}"
            )
        return Authority(root=chain[1], signer=chain[0], key=key)

    def keep_authority(self, authority: Authority) -> None:
        """Write an authority, in place of any other. Raises: BadFile."""
        self._write(self.root_file, pem(authority.root), 0o644)
        text = _key_pem(authority.key) + pem(authority.signer) + pem(authority.root)
        self._write(self.authority_file, text, OWNER_ONLY)

    def issued(self) -> Issued | None:
        """The server's certificate; None = none that can be used, so a new one is due."""
        try:
            key, chain = _key_and_chain(self.server_file)
        except BadFile:
            return None
        if not chain or chain[0].public_key() != key.public_key():
            return None
        return Issued(certificate=chain[0], key=key)

    def keep_issued(self, issued: Issued, authority: Authority) -> None:
        """Write a server's certificate, in place of any other. Raises: BadFile."""
        text = _key_pem(issued.key) + pem(issued.certificate) + pem(authority.signer)
        self._write(self.server_file, text, OWNER_ONLY)

    def close_to_others(self) -> tuple[Path, ...]:
        """Take the right to read keys from everybody else; answers the files that were open."""
        files = [self.authority_file, self.server_file]
        wide = tuple(file for file in files if file.exists() and open_to_others(file))
        for file in wide:
            _told(file, lambda file=file: os.chmod(file, OWNER_ONLY))  # type: ignore[misc]
        return wide

    def _write(self, file: Path, text: bytes, mode: int) -> None:
        _told(file, lambda: _replace(file, text, mode))


def open_to_others(file: Path) -> bool:
    """Whether somebody beside its owner may read a file."""
    return os.name == "posix" and bool(file.stat().st_mode & (stat.S_IRGRP | stat.S_IROTH))


def pem(certificate: x509.Certificate) -> bytes:
    """A certificate as text."""
    return certificate.public_bytes(Encoding.PEM)


def read_text(file: Path) -> bytes:
    """
    The bytes of a small file.

    Raises:
        BadFile: It cannot be read, or is no file of certificates or keys by its size.
    """
    content = _told(file, lambda: _read(file))
    if len(content) > _PEM_MAX:
        raise BadFile(f"{file}: found more than {_PEM_MAX} bytes, expected a PEM file")
    return content


def _read(file: Path) -> bytes:
    with file.open("rb") as opened:
        return opened.read(_PEM_MAX + 1)


def _key_and_chain(file: Path) -> tuple[ec.EllipticCurvePrivateKey, list[x509.Certificate]]:
    content = read_text(file)
    try:
        key = load_pem_private_key(content, password=None)
        chain = x509.load_pem_x509_certificates(content)
    except (ValueError, TypeError) as fault:
        raise BadFile(f"{file}: found {fault}, expected a key and certificates as PEM") from fault
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise BadFile(f"{file}: found a key of another kind, expected one on the curve P-256")
    return key, chain


def _key_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def _replace(file: Path, text: bytes, mode: int) -> None:
    """Write beside, to the disk, then in place: there is never half a file."""
    file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    beside = file.with_name(f".{file.name}.new")
    beside.unlink(missing_ok=True)
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        with os.fdopen(descriptor, "wb") as opened:
            opened.write(text)
            opened.flush()
            os.fsync(opened.fileno())
        beside.replace(file)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _told(file: Path, act: Callable[[], T]) -> T:
    try:
        return act()
    except OSError as fault:
        raise BadFile(f"{file}: {fault.strerror or fault}") from fault
