"""The command `canalclock`: one file a command, each imported only when it runs.

Exit codes: 0 done · 1 done, and something was found (problems, breaks) · 2 the command was used
wrongly · 3 a file or the data could not be read or written · 4 another process serves the data ·
130 interrupted.
"""

import importlib
from typing import Final

import click

from canalclock import __version__

COMMANDS: Final = {
    "serve": "Start the service and print its address.",
    "check": "Tell every problem of protocols and catalogues.",
    "plan": "Bind a protocol to a tooth: steps, volumes, syringes.",
    "kit": "Write a protocol with the catalogue as one document.",
    "calc": "Calculate strength, dilution, storage, canal, needle, flow, rinse and more.",
    "report": "Write a visit's report: figures, findings, every entry.",
    "audit": "List every canal of a period against what was asked.",
    "verify": "Walk the chain of every entry and name each break.",
    "migrate": "Bring the tables of a data directory up to date.",
}
"""Every command with its one line; each lives in a file of its name."""

CODES: Final = (
    "Exit codes: 0 done; 1 done, and something was found; 2 used wrongly; 3 a file or the data "
    "could not be read or written; 4 another process serves the data; 130 interrupted."
)


class Lazy(click.Group):
    """A group that imports a command's file only when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names, in the order of the manual."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One command, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"canalclock.cli.{cmd_name}")
        command = module.command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=Lazy,
    epilog=CODES,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="canalclock")
def main() -> None:
    """Records, times, computes and warns at root canal irrigation.

    It never advises a dose, and does not replace licensed judgement or local codes.

    \b
    Examples:
      canalclock serve --demo
      canalclock verify
    """
