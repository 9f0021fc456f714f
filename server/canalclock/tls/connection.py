"""What the service says of its own connection, to the console and to screens."""

from typing import Literal

from msgspec import Struct

Mode = Literal["plain", "authority", "own", "proxy"]
NoticeCode = Literal["ends_soon", "not_renewed", "names_left_out", "authority_ends", "exposed"]


class Notice(Struct, frozen=True, kw_only=True):
    """Something about the certificate that a person should see to."""

    code: NoticeCode
    about: str
    """Names, a date or the reason; the screen has the words around it."""


class Connection(Struct, frozen=True, kw_only=True):
    """How this service is reached, and what stands behind its https."""

    mode: Mode
    addresses: tuple[str, ...] = ()
    """Addresses that other devices may open, the best first; empty = none is known."""
    trust: tuple[str, ...] = ()
    """Plain addresses of the page that brings a device to trust the authority."""
    fingerprint: str | None = None
    """SHA-256 of the local authority, in pairs; null without one."""
    ends_at_ms: int | None = None
    """When the certificate in use ends. [ms since 1970, UTC]"""
    notices: tuple[Notice, ...] = ()


PLAIN = Connection(mode="plain")
