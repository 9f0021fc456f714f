"""The addresses that this machine has, asked of the system; and its own name."""

import socket
from pathlib import Path

from canalclock.tls.names import Interface

_CONTAINER_MARKS = (Path("/.dockerenv"), Path("/run/.containerenv"))


def interfaces() -> tuple[Interface, ...]:
    """Every interface with its addresses, in the system's order; nothing is sent to find them."""
    import ifaddr

    return tuple(
        Interface(
            name=adapter.nice_name,
            addresses=tuple(ip.ip if isinstance(ip.ip, str) else ip.ip[0] for ip in adapter.ips),
        )
        for adapter in ifaddr.get_adapters()
    )


def host_name() -> str:
    """What this machine calls itself."""
    return socket.gethostname()


def in_container() -> bool:
    """Whether this runs in a container, whose own addresses other devices do not reach."""
    return any(mark.exists() for mark in _CONTAINER_MARKS)
