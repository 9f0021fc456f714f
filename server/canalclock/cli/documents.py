"""Where documents of the command line go: a file, written whole or not at all, or the screen."""

import os
import tempfile
from pathlib import Path

import click

from canalclock.cli.options import fail


def write_document(content: bytes, to: str) -> None:
    """
    Write to a file, or to the screen for `-`.

    The file appears with its whole content or not at all; one that was there stays until then.
    """
    if to == "-":
        click.echo(content, nl=False)
        return
    path = Path(to)
    made = None
    try:
        with tempfile.NamedTemporaryFile(
            dir=path.parent, prefix=f".{path.name}.", delete=False
        ) as file:
            made = file.name
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(made, 0o644 & ~_mask())
        os.replace(made, path)
    except OSError as fault:
        if made is not None:
            Path(made).unlink(missing_ok=True)
        fail(f"{to}: cannot be written: {fault.strerror or fault}")


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def form_of(to: str, forms: tuple[str, ...]) -> str:
    """
    The form that a file's name asks for; JSON for `-`.

    Raises:
        click.BadParameter: Another ending.
    """
    if to == "-":
        return "json"
    ending = Path(to).suffix.lower().removeprefix(".")
    if ending in forms:
        return ending
    raise click.BadParameter(
        f"found {to!r}, expected a name that ends in "
        + " or ".join(f".{form}" for form in forms)
        + ", or - for the screen",
        param_hint="--to",
    )
