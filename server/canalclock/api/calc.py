"""The calculators over HTTP: each asked by query, its inputs listed with their units.

They compute in a thread: an integral must not hold up what a chair records.
"""

import re
from collections.abc import Mapping
from typing import Any, Final

import msgspec
from litestar import Request, get
from litestar.params import FromPath
from msgspec import Struct, structs

from canalclock.api.problems import Refusal
from canalclock.core.calculators import CALCULATORS
from canalclock.core.calculators.asking import Calculator
from canalclock.core.calculators.curve import curve


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


class Span(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a curve runs over."""

    over: str
    start: float = msgspec.field(name="from")
    to: float
    points: int = 24


class CurveAnswer(Struct, frozen=True, kw_only=True):
    """A calculator's figures over one input."""

    over: str
    rows: list[dict[str, float | None]]
    """One row a point, one value a figure, the unit in its name; the input among them."""


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


@get("/api/calc/{name:str}", sync_to_thread=True)
def calculate(name: FromPath[str], request: Request[Any, Any, Any]) -> dict[str, Any]:
    """One calculation, its inputs given by query: a value a quantity, source and cautions."""
    calculator = _calculator(name)
    given = dict(request.query_params)
    try:
        inputs = msgspec.convert(given, calculator.inputs, strict=False)
        return calculator.ask(inputs).document()
    except ValueError as fault:
        raise _refusal(str(fault), given) from fault


@get("/api/calc/{name:str}/curve", sync_to_thread=True)
def calculate_curve(name: FromPath[str], request: Request[Any, Any, Any]) -> CurveAnswer:
    """
    The same at `points` values of the input `over`, `from` one `to` another: what a drawing needs.

    The other inputs are given as for one calculation.
    """
    calculator = _calculator(name)
    given = dict(request.query_params)
    try:
        span = msgspec.convert(
            {key: given.pop(key) for key in ("over", "from", "to", "points") if key in given},
            Span,
            strict=False,
        )
        rows = curve(calculator, given, span.over, span.start, span.to, span.points)
    except ValueError as fault:
        raise _refusal(str(fault), dict(request.query_params)) from fault
    return CurveAnswer(over=span.over, rows=rows)


def _calculator(name: str) -> Calculator:
    if name not in CALCULATORS:
        raise Refusal(
            "not_found",
            "There is no such calculator.",
            found=name,
            expected=", ".join(CALCULATORS),
            where="path",
        )
    return CALCULATORS[name]


_SAID: Final = re.compile(
    r"(?P<where>[a-z0-9_, ]+): found (?P<found>.+?), expected (?P<expected>.+)"
)
"""How the formulas refuse: arguments, what was found, what was expected."""
_UNREAD: Final = re.compile(r"(?P<expected>.+?)(?: - at|:)? `(?:\$\.)?(?P<where>[a-z0-9_]+)`")
"""How an input is refused that could not be read."""


def _refusal(said: str, given: Mapping[str, str]) -> Refusal:
    """A fault with the inputs it names as `where`, so that a screen can say it beside them."""
    match = _SAID.fullmatch(said)
    if match is None and (match := _UNREAD.fullmatch(said)) is not None:
        found = given.get(match["where"], "nothing")
        said = f"{match['where']}: found {found}; {said}"
        return Refusal(
            "out_of_bounds", said, found=found, expected=match["expected"], where=match["where"]
        )
    if match is None:
        return Refusal("out_of_bounds", said, found=str(given), where="query")
    return Refusal(
        "out_of_bounds",
        said,
        found=match["found"],
        expected=match["expected"],
        where=match["where"],
    )
