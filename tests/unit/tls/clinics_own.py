"""Certificates as a clinic brings its own: any key, any names, any dates, signed by itself."""

from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
)
from cryptography.x509.oid import NameOID

from canalclock.tls.store import pem
from tests.unit.tls.machine import NOON

Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey


def a_key() -> Key:
    return ec.generate_private_key(ec.SECP256R1())


def a_certificate(
    key: Key,
    *names: str,
    begins: datetime = NOON - timedelta(days=1),
    days: float = 90,
) -> x509.Certificate:
    """Of the clinic's own, for DNS names."""
    title = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "clinic.example.org")])
    builder = x509.CertificateBuilder(
        issuer_name=title,
        subject_name=title,
        public_key=key.public_key(),
        serial_number=x509.random_serial_number(),
        not_valid_before=begins,
        not_valid_after=begins + timedelta(days=days),
    )
    if names:
        held = x509.SubjectAlternativeName([x509.DNSName(name) for name in names])
        builder = builder.add_extension(held, critical=False)
    return builder.sign(key, hashes.SHA256())


def key_pem(key: Key, password: bytes | None = None) -> bytes:
    """A key as text."""
    how = BestAvailableEncryption(password) if password else NoEncryption()
    return key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, how)


def brought(
    folder: Path, *names: str, begins: datetime = NOON - timedelta(days=1), days: float = 90
) -> tuple[Path, Path]:
    """Files of a certificate and its key."""
    key = a_key()
    chain, secret = folder / "clinic.pem", folder / "clinic.key"
    chain.write_bytes(pem(a_certificate(key, *names, begins=begins, days=days)))
    secret.write_bytes(key_pem(key))
    secret.chmod(0o600)
    return chain, secret
