"""The server's certificate is of the kind that browsers and phones take, and renewed in time."""

from datetime import timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID
from freezegun import freeze_time

from canalclock.tls.certificate import issued, named_in, why_due
from canalclock.tls.names import Reached, to_name
from tests.unit.tls.machine import NOON, Machine, an_authority, interfaces
from tests.unit.tls.test_authority import verify

HERE = to_name("clinic", (), interfaces(eth0=["192.168.1.20", "fd00::20"]))


def test_it_has_what_platforms_ask_of_a_servers_certificate() -> None:
    authority = an_authority()
    server = issued(authority, HERE, NOON)
    certificate = server.certificate
    lasts = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    assert timedelta(days=396) < lasts <= timedelta(days=397)
    assert certificate.not_valid_before_utc == NOON - timedelta(days=1)
    assert isinstance(certificate.signature_hash_algorithm, hashes.SHA256)
    key = certificate.public_key()
    assert isinstance(key, ec.EllipticCurvePublicKey)
    assert isinstance(key.curve, ec.SECP256R1)
    usage = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert not certificate.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert named_in(certificate) == HERE
    assert set(HERE.all) >= {"clinic", "clinic.local", "192.168.1.20", "fd00::20"}
    for name in HERE.all:
        verify(server, authority, name)


def test_no_two_have_the_same_serial_or_key() -> None:
    authority = an_authority()
    made = [issued(authority, HERE, NOON) for _ in range(20)]
    assert len({one.certificate.serial_number for one in made}) == 20
    keys = {one.key.private_numbers().private_value for one in made}
    assert len(keys) == 20


@pytest.mark.parametrize(
    ("days", "wanted", "why"),
    [
        (0, HERE, None),
        (365, HERE, None),
        (366.1, HERE, "it ends soon"),
        (500, HERE, "it ends soon"),
        (-1.1, HERE, "the clock went back"),
        (1, Reached(names=HERE.names, addresses=("192.168.1.21",)), "other names or addresses"),
    ],
)
def test_a_new_one_is_due(days: float, wanted: Reached, why: str | None) -> None:
    authority = an_authority()
    old = issued(authority, HERE, NOON)
    assert why_due(old, authority, wanted, NOON + timedelta(days=days)) == why


def test_one_of_another_authority_is_due() -> None:
    assert why_due(issued(an_authority(), HERE, NOON), an_authority(), HERE, NOON)


def test_the_last_one_ends_with_the_authority_and_is_not_made_again_and_again() -> None:
    authority = an_authority()
    late = NOON + timedelta(days=3600)
    last = issued(authority, HERE, late)
    assert last.certificate.not_valid_after_utc == authority.root.not_valid_after_utc
    assert why_due(last, authority, HERE, late + timedelta(days=30)) is None


@freeze_time(NOON)
def test_three_hundred_and_sixty_seven_days_later_it_is_renewed_and_trust_stays(
    tmp_path: Path,
) -> None:
    machine = Machine()
    keeper = machine.keeper(tmp_path)
    before, fingerprint = keeper.ends, keeper.fingerprint
    machine.days_pass(360)
    keeper.look()
    assert keeper.ends == before
    machine.days_pass(7)
    keeper.look()
    assert keeper.ends - machine.now > timedelta(days=390)
    assert keeper.fingerprint == fingerprint
    issued_now = machine.keeper(tmp_path)
    assert issued_now.ends == keeper.ends, "what was renewed was written down"
    assert issued_now.notices() == ()
