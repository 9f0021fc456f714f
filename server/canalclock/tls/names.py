"""By what names and addresses this machine is reached: for its certificate, and for a device.

Pure: what the system says comes as an argument (interfaces.py asks it).
"""

import ipaddress
import re
from collections.abc import Iterable
from typing import Final

from msgspec import Struct

from canalclock.tls.faults import BadName

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network

PRIVATE: Final[tuple[Network, ...]] = tuple(
    ipaddress.ip_network(text)
    for text in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "127.0.0.0/8",
        "fc00::/7",
        "::1/128",
    )
)
"""Addresses that a local authority may vouch for.

Source: RFC 1918 (private), RFC 4193 (unique local), RFC 1122 and RFC 4291 (loopback).
"""
LOCAL_NAMES: Final = ("local", "localhost")
"""Names, and all that end in them, that a local authority may vouch for.

Source: RFC 6762 (`.local`), RFC 6761 (`localhost`).
"""
_BRIDGE: Final = re.compile(
    r"(docker|br-|veth|virbr|lxc|lxd|cni|flannel|cali|podman|vmnet|vboxnet|vethernet|bridge)", re.I
)
"""Interfaces that lead only to what runs inside this machine."""
_TUNNEL: Final = re.compile(r"(tun|tap|wg|utun|ppp|ipsec|gif|stf|zt|vpn)", re.I)
"""Interfaces that lead out of the clinic, through a tunnel."""
_LABEL: Final = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


class Interface(Struct, frozen=True, kw_only=True):
    """One interface of this machine, with its addresses as text."""

    name: str
    addresses: tuple[str, ...]


class Reached(Struct, frozen=True, kw_only=True):
    """What a certificate of this machine has to name, in order."""

    names: tuple[str, ...]
    addresses: tuple[str, ...]

    @property
    def all(self) -> tuple[str, ...]:
        """Names and addresses."""
        return self.names + self.addresses


def tidy(name: str) -> str:
    """
    A name or an address as certificates spell it: lower case, no dot at the end.

    Raises:
        BadName: It is neither.
    """
    text = name.strip().rstrip(".").lower()
    if (address := address_of(text.strip("[]"))) is not None:
        return str(address)
    labels = text.split(".")
    if len(text) <= 253 and all(_LABEL.fullmatch(label) for label in labels):
        if not labels[-1].isdigit():
            return text
    raise BadName(
        f"--name: found {name!r}, expected a host name of letters, digits, hyphens and dots such "
        "as clinic.local, or an address such as 192.168.1.20; without https://, port or path, "
        "and names in other letters in their xn-- form"
    )


def address_of(text: str) -> Address | None:
    """The address that a text spells; None = it is none."""
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None


def to_name(host: str, given: Iterable[str], found: Iterable[Interface]) -> Reached:
    """
    What the certificate has to name: this machine's own names, those given, its addresses.

    Bridges to containers are left out: they come and go, and no device stands behind them.

    Args:
        host: What the machine calls itself.
        given: Names and addresses from the person who starts it, tidy.
        found: The machine's interfaces.
    """
    given = tuple(given)
    own = host.split(".")[0].lower()
    names = [name for name in given if address_of(name) is None]
    if _LABEL.fullmatch(own) and not own.isdigit():
        names += [own, f"{own}.local"]
    names.append("localhost")
    addresses = [name for name in given if address_of(name) is not None]
    addresses += [
        str(address)
        for interface in found
        if not _BRIDGE.match(interface.name)
        for address in _private(interface.addresses)
    ]
    addresses += ["127.0.0.1", "::1"]
    return Reached(names=_once(names), addresses=_once(addresses))


def for_devices(
    given: Iterable[str], found: Iterable[Interface], container: bool = False
) -> tuple[str, ...]:
    """
    What another device may be told to open, the best first; empty = nothing is known.

    Names given always win. Never loopback, a bridge, a tunnel or an address that is not private;
    inside a container no address at all, since its own are not reached from outside.

    Args:
        given: Names and addresses from the person who starts it, tidy.
        found: The machine's interfaces.
        container: Whether this runs in a container.
    """
    given = [name for name in given if not is_loopback(name)]
    if container:
        return _once(given)
    lan = [
        address
        for interface in found
        if not _BRIDGE.match(interface.name) and not _TUNNEL.match(interface.name)
        for address in _private(interface.addresses)
        if not address.is_loopback
    ]
    lan.sort(key=lambda address: address.version)
    return _once([*given, *(str(address) for address in lan)])


def is_loopback(host: str) -> bool:
    """Whether a name or an address leads to the machine itself."""
    address = address_of(host.strip("[]"))
    return address.is_loopback if address else host == "localhost" or host.endswith(".localhost")


def web_address(scheme: str, host: str, port: int, path: str = "/") -> str:
    """An address to open; a port that the scheme implies is left out, IPv6 stands in brackets."""
    implied = {"http": 80, "https": 443}[scheme]
    bracketed = f"[{host}]" if ":" in host else host
    return f"{scheme}://{bracketed}{'' if port == implied else f':{port}'}{path}"


def _private(addresses: Iterable[str]) -> list[Address]:
    read = [address_of(text.split("%")[0]) for text in addresses]
    return [address for address in read if address is not None and is_private(address)]


def is_private(address: Address) -> bool:
    """Whether a local authority may vouch for an address."""
    return any(address in network for network in PRIVATE if network.version == address.version)


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))
