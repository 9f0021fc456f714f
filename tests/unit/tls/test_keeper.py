"""While the service runs: other addresses, other dates, other files; new hellos see the new one."""

import asyncio
import logging
import ssl
from datetime import timedelta
from pathlib import Path

import pytest

from canalclock.tls.faults import OutOfTime, TlsFault
from canalclock.tls.keeper import OwnKeeper, Renewal
from canalclock.tls.store import pem
from tests.unit.tls.clinics_own import a_certificate, a_key, brought, key_pem
from tests.unit.tls.hello import shown, trusting
from tests.unit.tls.machine import NOON, Machine


def test_another_address_brings_another_certificate_to_the_next_hello(tmp_path: Path) -> None:
    machine = Machine()
    keeper = machine.keeper(tmp_path)
    device = trusting(keeper.authority.root)
    listening = keeper.front.context
    first, _ = shown(listening, device, "192.168.1.20")
    assert shown(listening, device, "clinic.local")[0] == first
    machine.moves("192.168.1.77")
    with pytest.raises(ssl.SSLError):
        shown(listening, device, "192.168.1.77")
    keeper.look()
    second, _ = shown(listening, device, "192.168.1.77")
    assert second.serial_number != first.serial_number
    with pytest.raises(ssl.SSLError):
        shown(listening, device, "192.168.1.20")


def test_a_look_at_nothing_new_changes_nothing(tmp_path: Path) -> None:
    keeper = Machine().keeper(tmp_path)
    before = (tmp_path / "tls" / "server.pem").read_bytes()
    for _ in range(5):
        keeper.look()
    assert (tmp_path / "tls" / "server.pem").read_bytes() == before


def test_a_restart_keeps_the_certificate(tmp_path: Path) -> None:
    Machine().keeper(tmp_path)
    before = (tmp_path / "tls" / "server.pem").read_bytes()
    Machine().keeper(tmp_path)
    assert (tmp_path / "tls" / "server.pem").read_bytes() == before


def test_old_versions_of_tls_are_not_spoken(tmp_path: Path) -> None:
    keeper = Machine().keeper(tmp_path)
    device = trusting(keeper.authority.root)
    assert shown(keeper.front.context, device, "clinic")[1] == "TLSv1.3"
    device.maximum_version = ssl.TLSVersion.TLSv1_2
    assert shown(keeper.front.context, device, "clinic")[1] == "TLSv1.2"
    assert keeper.front.context.minimum_version == ssl.TLSVersion.TLSv1_2


def test_a_device_that_does_not_trust_it_refuses(tmp_path: Path) -> None:
    keeper = Machine().keeper(tmp_path / "one")
    other = Machine().keeper(tmp_path / "other")
    with pytest.raises(ssl.SSLError, match="CERTIFICATE_VERIFY_FAILED"):
        shown(keeper.front.context, trusting(other.authority.root), "clinic")


def test_another_host_name_is_left_out_and_said_until_a_new_authority(tmp_path: Path) -> None:
    machine = Machine()
    machine.keeper(tmp_path)
    machine.host = "reception"
    keeper = machine.keeper(tmp_path)
    assert [(n.code, n.about) for n in keeper.notices()] == [("names_left_out", "reception")]
    assert "reception.local" in keeper.reached.names
    assert machine.keeper(tmp_path, anew=True).notices() == ()


def test_a_clock_put_back_brings_a_certificate_that_counts_again(tmp_path: Path) -> None:
    machine = Machine()
    machine.keeper(tmp_path)
    machine.days_pass(370)
    ahead = machine.keeper(tmp_path)
    assert ahead.ends > NOON + timedelta(days=700)
    machine.now = NOON
    keeper = machine.keeper(tmp_path)
    assert keeper.ends < NOON + timedelta(days=398)


def test_a_clock_a_year_wrong_stops_the_start_and_says_so(tmp_path: Path) -> None:
    machine = Machine()
    machine.keeper(tmp_path)
    before = (tmp_path / "tls" / "server.pem").read_bytes()
    machine.days_pass(-200)
    with pytest.raises(OutOfTime, match="put the clock right"):
        machine.keeper(tmp_path)
    assert (tmp_path / "tls" / "server.pem").read_bytes() == before


def test_an_authority_near_its_end_is_said(tmp_path: Path) -> None:
    machine = Machine()
    machine.keeper(tmp_path)
    machine.days_pass(3600)
    assert [n.code for n in machine.keeper(tmp_path).notices()] == ["authority_ends"]


async def test_a_look_that_fails_is_said_once_and_leaves_the_certificate(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    machine = Machine()
    keeper = machine.keeper(tmp_path)
    device = trusting(keeper.authority.root)
    before, _ = shown(keeper.front.context, device, "clinic")
    renewal = Renewal(keeper)
    machine.days_pass(-200)
    with caplog.at_level(logging.WARNING):
        renewal.look()
        renewal.look()
    assert len(caplog.records) == 1
    assert renewal.notices()[0].code == "not_renewed"
    assert "put the clock right" in renewal.notices()[0].about
    assert shown(keeper.front.context, device, "clinic")[0] == before
    machine.now = NOON
    renewal.look()
    assert renewal.notices() == ()


async def test_the_scheduler_looks_by_itself_and_stops(tmp_path: Path) -> None:
    machine = Machine()
    keeper = machine.keeper(tmp_path)
    device = trusting(keeper.authority.root)
    renewal = Renewal(keeper, every_s=0.05)
    renewal.start()
    machine.moves("10.0.0.9")
    for _ in range(200):
        await asyncio.sleep(0.02)
        if "10.0.0.9" in _named(keeper.front.context, device):
            break
    else:
        pytest.fail("the certificate was not renewed within 4 s")
    renewal.stop()
    await asyncio.sleep(0.1)
    machine.moves("10.0.0.10")
    await asyncio.sleep(0.2)
    assert "10.0.0.9" in _named(keeper.front.context, device)


def _named(server: ssl.SSLContext, device: ssl.SSLContext) -> str:
    from canalclock.tls.certificate import named_in

    return " ".join(named_in(shown(server, device, "clinic")[0]).addresses)


def test_the_clinics_own_files_are_read_again_when_they_change(tmp_path: Path) -> None:
    chain, key = brought(tmp_path, "clinic.example.org")
    keeper = OwnKeeper(chain, key, ("clinic.example.org",), lambda: NOON)
    new = a_key()
    certificate = a_certificate(new, "clinic.example.org", days=300)
    chain.write_bytes(pem(certificate))
    with pytest.raises(TlsFault, match="key of another certificate"):
        keeper.look()
    key.write_bytes(key_pem(new))
    keeper.look()
    device = trusting(certificate)
    assert shown(keeper.front.context, device, "clinic.example.org")[0] == certificate
    assert keeper.ends == certificate.not_valid_after_utc


def test_the_clinics_own_certificate_near_its_end_and_an_open_key_are_said(tmp_path: Path) -> None:
    chain, key = brought(tmp_path, "clinic.example.org", days=20)
    key.chmod(0o644)
    keeper = OwnKeeper(chain, key, (), lambda: NOON)
    assert [n.code for n in keeper.notices()] == ["exposed", "ends_soon"]
