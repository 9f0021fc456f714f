"""What `serve` prints once it answers: addresses, a code for other devices, what is lost."""

import click
import msgspec

from canalclock.cli.https import EVERYWHERE, Served, notice_text
from canalclock.data_place import goes_with_container, mounts
from canalclock.settings import Settings
from canalclock.tls.connection import Connection
from canalclock.tls.interfaces import in_container
from canalclock.tls.names import is_loopback, web_address

LOST = (
    "Without https other devices can use the pages but lose what browsers keep for https:\n"
    "working offline, installing the app, keeping the screen awake. Whoever is on this\n"
    "network can read what is sent. Start it with --tls to have all three."
)
ALONE = (
    "Only this machine can open it. For other devices: --host 0.0.0.0 --tls\n"
    "(without --tls they lose working offline, installing the app, keeping the screen awake)."
)
NOWHERE = (
    "This machine has no address that other devices could open, or runs in a container, whose\n"
    "address they cannot; give the one that they reach it by: --name 192.168.1.20"
)
LAYER = (
    "The data lies in the container's own layer: what is recorded goes with the container.\n"
    "Mount a directory there to keep it."
)
GOES = (
    "The local authority goes with the temporary data: each start has devices trust a new one.\n"
    "Give --data DIR to keep it."
)


def announce(settings: Settings, served: Served, port: int, as_json: bool) -> None:
    """
    Print how the service is reached.

    Args:
        settings: What it was started with.
        served: How it is reached.
        port: Where it listens.
        as_json: One JSON document instead of text.
    """
    said = served.connection()
    address = _address(settings, said, port)
    if as_json:
        document = {
            "address": address,
            "data": str(settings.data),
            "temporary": settings.temporary,
            "connection": said,
        }
        click.echo(msgspec.json.encode(document))
        return
    click.echo(f"Canalclock answers at {address}")
    click.echo(f"Data: {settings.data}" + (", temporary" if settings.temporary else ""))
    for further in said.addresses:
        if further != address:
            click.echo(f"also {further}")
    _code(said, address)
    for line in _words(settings, said):
        click.echo(line)
    click.echo("Stop it with Ctrl-C.")


def _address(settings: Settings, said: Connection, port: int) -> str:
    """The first address of other devices; without one, this machine's."""
    if said.addresses and said.mode != "proxy":
        return said.addresses[0]
    host = "127.0.0.1" if settings.host in EVERYWHERE else settings.host
    scheme = "https" if said.mode in ("authority", "own") else "http"
    return web_address(scheme, host, port)


def _code(said: Connection, address: str) -> None:
    """A code of what a device opens first: the page of trust, else the address printed above."""
    first = (*said.trust, *said.addresses, address)
    import segno

    if said.trust:
        click.echo("To bring a device to trust it, have the device open, over plain http,")
        click.echo("\n".join(f"  {address}" for address in said.trust))
    segno.make(first[0], micro=False).terminal(compact=True)


def _words(settings: Settings, said: Connection) -> list[str]:
    lines = []
    if said.fingerprint is not None:
        pairs = said.fingerprint.split(" ")
        lines += ["Fingerprint of the local authority (SHA-256), to compare on the device:"]
        lines += ["  " + " ".join(pairs[at : at + 16]) for at in (0, 16)]
        lines += [GOES] if settings.temporary else []
    if said.mode == "plain":
        lines += [ALONE] if is_loopback(settings.host) else [LOST]
    if not said.addresses and not is_loopback(settings.host):
        lines += [NOWHERE]
    if not settings.temporary and in_container() and goes_with_container(settings.data, mounts()):
        lines += [LAYER]
    return lines + [notice_text(notice) for notice in said.notices]
