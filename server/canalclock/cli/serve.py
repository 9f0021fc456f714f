"""`canalclock serve`: the service on this machine, until it is told to stop."""

import asyncio
import contextlib
import gc
import logging
import signal
import socket
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, NoReturn

import click
import msgspec

from canalclock.cli.options import (
    IN_USE,
    UNREADABLE,
    data_option,
    fail,
    json_option,
    now_ms,
    the_data,
)
from canalclock.settings import Settings

if TYPE_CHECKING:
    from litestar import Litestar

    from canalclock.accounts.values import Clinic
    from canalclock.core.kit import Kit

LOOPBACK = ("127.0.0.1", "localhost", "::1")
GRACE_S = 5
"""How long requests may take to finish once the service is told to stop. [s]"""


@click.command("serve")
@click.option("--demo", is_flag=True, help="A demonstration clinic, in a directory of its own.")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option(
    "--port", default=8470, show_default=True, type=click.IntRange(0, 65535),
    help="Port to listen on; 0 takes a free one.",
)  # fmt: skip
@click.option(
    "--name", "names", multiple=True, metavar="NAME",
    help="Further name by which this machine is reached, such as clinic.example.org.",
)  # fmt: skip
@data_option
@json_option
def command(
    demo: bool, host: str, port: int, names: tuple[str, ...], data: Path | None, as_json: bool
) -> None:
    """Start the service and print its address, also as a QR code.

    With --demo and without --data the data is temporary and goes when the service stops.

    \b
    Examples:
      canalclock serve --demo
      canalclock serve --host 0.0.0.0 --port 8470 --data ./clinic
    """
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")
    signal.signal(signal.SIGTERM, _end)
    with _directory(demo, data) as directory:
        settings = Settings(
            data=directory,
            host=host,
            port=port,
            names=names,
            demo=demo,
            temporary=demo and data is None,
        )
        with (
            contextlib.suppress(KeyboardInterrupt),
            asyncio.Runner(loop_factory=_loop_factory()) as runner,
        ):
            runner.run(_serve(settings, as_json))


def _loop_factory() -> Callable[[], asyncio.AbstractEventLoop] | None:
    """The quicker loop where there is one; None = Python's own."""
    try:
        import uvloop
    except ImportError:
        return None
    return uvloop.new_event_loop


def _end(number: int, frame: FrameType | None) -> NoReturn:
    """Told to stop before the service runs: clear up and end."""
    sys.exit(128 + number)


@contextlib.contextmanager
def _directory(demo: bool, data: Path | None) -> Iterator[Path]:
    if demo and data is None:
        with tempfile.TemporaryDirectory(prefix="canalclock-demo-") as made:
            yield Path(made)
    else:
        yield the_data(data)


async def _serve(settings: Settings, as_json: bool) -> None:
    import uvicorn

    from canalclock.app import create_app, start
    from canalclock.ledger.port import LedgerError, LedgerInUse

    listening = _listen(settings)
    kits = _kits()
    try:
        opened = await start(settings, now_ms, kits, _clinic(settings))
    except LedgerInUse as fault:
        fail(str(fault), IN_USE)
    except (LedgerError, OSError) as fault:
        fail(str(fault), UNREADABLE)
    app = create_app(opened.service, settings)
    if settings.demo:
        await _post_demo(app, kits)

    class Server(uvicorn.Server):
        """Ends the live streams first, so that stopping does not wait for them."""

        def handle_exit(self, sig: int, frame: FrameType | None) -> None:
            opened.service.hub.close()
            super().handle_exit(sig, frame)

        @contextlib.contextmanager
        def capture_signals(self) -> Iterator[None]:
            """Stop on a signal and then go on, so that what was made for the run is cleared."""
            signals = (signal.SIGINT, signal.SIGTERM)
            before = {number: signal.signal(number, self.handle_exit) for number in signals}
            try:
                yield
            finally:
                for number, handler in before.items():
                    signal.signal(number, handler)

        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            _announce(settings, listening.getsockname()[1], as_json)

        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            opened.service.hub.close()
            await super().shutdown(sockets)
            await opened.close()

    config = uvicorn.Config(
        app,
        log_level="warning",
        lifespan="off",
        server_header=False,
        date_header=True,
        ws_max_size=65_536,
        timeout_graceful_shutdown=GRACE_S,
    )
    gc.collect()
    gc.freeze()
    try:
        await Server(config).serve(sockets=[listening])
    finally:
        await opened.close()


def _clinic(settings: Settings) -> "Clinic":
    if settings.demo:
        from canalclock.demo.clinic import CLINIC

        return CLINIC
    from canalclock.accounts.values import NEW_CLINIC

    return NEW_CLINIC


async def _post_demo(app: "Litestar", kits: "list[Kit]") -> None:
    from canalclock.demo.post import post_demo

    by_name = {kit.protocol.protocol: kit for kit in kits if kit.protocol}
    await post_demo(app, by_name, now_ms)


def _kits() -> "list[Kit]":
    from canalclock.core.protocol.problems import NotRead
    from canalclock.protocol_files import kit_for, shipped_protocols

    try:
        return [*(kit_for(protocol) for protocol in shipped_protocols()), kit_for(None)]
    except (NotRead, OSError) as fault:
        fail(f"the shipped protocols cannot be read: {fault}", UNREADABLE)


def _listen(settings: Settings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((settings.host, settings.port))
        listening.listen(512)
    except OSError as fault:
        fail(
            f"cannot listen on {settings.host} port {settings.port}: {fault.strerror}; "
            "stop what listens there, or give another --port",
            UNREADABLE,
        )
    listening.setblocking(False)
    return listening


def _announce(settings: Settings, port: int, as_json: bool) -> None:
    local = settings.host in LOOPBACK
    host = _own_address() if settings.host in ("0.0.0.0", "::") else settings.host  # noqa: S104
    address = f"http://{f'[{host}]' if ':' in host else host}:{port}/"
    if as_json:
        said = {"address": address, "data": str(settings.data), "temporary": settings.temporary}
        click.echo(msgspec.json.encode(said))
        return
    import segno

    click.echo(f"Canalclock answers at {address}")
    click.echo(f"Data: {settings.data}" + (", temporary" if settings.temporary else ""))
    segno.make(address, micro=False).terminal(compact=True)
    if not local:
        click.echo(
            "Without https other devices can use the pages but lose what browsers keep for https:\n"
            "working offline, installing the app, keeping the screen awake. Whoever is on this\n"
            "network can read what is sent."
        )
    click.echo("Stop it with Ctrl-C.")


def _own_address() -> str:
    """This machine's address on its network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"
