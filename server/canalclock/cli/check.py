"""`canalclock check`: what is wrong with protocols and catalogues, all of it at once."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click
import msgspec

from canalclock.cli.options import FOUND, counted, fail, json_option
from canalclock.core.protocol.problems import NotRead, Problem, problem_line


def run_check(files: Sequence[Path], as_json: bool) -> int:
    """
    Check protocol files, and catalogues given as folders.

    Returns:
        Exit code: 0 nothing found, 1 problems.

    Raises:
        OSError: A file cannot be read.
        NotRead: The catalogue to judge by has problems of its own.
    """
    from canalclock import protocol_files as shelf
    from canalclock.core.protocol.reading import problems_of, read_protocol

    catalogue = shelf.shipped_catalogue()
    folders = [f for f in files if f.is_dir()]
    problems: list[Problem] = []
    for folder in folders:  # a catalogue that is given judges the protocols given with it
        given = shelf.read_catalogue_in(folder)
        if isinstance(given, tuple):
            problems.extend(given)
        else:
            catalogue = given
    for file in files:
        if file not in folders:
            problems += problems_of(read_protocol(file.read_bytes(), str(file), catalogue))
    _print(problems, len(files), as_json)
    return FOUND if problems else 0


def _print(problems: Sequence[Problem], files: int, as_json: bool) -> None:
    if as_json:
        click.echo(msgspec.json.encode({"files": files, "problems": problems}))
        return
    for problem in problems:
        click.echo(problem_line(problem))
    click.echo(f"{counted(files, 'file')}, {counted(len(problems), 'problem')}")


@click.command("check")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@json_option
def command(files: tuple[Path, ...], as_json: bool) -> None:
    """Check protocol FILES, and tell every problem with file, line and path.

    Form, names, amounts, what each act needs, and irrigants that would meet without what the
    catalogue asks between them, along the order of the steps. A folder is taken for a catalogue
    (irrigants.toml, pairs.toml, needles.toml) and judges the protocols given with it.

    Exit codes: 0 nothing found; 1 problems; 2 used wrongly; 3 a file cannot be read.

    \b
    Examples:
      canalclock check protocols/*.toml
      canalclock check our-protocol.toml --json
      canalclock check protocols/catalogue our-protocol.toml
    """
    try:
        code = run_check(files, as_json)
    except OSError as fault:
        fail(_unreadable(fault))
    except NotRead as fault:
        fail(f"the catalogue cannot be used:\n{fault}")
    sys.exit(code)


def _unreadable(fault: OSError) -> str:
    name = f"{fault.filename}: " if fault.filename else ""
    return f"{name}{fault.strerror or fault}"
