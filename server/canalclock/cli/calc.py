"""`canalclock calc`: the calculators as commands, their flags named after their inputs."""

from typing import Any

import click
import msgspec
from msgspec import structs

from canalclock.cli.options import json_option
from canalclock.core.calculators import CALCULATORS
from canalclock.core.calculators.asking import Answer, Calculator

DIGITS = 6
"""Significant digits of what is printed; `--json` gives all."""


def _flag(name: str) -> str:
    return "--" + name.replace("_", "-")


def _kind(field: structs.FieldInfo) -> click.ParamType[Any]:
    kinds = getattr(field.type, "__args__", (field.type,))
    if str in kinds:
        return click.STRING
    return click.FLOAT if float in kinds else click.INT


def _option(field: structs.FieldInfo) -> click.Option:
    required = field.required
    default = None if required or field.default is None else field.default
    return click.Option(
        [_flag(field.name), field.name],
        type=_kind(field),
        required=required,
        default=default,
        show_default=default is not None,
    )


def _line(name: str, value: object) -> str:
    match value:
        case bool():
            shown = "yes" if value else "no"
        case float():
            shown = f"{value:.{DIGITS}g}"
        case None:
            shown = "-"
        case _:
            shown = str(value)
    return f"{name:<26} {shown}"


def _print(answer: Answer) -> None:
    for name, value in answer.values.items():
        if isinstance(value, list):
            click.echo(f"{name}:")
            for item in value:
                parts = item.values() if isinstance(item, dict) else item
                click.echo(
                    "  " + "  ".join(f"{p:g}" if isinstance(p, float) else str(p) for p in parts)
                )
        else:
            click.echo(_line(name, value))
    for source in answer.source:
        click.echo(f"source: {source}")
    for caution in answer.cautions:
        click.echo(f"caution: {caution}")


def _example(calculator: Calculator) -> str:
    flags = " ".join(f"{_flag(name)} {value}" for name, value in calculator.example.items())
    return f"canalclock calc {calculator.name} {flags}"


def _command(calculator: Calculator) -> click.Command:
    def run(as_json: bool, **given: Any) -> None:
        stated = {name: value for name, value in given.items() if value is not None}
        try:
            answer = calculator.ask(msgspec.convert(stated, calculator.inputs))
        except ValueError as fault:
            raise click.UsageError(str(fault)) from fault
        if as_json:
            click.echo(msgspec.json.encode(answer.document()))
        else:
            _print(answer)

    command = click.Command(
        calculator.name,
        callback=run,
        params=[_option(field) for field in structs.fields(calculator.inputs)],
        help=f"{calculator.about}.\n\n\b\nExample:\n  {_example(calculator)}",
        short_help=f"{calculator.about}.",
    )
    return json_option(command)


@click.group("calc")
def command() -> None:
    """Calculate strength, dilution, storage, canal, needle, flow, rinse, exposure and warmth.

    Every figure carries its unit in its name, its source and its cautions. A calculation is not
    advice: it does not replace licensed judgement and local codes.

    Exit codes: 0 done; 2 used wrongly (an input is missing or out of range).

    \b
    Examples:
      canalclock calc dilute --concentration-pct-wv 5.25 --target-pct-wv 2.5 --volume-ml 100
      canalclock calc canal --working-length-mm 21 --apical-size 25 --taper-pct 6 --json
    """


for _calculator in CALCULATORS.values():
    command.add_command(_command(_calculator))
