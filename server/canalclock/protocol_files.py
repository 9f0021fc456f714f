"""Finds and reads the shipped protocols and catalogue: the only place that knows where they lie.

An installed package carries them as `canalclock/protocols`; a checkout has them at its top.
"""

from functools import cache
from pathlib import Path
from typing import Final

from canalclock.core.kit import Kit, make_kit
from canalclock.core.protocol.definition import Catalogue, Protocol
from canalclock.core.protocol.problems import NotRead, Problem
from canalclock.core.protocol.reading import read_catalogue, read_protocol

CATALOGUE_FILES: Final = ("irrigants.toml", "pairs.toml", "needles.toml")


class FilesMissing(OSError):
    """The shipped protocols are not where an installed package or a checkout has them."""


def protocols_dir() -> Path:
    """
    The folder with the shipped protocols.

    Raises:
        FilesMissing: Neither the package nor the checkout around it has one.
    """
    package = Path(__file__).parent
    for folder in (package / "protocols", package.parents[1] / "protocols"):
        if (folder / "catalogue").is_dir():
            return folder
    raise FilesMissing("found no folder 'protocols' with a 'catalogue' in it beside the package")


def read_catalogue_in(folder: Path) -> Catalogue | tuple[Problem, ...]:
    """
    The catalogue of a folder, or all problems of its three files.

    Raises:
        OSError: A file cannot be read.
    """
    irrigants, pairs, needles = (
        (f"catalogue/{name}", (folder / name).read_bytes()) for name in CATALOGUE_FILES
    )
    return read_catalogue(irrigants, pairs, needles)


@cache
def shipped_catalogue() -> Catalogue:
    """
    The catalogue that comes with the program.

    Raises:
        NotRead: The shipped files have been changed and have problems.
        FilesMissing: They are not there.
    """
    catalogue = read_catalogue_in(protocols_dir() / "catalogue")
    if isinstance(catalogue, tuple):
        raise NotRead(catalogue)
    return catalogue


@cache
def shipped_protocols() -> tuple[Protocol, ...]:
    """
    The protocols that come with the program, by their names.

    Raises:
        NotRead: The shipped files have been changed and have problems.
        FilesMissing: They are not there.
    """
    protocols: list[Protocol] = []
    problems: list[Problem] = []
    for path in sorted(protocols_dir().glob("*.toml")):
        read = read_protocol(path.read_bytes(), path.name, shipped_catalogue())
        if isinstance(read, Protocol):
            protocols.append(read)
        else:
            problems.extend(read)
    if problems:
        raise NotRead(problems)
    return tuple(protocols)


def shipped_protocol(name: str) -> Protocol:
    """
    One shipped protocol by its name.

    Raises:
        KeyError: There is none of that name; the message lists those there are.
    """
    protocols = {p.protocol: p for p in shipped_protocols()}
    if name not in protocols:
        raise KeyError(f"found {name!r}, expected one of: {', '.join(protocols)}")
    return protocols[name]


def kit_for(protocol: Protocol | None) -> Kit:
    """A kit of the shipped catalogue with a protocol, or with none."""
    return make_kit(protocol, shipped_catalogue())
