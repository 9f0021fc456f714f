"""The calculators over HTTP: answers, curves, and refusals that name the input."""

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from canalclock.core.calculators import CALCULATORS
from tests.api.conftest import Client

FORMS = Path(__file__).parents[2] / "web/src/views/screens/calculators/forms.ts"
STORED = {"concentration_pct_wv": 5.25, "celsius": 25}


def query(given: Mapping[str, object]) -> str:
    return "&".join(f"{name}={value}" for name, value in given.items())


@pytest.mark.parametrize("name", CALCULATORS)
async def test_an_example_as_listed_is_answered(client: Client, name: str) -> None:
    listed = (await client.get("/api/calc")).json()
    example = next(row for row in listed if row["name"] == name)["example"]
    answer = await client.get(f"/api/calc/{name}?{query(example)}")
    assert answer.status_code == 200, answer.text
    assert answer.json()["source"]
    assert answer.json()["cautions"]


async def test_a_curve_agrees_with_single_answers_at_its_points(client: Client) -> None:
    asked = f"over=days&from=0&to=180&points=7&{query(STORED)}"
    drawn = (await client.get(f"/api/calc/storage/curve?{asked}")).json()
    assert drawn["over"] == "days"
    assert [row["days"] for row in drawn["rows"]] == [0, 30, 60, 90, 120, 150, 180]
    for row in drawn["rows"]:
        one = (await client.get(f"/api/calc/storage?days={row['days']}&{query(STORED)}")).json()
        for figure in ("remaining_pct_wv", "low_pct_wv", "days_to_tolerance_low"):
            assert row[figure] == one[figure]
    lefts = [row["remaining_pct_wv"] for row in drawn["rows"]]
    assert lefts == sorted(lefts, reverse=True)
    assert lefts[0] == 5.25
    assert all(row["low_pct_wv"] <= row["remaining_pct_wv"] for row in drawn["rows"])


async def test_a_curve_keeps_a_figure_that_is_none_and_leaves_texts_out(client: Client) -> None:
    asked = "over=flow_ml_per_min&from=0&to=6&points=3&needle_gauge=30"
    rows = (await client.get(f"/api/calc/flow/curve?{asked}")).json()["rows"]
    assert rows[0]["pressure_kpa"] == 0
    assert rows[0]["seconds_per_ml"] is None
    assert rows[2]["pressure_low_kpa"] < rows[2]["pressure_kpa"] <= rows[2]["pressure_high_kpa"]
    assert "marks" not in rows[0]


@pytest.mark.parametrize(
    ("asked", "where"),
    [
        ("over=days&from=0&to=10&points=1", "points"),
        ("over=days&from=0&to=10&points=101", "points"),
        ("over=days&from=10&to=10&points=5", "to"),
        ("over=days&from=-1&to=10&points=5", "from"),
        ("over=days&from=0&to=inf&points=5", "to"),
        ("over=days&from=0&to=10&points=many", "points"),
        ("over=history&from=0&to=10&points=5", "over"),
        ("over=nothing&from=0&to=10&points=5", "over"),
        ("from=0&to=10&points=5", "over"),
        ("over=celsius&days=10&from=0&to=90&points=4", "celsius"),
    ],
)
async def test_a_curve_that_is_none_is_refused_by_name(
    client: Client, asked: str, where: str
) -> None:
    given = "concentration_pct_wv=5.25" + ("" if "over=celsius" in asked else "&celsius=25")
    answer = await client.get(f"/api/calc/storage/curve?{asked}&{given}")
    assert answer.status_code == 400
    assert answer.json()["where"] == where, answer.text


@pytest.mark.parametrize(
    ("path", "where", "found", "expected"),
    [
        (
            "canal?working_length_mm=20&apical_size=300&taper_pct=6",
            "apical_size",
            "300",
            "at least 6 and at most 140",
        ),
        (
            "canal?working_length_mm=20&apical_size=30&taper_pct=6&short_of_wl_mm=25",
            "short_of_wl_mm",
            "25 mm",
            "at least 0 mm and at most 20 mm",
        ),
        (
            "strength?chlorine_pct_wv=40",
            "chlorine_pct_wv",
            "40 % w/v available chlorine",
            "at least 0 % w/v available chlorine and at most 15 % w/v available chlorine",
        ),
        ("warmth?celsius=300&seconds=1", "celsius", "300 °C", "at least 0 °C and at most 100 °C"),
        ("storage?concentration_pct_wv=5", "days, celsius", "nothing", "both, or a history"),
        ("warmth?celsius=50", "seconds", "nothing", "Object missing required field"),
        ("warmth?celsius=hot&seconds=1", "celsius", "hot", "Expected `float`, got `str`"),
        ("warmth?celsius=5&seconds=1&k=2", "k", "2", "Object contains unknown field"),
    ],
)
async def test_a_refusal_names_the_input_what_was_found_and_what_was_expected(
    client: Client, path: str, where: str, found: str, expected: str
) -> None:
    problem = (await client.get(f"/api/calc/{path}")).json()
    assert problem["type"] == "urn:canalclock:problem:out_of_bounds"
    assert (problem["where"], problem["found"], problem["expected"]) == (where, found, expected)
    assert where in problem["detail"]


@pytest.mark.parametrize("path", ["/api/calc/nothing", "/api/calc/nothing/curve"])
async def test_a_calculator_that_is_none_is_not_found(client: Client, path: str) -> None:
    assert (await client.get(path)).status_code == 404


async def test_a_curve_of_back_pressure_agrees_with_single_answers(client: Client) -> None:
    canal = {"needle_gauge": 30, "working_length_mm": 20, "apical_size": 35, "taper_pct": 6}
    given = query({**canal, "short_of_wl_mm": 3})
    asked = f"over=flow_ml_per_min&from=0&to=12&points=4&{given}"
    rows = (await client.get(f"/api/calc/flow/curve?{asked}")).json()["rows"]
    for row in rows[1:]:
        one = await client.get(f"/api/calc/flow?flow_ml_per_min={row['flow_ml_per_min']}&{given}")
        for figure in ("back_pressure_low_mmhg", "back_pressure_high_mmhg"):
            assert row[figure] == one.json()[figure]
    middles = [row["back_pressure_mmhg"] for row in rows]
    assert middles[3] == pytest.approx(3 * middles[1])
    assert middles[0] == 0


@pytest.mark.parametrize("name", CALCULATORS)
async def test_the_screen_has_a_field_for_every_input(client: Client, name: str) -> None:
    listed = (await client.get("/api/calc")).json()
    inputs = next(row for row in listed if row["name"] == name)["inputs"]
    named = set(re.findall(r"[a-z][a-z0-9_]*", FORMS.read_text()))
    assert {row["name"] for row in inputs} <= named
