"""A small reverse proxy: https outside, http inside, as one that a clinic puts before the service.

It ends TLS, names itself in `X-Forwarded-Proto` and `X-Forwarded-For`, keeps `Host`, and passes
everything else on byte by byte, WebSockets included. A request a connection.
"""

import asyncio
import contextlib
import ssl
from collections.abc import AsyncIterator
from pathlib import Path

HEAD_MAX = 65_536


@contextlib.asynccontextmanager
async def proxying(chain: Path, key: Path, to_port: int) -> AsyncIterator[int]:
    """A proxy before a port of this machine; answers the port that it listens on."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(chain, key)
    running: set[asyncio.Task[None]] = set()

    async def answer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None
        running.add(task)
        try:
            await _pass_on(reader, writer, to_port)
        except (OSError, asyncio.IncompleteReadError):
            pass
        finally:
            running.discard(task)
            writer.close()

    server = await asyncio.start_server(answer, "127.0.0.1", 0, ssl=context, limit=HEAD_MAX)
    try:
        yield server.sockets[0].getsockname()[1]
    finally:
        server.close()
        for task in list(running):
            task.cancel()
        await asyncio.gather(*running, return_exceptions=True)


async def _pass_on(
    reader: asyncio.StreamReader, writer: asyncio.StreamWriter, to_port: int
) -> None:
    head = await reader.readuntil(b"\r\n\r\n")
    first, _, rest = head.partition(b"\r\n")
    lines = [line for line in rest.split(b"\r\n") if line]
    kept = [line for line in lines if not line.lower().startswith(b"x-forwarded-")]
    if not any(line.lower().startswith(b"upgrade:") for line in kept):
        kept = [line for line in kept if not line.lower().startswith(b"connection:")]
        kept.append(b"Connection: close")
    kept += [b"X-Forwarded-Proto: https", b"X-Forwarded-For: 192.168.1.77"]
    inside, outside = await asyncio.open_connection("127.0.0.1", to_port)
    outside.write(b"\r\n".join([first, *kept, b"", b""]))
    to_service = asyncio.create_task(_pipe(reader, outside))
    try:
        await _pipe(inside, writer)
    finally:
        to_service.cancel()
        await asyncio.gather(to_service, return_exceptions=True)
        outside.close()


async def _pipe(source: asyncio.StreamReader, sink: asyncio.StreamWriter) -> None:
    while content := await source.read(65_536):
        sink.write(content)
        await sink.drain()
