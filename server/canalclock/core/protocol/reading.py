"""Bytes of authored files to values, or every problem at once: protocols and the catalogue.

Form first (binding.py), then meaning (checks.py, catalogue_checks.py); a file whose form is
wrong is not judged for meaning. Not here: disk (protocol_files.py).
"""

from collections.abc import Sequence
from typing import TypeVar

from msgspec import Struct

from canalclock.core.protocol.binding import bind
from canalclock.core.protocol.catalogue_checks import catalogue_problems
from canalclock.core.protocol.checks import protocol_problems
from canalclock.core.protocol.definition import (
    Catalogue,
    Fixed,
    IrrigantEntry,
    Needle,
    Pair,
    Protocol,
    Reach,
)
from canalclock.core.protocol.documents import Document, read_document
from canalclock.core.protocol.problems import Problem

T = TypeVar("T", bound=Struct)
Named = tuple[str, bytes]
"""A file's name for messages, and its bytes."""


class IrrigantsFile(Fixed, frozen=True, kw_only=True):
    """What `irrigants.toml` holds."""

    irrigants: tuple[IrrigantEntry, ...]


class PairsFile(Fixed, frozen=True, kw_only=True):
    """What `pairs.toml` holds."""

    pairs: tuple[Pair, ...]


class NeedlesFile(Fixed, frozen=True, kw_only=True):
    """What `needles.toml` holds."""

    needles: tuple[Needle, ...]
    reach: Reach


def read_protocol(data: bytes, file: str, catalogue: Catalogue) -> Protocol | tuple[Problem, ...]:
    """
    A protocol from its file.

    Args:
        data: The file's bytes.
        file: Its name, for the problems.
        catalogue: The irrigants and pairs it is judged by.

    Returns:
        The protocol; or all problems of the file, in the order of its lines.
    """
    document = read_document(data, file)
    if isinstance(document, Problem):
        return (document,)
    protocol = bind(document, Protocol)
    if isinstance(protocol, tuple):
        return protocol
    problems = protocol_problems(protocol, document, catalogue)
    return tuple(sorted(problems)) if problems else protocol


def read_catalogue(
    irrigants: Named, pairs: Named, needles: Named
) -> Catalogue | tuple[Problem, ...]:
    """The catalogue from its three files; or all problems of all three."""
    problems: list[Problem] = []
    first = _read(irrigants, IrrigantsFile, problems)
    second = _read(pairs, PairsFile, problems)
    third = _read(needles, NeedlesFile, problems)
    if first is None or second is None or third is None:
        return tuple(problems)
    catalogue = Catalogue(
        irrigants=first[1].irrigants,
        pairs=second[1].pairs,
        needles=third[1].needles,
        reach=third[1].reach,
    )
    found = catalogue_problems(catalogue, first[0], second[0], third[0])
    return tuple(sorted(found)) if found else catalogue


def _read(named: Named, definition: type[T], problems: list[Problem]) -> tuple[Document, T] | None:
    file, data = named
    document = read_document(data, file)
    if isinstance(document, Problem):
        problems.append(document)
        return None
    value = bind(document, definition)
    if isinstance(value, tuple):
        problems.extend(value)
        return None
    return document, value


def problems_of(read: object) -> Sequence[Problem]:
    """The problems of what a reading gave, none if it gave a value."""
    return read if isinstance(read, tuple) else ()
