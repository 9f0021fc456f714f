"""A protocol file named on the command line, read or told what is wrong with it."""

import sys
from pathlib import Path

import click

from canalclock.cli.options import FOUND, fail
from canalclock.core.protocol.definition import Protocol
from canalclock.core.protocol.problems import NotRead, problem_line


def protocol_or_end(file: Path) -> Protocol:
    """The protocol of a file; with problems it prints them and ends with code 1, unreadable 3."""
    from canalclock.core.protocol.reading import read_protocol
    from canalclock.protocol_files import shipped_catalogue

    try:
        read = read_protocol(file.read_bytes(), str(file), shipped_catalogue())
    except NotRead as fault:
        fail(f"the catalogue cannot be used:\n{fault}")
    except OSError as fault:
        fail(f"{file}: {fault.strerror or fault}")
    if isinstance(read, tuple):
        for problem in read:
            click.echo(problem_line(problem), err=True)
        sys.exit(FOUND)
    return read
