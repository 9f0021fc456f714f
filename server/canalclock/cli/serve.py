"""`canalclock serve`: the service on this machine, until it is told to stop."""

import asyncio
import contextlib
import gc
import ipaddress
import logging
import signal
import socket
import sys
import tempfile
from collections.abc import AsyncIterator, Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, NoReturn

import click
import msgspec

from canalclock.cli.announce import announce
from canalclock.cli.https import Plain, Secure, tidy_settings
from canalclock.cli.options import (
    IN_USE,
    UNREADABLE,
    USED_WRONGLY,
    data_option,
    fail,
    json_option,
    now_ms,
    the_data,
)
from canalclock.settings import Settings

if TYPE_CHECKING:
    import uvicorn
    from litestar import Litestar

    from canalclock.accounts.values import Clinic
    from canalclock.core.kit import Kit

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
@click.option("--tls", is_flag=True, help="Answer over https, by a local authority.")
@click.option(
    "--certificate", type=click.Path(path_type=Path), metavar="FILE",
    help="The clinic's own certificate, with those up to its authority, as PEM; with --key.",
)  # fmt: skip
@click.option(
    "--key", type=click.Path(path_type=Path), metavar="FILE",
    help="The key of --certificate, as PEM without a password.",
)  # fmt: skip
@click.option(
    "--trust-port", type=click.IntRange(0, 65535), metavar="PORT",
    help="Plain-http port with the page that brings a device to trust; without it, the port after "
    "--port.",
)  # fmt: skip
@click.option(
    "--new-authority", is_flag=True,
    help="With --tls: make another local authority; every device has to trust it anew.",
)  # fmt: skip
@click.option(
    "--proxy", "proxies", multiple=True, metavar="ADDRESS",
    help="Address or network of a reverse proxy that does https and says who asked.",
)  # fmt: skip
@data_option
@json_option
def command(
    demo: bool,
    host: str,
    port: int,
    names: tuple[str, ...],
    tls: bool,
    certificate: Path | None,
    key: Path | None,
    trust_port: int | None,
    new_authority: bool,
    proxies: tuple[str, ...],
    data: Path | None,
    as_json: bool,
) -> None:
    """Start the service and print its address, also as a QR code.

    With --demo and without --data the data is temporary and goes when the service stops.

    \b
    Examples:
      canalclock serve --demo
      canalclock serve --host 0.0.0.0 --tls --data ./clinic
      canalclock serve --host 0.0.0.0 --certificate clinic.pem --key clinic.key
      canalclock serve --proxy 127.0.0.1 --name clinic.example.org
    """
    _fit_together(tls, certificate, key, trust_port, new_authority, proxies)
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(name)s: %(message)s")
    signal.signal(signal.SIGTERM, _end)
    with _directory(demo, data) as directory:
        settings = Settings(
            data=directory,
            host=host,
            port=port,
            names=names,
            tls=tls or certificate is not None,
            certificate=certificate,
            key=key,
            new_authority=new_authority,
            trust_port=trust_port,
            proxies=proxies,
            demo=demo,
            temporary=demo and data is None,
        )
        with (
            contextlib.suppress(KeyboardInterrupt),
            asyncio.Runner(loop_factory=_loop_factory()) as runner,
        ):
            runner.run(_serve(settings, as_json))


def _fit_together(
    tls: bool,
    certificate: Path | None,
    key: Path | None,
    trust_port: int | None,
    new_authority: bool,
    proxies: tuple[str, ...],
) -> None:
    """Refuse options that contradict each other, or that would do nothing."""
    if (certificate is None) != (key is None):
        raise click.UsageError("--certificate and --key go together: found only one of them")
    own = certificate is not None
    if proxies and (tls or own):
        raise click.UsageError("--proxy does https in place of --tls: found both")
    if own and (tls or new_authority):
        raise click.UsageError(
            "--certificate stands in place of the local authority of --tls: found both"
        )
    if new_authority and not tls:
        raise click.UsageError("--new-authority makes one for --tls: found no --tls")
    if trust_port is not None and not (tls or own):
        raise click.UsageError("--trust-port is a second port beside https: found no --tls")
    for proxy in proxies:
        try:
            ipaddress.ip_network(proxy)
        except ValueError as fault:
            raise click.UsageError(
                f"--proxy: found {proxy!r}, expected an address such as 127.0.0.1 or a network "
                "such as 10.1.0.0/24"
            ) from fault


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
    from canalclock.tls.faults import TlsFault

    try:
        settings = tidy_settings(settings)
    except TlsFault as fault:
        fail(str(fault), USED_WRONGLY)
    _place(settings)
    listening = _listen(settings.host, settings.port, "--port")
    port = int(listening.getsockname()[1])
    beside = _listen_beside(settings, port)
    kits = _kits()
    try:
        opened = await start(settings, now_ms, kits, _clinic(settings))
    except LedgerInUse as fault:
        fail(str(fault), IN_USE)
    except (LedgerError, OSError) as fault:
        fail(str(fault), UNREADABLE)
    try:
        served: Plain | Secure = _served(settings, port, beside)
    except TlsFault as fault:
        await opened.close()
        fail(str(fault), UNREADABLE)
    answers = msgspec.structs.replace(settings, names=served.own_names())
    app = create_app(opened.service, answers, served.connection)
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
            announce(settings, served, port, as_json)

        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            opened.service.hub.close()
            await super().shutdown(sockets)
            await opened.close()

    config = server_config(app, settings)
    gc.collect()
    gc.freeze()
    try:
        if isinstance(served, Secure) and beside is not None:
            config.load()
            config.ssl = served.front.context
            served.renewal.start()
            async with _plain_port(served, beside):
                await Server(config).serve(sockets=[listening])
        else:
            await Server(config).serve(sockets=[listening])
    finally:
        if isinstance(served, Secure):
            served.renewal.stop()
        await opened.close()


def _place(settings: Settings) -> None:
    """Refuse a directory that cannot hold the ledger."""
    from canalclock.data_place import mounts, why_not
    from canalclock.ledger.sqlite import FILE

    if (why := why_not(settings.data, FILE, mounts())) is not None:
        fail(why, UNREADABLE)


def server_config(app: Any, settings: Settings) -> "uvicorn.Config":
    """How the service answers; who asked is taken from the headers of this machine's proxy alone,
    or of those that were named, whatever the environment says."""
    import uvicorn

    return uvicorn.Config(
        app,
        log_level="warning",
        lifespan="off",
        server_header=False,
        date_header=True,
        ws_max_size=65_536,
        timeout_graceful_shutdown=GRACE_S,
        forwarded_allow_ips=list(settings.proxies or ("127.0.0.1", "::1")),
    )


def _served(settings: Settings, port: int, beside: socket.socket | None) -> Plain | Secure:
    if beside is not None:
        return Secure(settings, port, int(beside.getsockname()[1]))
    return Plain(mode="proxy" if settings.proxies else "plain", settings=settings, port=port)


@contextlib.asynccontextmanager
async def _plain_port(served: Secure, beside: socket.socket) -> AsyncIterator[None]:
    """The page that brings a device to trust, for as long as the service runs."""
    import uvicorn

    class Beside(uvicorn.Server):
        """Stops with the service, which hears the signals."""

        @contextlib.contextmanager
        def capture_signals(self) -> Iterator[None]:
            yield

    config = uvicorn.Config(
        served.entrance(),
        log_level="warning",
        lifespan="off",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=1,
    )
    server = Beside(config)
    running = asyncio.create_task(server.serve(sockets=[beside]))
    try:
        yield
    finally:
        server.should_exit = True
        await running


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


def _listen_beside(settings: Settings, port: int) -> socket.socket | None:
    """The plain port beside https; None = there is no https."""
    if not settings.tls:
        return None
    asked = settings.trust_port
    if asked is None:
        asked = 0 if settings.port == 0 else min(port + 1, 65535)
    return _listen(settings.host, asked, "--trust-port")


def _listen(host: str, port: int, option: str) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(512)
    except OSError as fault:
        fail(
            f"cannot listen on {host} port {port}: {fault.strerror}; "
            f"stop what listens there, or give another {option}",
            UNREADABLE,
        )
    listening.setblocking(False)
    return listening
