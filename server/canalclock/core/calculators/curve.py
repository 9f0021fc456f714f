"""One calculator asked at several values of one input: what a drawing of it needs.

Not here: any formula, and any drawing.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

import msgspec
from msgspec import structs

from canalclock.core.calculators.asking import Answer, Calculator
from canalclock.core.dosing.ranges import within

POINTS_MAX: Final = 100
"""Most points of one curve. (choice: finer than a screen shows)"""


def curve(
    calculator: Calculator, given: Mapping[str, object], over: str, start: float, end: float,
    points: int,
) -> list[dict[str, float | None]]:  # fmt: skip
    """
    A calculator's figures at evenly spaced values of one input, both ends included.

    Args:
        calculator: The question.
        given: Its other inputs.
        over: The input that varies; a number.
        start: Its first value. [as the input]
        end: Its last value, more than the first. [as the input]
        points: How many. [], 2 to 100.

    Returns:
        One row a point: the input itself, then every figure of the answer by its name; a figure
        is None where the calculator answers none.

    Raises:
        ValueError: An input that does not vary so, a range that is none, or what the calculator
            itself refuses at one of the points.

    Source:
        The calculator's own.
    """
    varies = [f.name for f in structs.fields(calculator.inputs) if float in _kinds(f)]
    if over not in varies:
        raise ValueError(f"over: found {over!r}, expected one of {', '.join(varies)}")
    within("points", points, "", 2, POINTS_MAX)
    within("from", start, "")
    within("to", end, "", start, above_low=True)
    step = (end - start) / (points - 1)
    at = [*(start + i * step for i in range(points - 1)), end]
    return [dict(_row(calculator, given, over, value)) for value in at]


def _kinds(field: structs.FieldInfo) -> tuple[object, ...]:
    kinds: tuple[object, ...] = getattr(field.type, "__args__", (field.type,))
    return kinds


def _row(
    calculator: Calculator, given: Mapping[str, object], over: str, value: float
) -> Iterator[tuple[str, float | None]]:
    asked: dict[str, Any] = {**given, over: value}
    answer: Answer = calculator.ask(msgspec.convert(asked, calculator.inputs, strict=False))
    for name, figure in answer.values.items():
        if figure is None or (isinstance(figure, float | int) and not isinstance(figure, bool)):
            yield name, figure
    yield over, value
