"""The calculators over HTTP: each asked by query, its inputs listed with their units."""

from typing import Any

import msgspec
from litestar import Request, get
from litestar.params import FromPath
from msgspec import Struct, structs

from canalclock.api.problems import Refusal
from canalclock.core.calculators import CALCULATORS
from canalclock.core.calculators.asking import Calculator


class InputListed(Struct, frozen=True, kw_only=True):
    """One input of a calculator; its unit stands in its name."""

    name: str
    required: bool
    default: Any = None
    kind: str
    """`number`, `whole` or `text`."""


class CalculatorListed(Struct, frozen=True, kw_only=True):
    """A calculator, its inputs and an example."""

    name: str
    about: str
    inputs: list[InputListed]
    example: dict[str, Any]


def _kind(field: structs.FieldInfo) -> str:
    kinds = getattr(field.type, "__args__", (field.type,))
    if str in kinds:
        return "text"
    return "number" if float in kinds else "whole"


def _listed(calculator: Calculator) -> CalculatorListed:
    return CalculatorListed(
        name=calculator.name,
        about=calculator.about,
        inputs=[
            InputListed(
                name=f.name,
                required=f.required,
                default=None if f.required else f.default,
                kind=_kind(f),
            )
            for f in structs.fields(calculator.inputs)
        ],
        example=dict(calculator.example),
    )


@get("/api/calc")
async def calculators() -> list[CalculatorListed]:
    """Every calculator with its inputs."""
    return [_listed(c) for c in CALCULATORS.values()]


@get("/api/calc/{name:str}")
async def calculate(name: FromPath[str], request: Request[Any, Any, Any]) -> dict[str, Any]:
    """One calculation, its inputs given by query: a value a quantity, source and cautions."""
    if name not in CALCULATORS:
        raise Refusal(
            "not_found",
            "There is no such calculator.",
            found=name,
            expected=", ".join(CALCULATORS),
            where="path",
        )
    calculator = CALCULATORS[name]
    given = dict(request.query_params)
    try:
        inputs = msgspec.convert(given, calculator.inputs, strict=False)
        return calculator.ask(inputs).document()
    except ValueError as fault:
        raise Refusal("out_of_bounds", str(fault), found=str(given), where="query") from fault
