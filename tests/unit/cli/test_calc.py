"""The calculators as commands."""

import json

import pytest
from click.testing import CliRunner

from canalclock.cli.calc import command
from canalclock.core.calculators import CALCULATORS


@pytest.mark.parametrize("name", CALCULATORS)
def test_each_example_of_the_help_runs(name: str) -> None:
    runner = CliRunner()
    shown = runner.invoke(command, [name, "--help"])
    example = next(line for line in shown.output.splitlines() if "canalclock calc" in line).split()
    ran = runner.invoke(command, [*example[2:], "--json"])
    assert ran.exit_code == 0, ran.output
    document = json.loads(ran.output)
    assert document["source"]
    assert document["cautions"]


def test_a_dilution_prints_a_value_a_quantity() -> None:
    flags = [
        "dilute",
        "--concentration-pct-wv",
        "5",
        "--target-pct-wv",
        "2.5",
        "--volume-ml",
        "100",
    ]
    ran = CliRunner().invoke(command, [*flags, "--json"])
    assert json.loads(ran.output)["stock_ml"] == 50.0
    said = CliRunner().invoke(command, flags)
    assert "stock_ml                   50" in said.output
    assert "caution: " in said.output


def test_what_is_impossible_says_why_and_ends_with_two() -> None:
    flags = ["dilute", "--concentration-pct-wv", "5", "--target-pct-wv", "6", "--volume-ml", "100"]
    ran = CliRunner().invoke(command, flags)
    assert ran.exit_code == 2
    assert "target_pct_wv: found 6 % w/v, expected at most the stock's 5 % w/v" in ran.output
