"""By what this machine is reached: in its certificate, and in a code for another device."""

import pytest

from canalclock.tls.faults import BadName
from canalclock.tls.names import for_devices, tidy, to_name, web_address
from tests.unit.tls.machine import interfaces

MANY = interfaces(
    lo=["127.0.0.1", "::1"],
    docker0=["172.17.0.1"],
    br_1f2e=["172.18.0.1"],
    veth12=["169.254.3.3"],
    wg0=["10.8.0.2"],
    eth0=["192.168.1.20", "fd00::20", "fe80::1"],
)


def test_a_certificate_names_the_host_its_local_name_and_its_addresses() -> None:
    found = interfaces(lo=["127.0.0.1", "::1"], eth0=["192.168.1.20", "fd00::20"])
    reached = to_name("clinic", (), found)
    assert reached.names == ("clinic", "clinic.local", "localhost")
    assert reached.addresses == ("127.0.0.1", "::1", "192.168.1.20", "fd00::20")


def test_a_certificate_leaves_out_bridges_and_what_is_not_private() -> None:
    found = (*MANY, *interfaces(eth1=["203.0.113.9", "169.254.1.1", "100.64.0.9", "2001:db8::1"]))
    assert set(to_name("clinic", (), found).addresses) == {
        "10.8.0.2", "192.168.1.20", "fd00::20", "127.0.0.1", "::1",
    }  # fmt: skip


@pytest.mark.parametrize("host", ["", "10", "praxis_süd", "-x", "a" * 64])
def test_a_host_name_that_no_certificate_can_hold_is_left_out(host: str) -> None:
    assert to_name(host, (), ()).names == ("localhost",)


def test_a_device_is_told_the_address_in_the_clinics_network_and_no_other() -> None:
    assert for_devices((), MANY) == ("192.168.1.20", "fd00::20")


def test_a_name_that_was_given_always_wins() -> None:
    assert for_devices(("clinic.example.org",), MANY)[0] == "clinic.example.org"


@pytest.mark.parametrize("given", ["localhost", "127.0.0.1", "::1", "x.localhost"])
def test_a_device_is_never_told_the_machines_own_name_for_itself(given: str) -> None:
    assert for_devices((given,), ()) == ()


def test_with_the_cable_out_there_is_nothing_to_tell() -> None:
    left = tuple(one for one in MANY if one.name != "eth0")
    assert for_devices((), left) == ()


def test_a_container_tells_only_names_that_were_given() -> None:
    found = interfaces(lo=["127.0.0.1"], eth0=["172.17.0.2"])
    assert for_devices((), found, container=True) == ()
    assert for_devices(("192.168.1.20",), found, container=True) == ("192.168.1.20",)


def test_several_networks_are_offered_for_choice_the_older_protocol_first() -> None:
    found = interfaces(eth0=["fd00::20", "192.168.1.20"], wlan0=["10.0.0.7"])
    assert for_devices((), found) == ("192.168.1.20", "10.0.0.7", "fd00::20")


@pytest.mark.parametrize(
    ("scheme", "host", "port", "expected"),
    [
        ("https", "192.168.1.20", 8470, "https://192.168.1.20:8470/"),
        ("https", "fd00::20", 8470, "https://[fd00::20]:8470/"),
        ("https", "clinic.local", 443, "https://clinic.local/"),
        ("http", "clinic.local", 80, "http://clinic.local/"),
        ("http", "clinic.local", 443, "http://clinic.local:443/"),
    ],
)
def test_an_address_holds_its_port_and_brackets(
    scheme: str, host: str, port: int, expected: str
) -> None:
    assert web_address(scheme, host, port) == expected


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ("Clinic.LOCAL.", "clinic.local"),
        ("[fd00::0020]", "fd00::20"),
        ("192.168.1.20", "192.168.1.20"),
        ("xn--praxis-sd-b6a.local", "xn--praxis-sd-b6a.local"),
    ],
)
def test_names_are_spelled_one_way(given: str, expected: str) -> None:
    assert tidy(given) == expected


@pytest.mark.parametrize(
    "given",
    ["", "https://clinic.local", "clinic.local:8470", "clinic.local/x", "*.clinic.local",
     "praxis-süd.local", "a..b", "192.168.1.300", "clinic local", "x" * 64],
)  # fmt: skip
def test_what_is_no_name_is_refused_and_quoted(given: str) -> None:
    with pytest.raises(BadName, match="expected a host name") as refused:
        tidy(given)
    assert repr(given) in str(refused.value)
