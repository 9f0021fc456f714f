"""The chain: what ties each entry of a visit to the one before it. Pure."""

import hashlib
from collections.abc import Iterable, Iterator
from typing import Final

from msgspec import Struct

from canalclock.core.record.reading import NotAnEvent, read_envelope

FIRST_PREV: Final = "0" * 64
"""What stands before the first entry of a visit."""


class Link(Struct, frozen=True, kw_only=True):
    """One entry as far as the chain is concerned."""

    visit: str
    seq: int
    recorded_at_ms: int
    prev: str
    digest: str
    line_digest: str
    line: bytes


class Break(Struct, frozen=True, kw_only=True):
    """A place where what is stored is not what was recorded."""

    visit: str | None
    seq: int | None
    what: str
    found: str
    expected: str


def line_digest(line: bytes) -> str:
    """SHA-256 of a line as it was received, lower-case hex."""
    return hashlib.sha256(line).hexdigest()


def entry_digest(prev: str, visit: str, seq: int, recorded_at_ms: int, of_line: str) -> str:
    """
    The digest that an entry hands on.

        SHA-256("cc1\\n" + prev + "\\n" + visit + "\\n" + seq + "\\n" + recorded_at_ms + "\\n"
                + SHA-256(line) + "\\n")

    Args:
        prev: Digest of the entry before; 64 zeros for the first.
        visit: The visit's id.
        seq: Number of the entry in its visit, from 1.
        recorded_at_ms: The server's clock when it was recorded. [ms since 1970, UTC]
        of_line: SHA-256 of the line, lower-case hex.

    Returns:
        Lower-case hex.

    Source:
        Own definition; FIPS 180-4 for SHA-256.
    """
    text = f"cc1\n{prev}\n{visit}\n{seq}\n{recorded_at_ms}\n{of_line}\n"
    return hashlib.sha256(text.encode()).hexdigest()


def breaks(visit: str, links: Iterable[Link], head: tuple[int, str]) -> Iterator[Break]:
    """
    Every break of one visit's chain.

    Args:
        visit: The visit's id.
        links: Its entries in the order of seq.
        head: Number and digest that the ledger keeps as the visit's newest.

    Returns:
        Breaks in the order of seq; after one the walk goes on from what is stored.
    """
    prev, last = FIRST_PREV, 0
    for link in links:
        yield from _breaks_at(link, prev, last + 1)
        prev, last = link.digest, link.seq
    if (last, prev) != head:
        yield Break(
            visit=visit,
            seq=last or None,
            what="newest entry",
            found=f"number {last}, digest {prev}",
            expected=f"number {head[0]}, digest {head[1]}",
        )


def _breaks_at(link: Link, prev: str, seq: int) -> Iterator[Break]:
    of_line = line_digest(link.line)
    digest = entry_digest(link.prev, link.visit, link.seq, link.recorded_at_ms, of_line)
    for what, found, expected in (
        ("number", str(link.seq), str(seq)),
        ("digest of the entry before", link.prev, prev),
        ("digest of the line", link.line_digest, of_line),
        ("digest of the entry", link.digest, digest),
    ):
        if found != expected:
            yield Break(visit=link.visit, seq=link.seq, what=what, found=found, expected=expected)


def filing_breaks(visit: str, seq: int, filed: tuple[object, ...], line: bytes) -> Iterator[Break]:
    """
    Where an entry is filed under something else than its line says.

    Args:
        visit: The visit that the entry is kept in.
        seq: Its number there.
        filed: Its id, kind, device and device_seq, as they are filed.
        line: The line as it was received.
    """
    try:
        said = read_envelope(line)
    except NotAnEvent as fault:
        yield Break(visit=visit, seq=seq, what="line", found=str(fault), expected="an event")
        return
    names = ("visit", "id", "kind", "device", "device_seq")
    inside = (said.visit, said.id, said.kind, said.device, said.device_seq)
    for name, found, expected in zip(names, (visit, *filed), inside, strict=True):
        if found != expected:
            yield Break(
                visit=visit,
                seq=seq,
                what=f"{name} that the entry is filed under",
                found=str(found),
                expected=str(expected),
            )
