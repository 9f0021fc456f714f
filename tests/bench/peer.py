"""The plain peer: what a team would otherwise write. FastAPI, SQLAlchemy's async ORM, SQLite.

A row and a commit a request, the same durability (WAL, FULL), the same server and loop. It checks
the envelope only, keeps no chain and tells nobody. Run as `python -m tests.bench.peer FILE`; it
prints its port and ends with its standard input. Its packages are the extra `bench`.
"""

import asyncio
import socket
import sys
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import uvicorn
from fastapi import FastAPI
from pydantic import BaseModel, ConfigDict
from sqlalchemy import JSON, String, event
from sqlalchemy.ext.asyncio import AsyncSession, async_sessionmaker, create_async_engine
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Base(DeclarativeBase):
    """Base of the peer's rows."""


class EventRow(Base):
    """One event."""

    __tablename__ = "event"

    id: Mapped[str] = mapped_column(String(64), primary_key=True)
    visit: Mapped[str] = mapped_column(String(64), index=True)
    kind: Mapped[str] = mapped_column(String(64))
    device: Mapped[str] = mapped_column(String(64))
    device_seq: Mapped[int]
    occurred_at_ms: Mapped[int]
    payload: Mapped[dict[str, Any]] = mapped_column(JSON)


class EventIn(BaseModel):
    """What comes over the wire."""

    model_config = ConfigDict(extra="allow")

    id: str
    visit: str
    kind: str
    device: str
    device_seq: int
    occurred_at_ms: int


def application(file: str) -> FastAPI:
    """The peer on one SQLite file."""
    engine = create_async_engine(f"sqlite+aiosqlite:///{file}", connect_args={"timeout": 60})
    sessions = async_sessionmaker(engine, class_=AsyncSession, expire_on_commit=False)

    @event.listens_for(engine.sync_engine, "connect")
    def _durable(connection: Any, _: Any) -> None:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        async with engine.begin() as connection:
            await connection.run_sync(Base.metadata.create_all)
        yield
        await engine.dispose()

    app = FastAPI(lifespan=life)

    @app.post("/events")
    async def append(given: EventIn) -> dict[str, str]:
        async with sessions() as session:
            session.add(
                EventRow(
                    id=given.id,
                    visit=given.visit,
                    kind=given.kind,
                    device=given.device,
                    device_seq=given.device_seq,
                    occurred_at_ms=given.occurred_at_ms,
                    payload=given.model_extra or {},
                )
            )
            await session.commit()
        return {"id": given.id, "answer": "recorded"}

    return app


def main() -> None:
    """Serve on a free port of the loopback until standard input ends."""
    listening = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(application(sys.argv[1]), log_level="warning", access_log=False)
    server = uvicorn.Server(config)

    def until_told() -> None:
        sys.stdin.read()
        server.should_exit = True

    threading.Thread(target=until_told, daemon=True).start()
    print(listening.getsockname()[1], flush=True)
    asyncio.run(server.serve(sockets=[listening]))


if __name__ == "__main__":
    main()
