"""Every vector of the plan in Python; how equality is judged stands in `plan/README.md`."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

import msgspec
import pytest

from canalclock.core.kit import read_kit
from canalclock.core.plan import At, Plan, PlanLine, plan
from canalclock.core.record.fold import fold
from canalclock.core.record.reading import read_event

VECTORS = Path(__file__).parent
CASES: list[dict[str, Any]] = [
    case
    for path in sorted((VECTORS / "plan").glob("*.json"))
    for case in json.loads(path.read_text(encoding="utf-8"))["cases"]
]
PARTS = {"steps", "next", "or_next", "tooth_next", "outside", "left", "draw_up", "visit"}


def planned(given: dict[str, Any]) -> Plan:
    """The plan of a case's events, read line by line as the ledger would."""
    kit = read_kit((VECTORS / "kits" / f"{given['kit_ref']}.json").read_bytes())
    events = [read_event(msgspec.json.encode(e)) for e in given["events"]]
    return plan(kit, fold(kit, events), given.get("visit"))


def place(at: At | None) -> dict[str, Any] | None:
    return None if at is None else {"step": at.step, "cycle": at.cycle}


def touched_rows(told: Plan) -> list[tuple[Any, ...]]:
    """Every slot that is not simply open."""
    return sorted(
        (line.site, s.step, s.cycle, s.status, s.event or "")
        for line in told.lines
        for s in line.steps
        if (s.status, s.event) != ("open", None)
    )


def by_site(told: Plan, expected: dict[str, Any], part: Any) -> dict[str, Any]:
    """A part of every line that the case names; all lines if it names none."""
    named = {line.site: line for line in told.lines}
    return {site: part(named[site]) for site in (expected or named)}


def left_of(line: PlanLine) -> Any:
    return msgspec.to_builtins(line.left)


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["case"]))
def test_the_plan_is_the_one_worked_by_hand(case: dict[str, Any]) -> None:
    told, expect = planned(case["given"]), case["expect"]
    assert expect and set(expect) <= PARTS
    if "steps" in expect:
        rows = [(r["site"], r["step"], r["cycle"], r["status"], r["event"] or "")
                for r in expect["steps"]]  # fmt: skip
        assert touched_rows(told) == sorted(rows)
    if "next" in expect:
        assert by_site(told, expect["next"], lambda line: place(line.next)) == expect["next"]
    if "or_next" in expect:
        found = by_site(told, expect["or_next"], lambda line: place(line.or_next))
        assert found == expect["or_next"]
    if "tooth_next" in expect:
        found_next = msgspec.to_builtins(told.next)
        if found_next is not None:
            del found_next["stage"]
        assert found_next == expect["tooth_next"]
    if "outside" in expect:
        found = by_site(told, expect["outside"], lambda line: list(line.outside))
        assert found == expect["outside"]
    if "left" in expect:
        assert by_site(told, expect["left"], left_of) == expect["left"]
    if "draw_up" in expect:
        assert {
            d.solution.solution: {"volume_ul": d.volume_ul, "syringes": d.syringes}
            for d in told.draw_up
        } == expect["draw_up"]
    if "visit" in expect:
        assert told.visit == expect["visit"]


def test_every_case_has_its_own_name_and_its_working() -> None:
    names = Counter(case["case"] for case in CASES)
    assert [name for name, count in names.items() if count > 1] == []
    assert all(case["source"]["kind"] == "hand" and case["source"]["working"] for case in CASES)
    assert len(CASES) >= 30
