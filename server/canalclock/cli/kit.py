"""`canalclock kit`: a protocol with the catalogue as one document that visits are read by."""

from pathlib import Path

import click
import msgspec

from canalclock.cli.options import fail, json_option
from canalclock.cli.protocol_argument import protocol_or_end


def run_kit(file: Path, to: Path | None, as_json: bool) -> int:
    """
    Write the kit of a protocol, and print its digest.

    Args:
        file: The protocol.
        to: Where the kit goes; None prints it instead of the digest.
        as_json: The digest within a JSON document.

    Returns:
        Exit code 0.

    Raises:
        OSError: The kit cannot be written.
    """
    from canalclock.core.kit import kit_bytes, kit_digest
    from canalclock.protocol_files import kit_for

    kit = kit_for(protocol_or_end(file))
    if to is None:
        click.echo(kit_bytes(kit))
        return 0
    part = to.with_name(to.name + ".part")  # whole or not at all
    try:
        part.write_bytes(kit_bytes(kit))
        part.replace(to)
    finally:
        part.unlink(missing_ok=True)
    digest = kit_digest(kit)
    click.echo(msgspec.json.encode({"kit": digest, "file": str(to)}) if as_json else digest)
    return 0


@click.command("kit")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    metavar="FILE",
    help="Where the kit goes; its digest is printed. Without it the kit itself is printed.",
)
@json_option
def command(file: Path, to: Path | None, as_json: bool) -> None:
    """Write the kit of a protocol FILE: protocol, irrigants, pairs and reach in one JSON document.

    Exit codes: 0 written; 1 the protocol has problems; 3 a file cannot be read or written.

    \b
    Examples:
      canalclock kit protocols/mature-apex-one-visit.toml --to kit.json
    """
    try:
        run_kit(file, to, as_json)
    except OSError as fault:
        fail(f"{to}: {fault.strerror or fault}")
