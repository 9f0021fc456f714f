"""Every calculator answers its example, and refuses by name what it cannot take."""

import msgspec
import pytest

from canalclock.core.calculators import CALCULATORS
from canalclock.core.calculators.asking import NOT_ADVICE


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_calculator_answers_its_example_with_source_and_cautions(name: str) -> None:
    calculator = CALCULATORS[name]
    answer = calculator.ask(msgspec.convert(dict(calculator.example), calculator.inputs))
    assert answer.values
    assert answer.source
    assert NOT_ADVICE in answer.cautions


@pytest.mark.parametrize("name", CALCULATORS)
@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_a_number_out_of_range_is_named_with_its_unit(name: str, bad: float) -> None:
    calculator = CALCULATORS[name]
    numbers = [k for k, v in calculator.example.items() if isinstance(v, float | int)]
    field = next(k for k in numbers if k not in ("needle_gauge", "fillings", "syringe_ml"))
    inputs = msgspec.convert({**calculator.example, field: bad}, calculator.inputs)
    with pytest.raises(ValueError, match="found"):
        calculator.ask(inputs)


def test_a_strength_has_exactly_one_basis() -> None:
    strength = CALCULATORS["strength"]
    for given in ({}, {"concentration_pct_wv": 5.0, "degrees": 15.0}):
        with pytest.raises(ValueError, match="expected exactly one of"):
            strength.ask(msgspec.convert(given, strength.inputs))


def test_the_worked_example_of_storage() -> None:
    storage = CALCULATORS["storage"]
    answer = storage.ask(msgspec.convert(dict(storage.example), storage.inputs))
    assert answer.values["remaining_pct_wv"] == pytest.approx(4.424, abs=0.002)
    with pytest.raises(ValueError, match="history: found '30', expected days:celsius"):
        storage.ask(msgspec.convert({"concentration_pct_wv": 5.0, "history": "30"}, storage.inputs))


def test_three_cycles_of_ultrasonic_activation_are_a_minute() -> None:
    # hydraulics row 56: 3 x 20 s with fresh irrigant each time (found)
    from canalclock.protocol_files import shipped_protocols

    step = next(
        s
        for p in shipped_protocols()
        if p.protocol == "mature-apex-one-visit"
        for stage in p.stages
        for s in stage.steps * (stage.cycles if stage.repeats == "cycles" else 1)
        if s.activation == "ultrasonic"
    )
    assert step.duration_ms == 20_000
