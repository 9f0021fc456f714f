"""Ranges of arguments: what is outside is refused by name, never clamped."""

import math


def within(
    name: str,
    value: float,
    unit: str,
    low: float = 0.0,
    high: float = math.inf,
    *,
    above_low: bool = False,
) -> float:
    """
    The value itself, if it is a finite number of its range.

    Args:
        name: The argument's name, for the message.
        value: What was given. [unit]
        unit: Its unit, for the message; "" when there is none.
        low: Least value. [unit]
        high: Greatest value. [unit]
        above_low: Whether `low` itself is refused.

    Raises:
        ValueError: Not a number, infinite or out of range; names the argument, unit and range.
    """
    of = f" {unit}" if unit else ""
    bound = "more than" if above_low else "at least"
    limit = f"{bound} {low:g}{of}" + ("" if math.isinf(high) else f" and at most {high:g}{of}")
    if not math.isfinite(value):
        raise ValueError(f"{name}: found {value}, expected a finite number, {limit}")
    if value > high or value < low or (above_low and value == low):
        raise ValueError(f"{name}: found {value:g}{of}, expected {limit}")
    return float(value)
