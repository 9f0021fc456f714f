"""The local authority: a root that devices trust, and the signer that works in its name.

The root's key signs one certificate, the signer's, and is never written down. So what lies on the
disk can vouch for nothing outside the constraints, even before a verifier that asks a trusted root
for none: those of the signer count everywhere (RFC 5280, 6.1.4).
"""

import ipaddress
from datetime import UTC, datetime, timedelta
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from msgspec import Struct

from canalclock.tls.faults import NotCovered, OutOfTime
from canalclock.tls.names import LOCAL_NAMES, PRIVATE, Reached, address_of, is_private

AUTHORITY_DAYS: Final = 3650
"""How long devices may trust an authority before they must be shown a new one. [d]  A choice."""
BEFORE: Final = timedelta(days=1)
"""Everything is valid from this long before it was made, for clocks that are late."""
CLOCK_FROM: Final = datetime(2026, 1, 1, tzinfo=UTC)
"""A clock before this is wrong: this program is younger."""


class Authority(Struct, frozen=True, kw_only=True):
    """What devices trust (`root`), and who signs for it."""

    root: x509.Certificate
    signer: x509.Certificate
    key: ec.EllipticCurvePrivateKey
    """The signer's; the root's is gone."""


def made(host: str, given: tuple[str, ...], now: datetime) -> Authority:
    """
    A new authority.

    Args:
        host: This machine's bare name, for the title and as a permitted name.
        given: Further names and addresses that it may vouch for.
        now: This machine's clock.

    Raises:
        OutOfTime: The clock is before this program was written.
    """
    if now < CLOCK_FROM:
        raise OutOfTime(
            f"this machine's clock says {day(now)}, expected a day after {day(CLOCK_FROM)}; put "
            "the clock right first, or no device will accept what is made now"
        )
    allowed = constraints(host, given)
    root_key = ec.generate_private_key(ec.SECP256R1())
    key = ec.generate_private_key(ec.SECP256R1())
    title = f"Canalclock authority {host[:24]} {day(now)}"
    root_name, signer_name = _named(title), _named(f"{title}, signer")
    until = now - BEFORE + timedelta(days=AUTHORITY_DAYS)
    root = (
        _builder(root_name, root_name, root_key.public_key(), now - BEFORE, until)
        .add_extension(x509.BasicConstraints(ca=True, path_length=1), critical=True)
        .add_extension(allowed, critical=True)
        .sign(root_key, hashes.SHA256())
    )
    signer = (
        _builder(signer_name, root_name, key.public_key(), now - BEFORE, until)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(allowed, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(root_key.public_key()),
            critical=False,
        )
        .sign(root_key, hashes.SHA256())
    )
    return Authority(root=root, signer=signer, key=key)


def constraints(host: str, given: tuple[str, ...]) -> x509.NameConstraints:
    """
    What an authority may vouch for: private addresses, local names, and those given.

    A permitted name permits the names that end in it too; a machine's bare name is permitted, and
    with it names under a top-level domain of that name, should there be one.
    """
    names = [*LOCAL_NAMES, *(name for name in given if address_of(name) is None), host]
    given_addresses = [address for name in given if (address := address_of(name)) is not None]
    outside = [ipaddress.ip_network(a) for a in given_addresses if not is_private(a)]
    return x509.NameConstraints(
        permitted_subtrees=[
            *(x509.DNSName(name) for name in dict.fromkeys(names) if name),
            *(x509.IPAddress(network) for network in (*PRIVATE, *outside)),
        ],
        excluded_subtrees=None,
    )


def split(authority: Authority, wanted: Reached) -> tuple[Reached, tuple[str, ...]]:
    """What of `wanted` the authority may vouch for, and what it may not."""
    names, networks = permitted(authority)
    held = Reached(
        names=tuple(n for n in wanted.names if any(n == p or n.endswith(f".{p}") for p in names)),
        addresses=tuple(
            a
            for a in wanted.addresses
            if any(ipaddress.ip_address(a) in n for n in networks if n.version == _version(a))
        ),
    )
    return held, tuple(one for one in wanted.all if one not in held.all)


def permitted(
    authority: Authority,
) -> tuple[tuple[str, ...], tuple[ipaddress.IPv4Network | ipaddress.IPv6Network, ...]]:
    """Names and networks that the authority may vouch for."""
    said = authority.signer.extensions.get_extension_for_class(x509.NameConstraints).value
    subtrees = said.permitted_subtrees or []
    names = tuple(s.value for s in subtrees if isinstance(s, x509.DNSName))
    networks = tuple(
        s.value
        for s in subtrees
        if isinstance(s, x509.IPAddress)
        and isinstance(s.value, ipaddress.IPv4Network | ipaddress.IPv6Network)
    )
    return names, networks


def check_time(authority: Authority, now: datetime) -> None:
    """
    That the authority counts at an instant.

    Raises:
        OutOfTime: It has ended or not begun; the clock may be the reason.
    """
    begins, ends = authority.root.not_valid_before_utc, authority.root.not_valid_after_utc
    if begins <= now <= ends:
        return
    found = "has not begun" if now < begins else "has ended"
    raise OutOfTime(
        f"the local authority {found}: it counts from {day(begins)} to {day(ends)}, and this "
        f"machine's clock says {day(now)}; put the clock right if it is wrong, else start once "
        "with --new-authority, and bring every device to trust the new one"
    )


def check_given(authority: Authority, given: tuple[str, ...]) -> None:
    """
    That the authority may vouch for every name that was given.

    Raises:
        NotCovered: It was made without one of them.
    """
    names = tuple(name for name in given if address_of(name) is None)
    addresses = tuple(name for name in given if address_of(name) is not None)
    _, beyond = split(authority, Reached(names=names, addresses=addresses))
    if beyond:
        may, _ = permitted(authority)
        raise NotCovered(
            f"--name {beyond[0]}: the local authority was made for {', '.join(may)} and private "
            "addresses only; use a name that ends in .local, or start once with --new-authority, "
            "and bring every device to trust the new one"
        )


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of a certificate in pairs, as phones and desktops show it."""
    return certificate.fingerprint(hashes.SHA256()).hex(" ").upper()


def title_of(certificate: x509.Certificate) -> str:
    """A certificate's title, as browsers show it."""
    [common] = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(common.value)


def day(instant: datetime) -> str:
    """A day as text."""
    return instant.strftime("%Y-%m-%d")


def _version(address: str) -> int:
    return ipaddress.ip_address(address).version


def _named(title: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)])


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePublicKey,
    begins: datetime,
    ends: datetime,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(ends)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
        .add_extension(_SIGNS, critical=True)
    )


_SIGNS: Final = x509.KeyUsage(
    digital_signature=False,
    content_commitment=False,
    key_encipherment=False,
    data_encipherment=False,
    key_agreement=False,
    key_cert_sign=True,
    crl_sign=True,
    encipher_only=False,
    decipher_only=False,
)
