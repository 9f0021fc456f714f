"""The authority vouches for the clinic's network and nothing else, says a verifier of its own."""

import ipaddress
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from canalclock.tls.authority import (
    Authority,
    check_given,
    check_time,
    fingerprint,
    made,
    split,
)
from canalclock.tls.certificate import Issued, issued
from canalclock.tls.faults import NotCovered, OutOfTime
from canalclock.tls.names import Reached
from tests.unit.tls.machine import NOON, an_authority


def reached(*names: str) -> Reached:
    return Reached(
        names=tuple(n for n in names if not n[0].isdigit() and ":" not in n),
        addresses=tuple(n for n in names if n[0].isdigit() or ":" in n),
    )


def verify(server: Issued, authority: Authority, name: str, now: datetime = NOON) -> None:
    """As a device would that trusts the root. Raises: VerificationError."""
    try:
        subject: x509.DNSName | x509.IPAddress = x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        subject = x509.DNSName(name)
    policy = PolicyBuilder().store(Store([authority.root])).time(now)
    policy.build_server_verifier(subject).verify(server.certificate, [authority.signer])


INSIDE = ["clinic", "clinic.local", "tablet.local", "localhost", "10.1.2.3", "172.16.0.1",
          "172.31.255.254", "192.168.1.20", "127.0.0.1", "fd00::20", "::1"]  # fmt: skip
OUTSIDE = ["example.org", "clinic.example.org", "notlocal", "clinic.local.example.org",
           "9.8.8.8", "172.32.0.1", "192.169.0.1", "11.0.0.1", "2001:db8::1"]  # fmt: skip


@pytest.mark.parametrize("name", INSIDE)
def test_what_is_in_the_clinics_network_is_vouched_for(name: str) -> None:
    authority = an_authority()
    verify(issued(authority, reached(name), NOON), authority, name)
    assert split(authority, reached(name)) == (reached(name), ())


@pytest.mark.parametrize("name", OUTSIDE)
def test_a_certificate_for_an_outside_name_is_refused_by_a_verifier(name: str) -> None:
    authority = an_authority()
    outside = issued(authority, reached(name), NOON)
    with pytest.raises(VerificationError, match="name constraints"):
        verify(outside, authority, name)
    assert split(authority, reached(name)) == (reached(), (name,))


@pytest.mark.parametrize("name", ["clinic.example.org", "203.0.113.9"])
def test_a_name_that_was_given_is_vouched_for(name: str) -> None:
    authority = an_authority(name)
    verify(issued(authority, reached(name), NOON), authority, name)
    check_given(authority, (name,))


def test_the_key_on_the_disk_is_bound_by_a_certificate_below_the_root() -> None:
    """Some verifiers ask a trusted root for no constraints; what is below it, all of them do."""
    authority = an_authority()
    for certificate in (authority.root, authority.signer):
        held = certificate.extensions.get_extension_for_class(x509.NameConstraints)
        assert held.critical
        assert held.value.permitted_subtrees
    assert authority.key.public_key() == authority.signer.public_key()
    assert authority.key.public_key() != authority.root.public_key()


def test_the_signer_may_make_servers_certificates_and_no_further_authority() -> None:
    authority = an_authority()
    extensions = authority.signer.extensions
    basic = extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    usage = extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    authority.signer.verify_directly_issued_by(authority.root)


def test_a_server_cannot_pass_for_an_authority() -> None:
    authority = an_authority()
    server = issued(authority, reached("clinic.local"), NOON)
    false = Authority(root=authority.root, signer=server.certificate, key=server.key)
    below = issued(false, reached("clinic.local"), NOON)
    policy = PolicyBuilder().store(Store([authority.root])).time(NOON)
    verifier = policy.build_server_verifier(x509.DNSName("clinic.local"))
    with pytest.raises(VerificationError):
        verifier.verify(below.certificate, [server.certificate, authority.signer])


def test_two_authorities_never_share_a_key_or_a_serial() -> None:
    one, other = an_authority(), an_authority()
    assert fingerprint(one.root) != fingerprint(other.root)
    assert one.root.serial_number != other.root.serial_number


def test_the_fingerprint_is_sha_256_in_pairs() -> None:
    root = an_authority().root
    pairs = fingerprint(root).split(" ")
    assert len(pairs) == 32
    assert bytes.fromhex("".join(pairs)) == root.fingerprint(hashes.SHA256())


def test_an_authority_counts_for_ten_years_and_from_a_day_before() -> None:
    authority = an_authority()
    check_time(authority, NOON - timedelta(hours=23))
    check_time(authority, NOON + timedelta(days=3648))


@pytest.mark.parametrize(
    ("days", "found"), [(-365, "has not begun"), (3650, "has ended"), (-2, "has not begun")]
)
def test_a_clock_that_is_wrong_is_said_with_both_dates(days: float, found: str) -> None:
    now = NOON + timedelta(days=days)
    with pytest.raises(OutOfTime, match=found) as refused:
        check_time(an_authority(), now)
    assert f"clock says {now:%Y-%m-%d}" in str(refused.value)
    assert "put the clock right" in str(refused.value)
    assert "--new-authority" in str(refused.value)


def test_nothing_is_made_by_a_clock_that_is_older_than_the_program() -> None:
    with pytest.raises(OutOfTime, match="clock says 1970-01-01"):
        made("clinic", (), datetime(1970, 1, 1, tzinfo=UTC))


def test_a_name_that_came_later_needs_a_new_authority() -> None:
    with pytest.raises(NotCovered, match=r"--name clinic\.example\.org") as refused:
        check_given(an_authority(), ("clinic.local", "clinic.example.org"))
    assert "--new-authority" in str(refused.value)
