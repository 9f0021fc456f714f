"""The certificate that the service shows, and when a new one is due."""

import ipaddress
from datetime import datetime, timedelta
from typing import Final

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from msgspec import Struct

from canalclock.tls.authority import BEFORE, Authority
from canalclock.tls.names import Reached

LONGEST: Final = timedelta(days=397)
"""Longest that browsers and phones take a server's certificate for.

Source: CA/Browser Forum, Baseline Requirements, 6.3.2 (398 days; 397 recommended).
"""
RENEW_BEFORE: Final = timedelta(days=30)
"""A new certificate is made this long before the old one ends.  A choice."""


class Issued(Struct, frozen=True, kw_only=True):
    """A server's certificate with its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def issued(authority: Authority, reached: Reached, now: datetime) -> Issued:
    """A new certificate for what the authority may vouch for, valid for 397 days at most."""
    key = ec.generate_private_key(ec.SECP256R1())
    begins = max(now - BEFORE, authority.signer.not_valid_before_utc)
    ends = min(begins + LONGEST - timedelta(seconds=1), authority.signer.not_valid_after_utc)
    title = (reached.names or reached.addresses)[0][:64]
    certificate = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)]))
        .issuer_name(authority.signer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(ends)
        .add_extension(_alternatives(reached), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_SHOWS, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
        .sign(authority.key, hashes.SHA256())
    )
    return Issued(certificate=certificate, key=key)


def named_in(certificate: x509.Certificate) -> Reached:
    """The names and addresses that a certificate holds."""
    try:
        said = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return Reached(names=(), addresses=())
    return Reached(
        names=tuple(name.lower() for name in said.get_values_for_type(x509.DNSName)),
        addresses=tuple(str(address) for address in said.get_values_for_type(x509.IPAddress)),
    )


def why_due(old: Issued, authority: Authority, wanted: Reached, now: datetime) -> str | None:
    """
    Why a new certificate is due.

    Returns:
        A reason for the log; None = the old one still does.
    """
    certificate = old.certificate
    if not _signed_by(certificate, authority):
        return "another authority"
    if now < certificate.not_valid_before_utc:
        return "the clock went back"
    if now > certificate.not_valid_after_utc - RENEW_BEFORE:
        if certificate.not_valid_after_utc < authority.signer.not_valid_after_utc:
            return "it ends soon"
    if set(named_in(certificate).all) != set(wanted.all):
        return "other names or addresses"
    return None


def _signed_by(certificate: x509.Certificate, authority: Authority) -> bool:
    try:
        certificate.verify_directly_issued_by(authority.signer)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return True


def _alternatives(reached: Reached) -> x509.SubjectAlternativeName:
    return x509.SubjectAlternativeName(
        [
            *(x509.DNSName(name) for name in reached.names),
            *(x509.IPAddress(ipaddress.ip_address(address)) for address in reached.addresses),
        ]
    )


_SHOWS: Final = x509.KeyUsage(
    digital_signature=True,
    content_commitment=False,
    key_encipherment=False,
    data_encipherment=False,
    key_agreement=False,
    key_cert_sign=False,
    crl_sign=False,
    encipher_only=False,
    decipher_only=False,
)
