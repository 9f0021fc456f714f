"""Options and endings that several commands share."""

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, NoReturn, TypeVar

import click

from canalclock.settings import default_data

FOUND: Final = 1
USED_WRONGLY: Final = 2
UNREADABLE: Final = 3
IN_USE: Final = 4

F = TypeVar("F", bound=Callable[..., Any])


def now_ms() -> int:
    """The clock of this machine, at the shell's edge. [ms since 1970, UTC]"""
    return time.time_ns() // 1_000_000


def data_option(function: F) -> F:
    """`--data DIR`."""
    return click.option(
        "--data",
        type=click.Path(path_type=Path, file_okay=False),
        default=None,
        metavar="DIR",
        help="Directory of the ledger. Without it: $CANALCLOCK_DATA, else "
        f"{default_data(os.environ)}.",
    )(function)


def json_option(function: F) -> F:
    """`--json`."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON document instead of text."
    )(function)


def the_data(given: Path | None) -> Path:
    """The data directory that a command works on."""
    return (given or default_data(os.environ)).absolute()


def counted(count: int, thing: str) -> str:
    """
    A count with its noun.

    Examples:
        >>> counted(0, "file"), counted(1, "file")
        ('0 files', '1 file')
    """
    return f"{count} {thing}{'' if count == 1 else 's'}"


def fail(message: str, code: int = UNREADABLE) -> NoReturn:
    """Say what went wrong and end."""
    click.echo(f"canalclock: {message}", err=True)
    sys.exit(code)
