"""The demonstration: posted through the API, once, by the protocols as they are written."""

import functools
from pathlib import Path
from typing import Any

import msgspec
import pytest

from canalclock.alarms import due_timers
from canalclock.app import create_app, running
from canalclock.core.kit import Kit
from canalclock.core.plan import plan
from canalclock.core.record.fold import FOLD_VERSION
from canalclock.core.record.totals import totals
from canalclock.demo import post
from canalclock.demo.clinic import CLINIC
from canalclock.demo.post import post_demo
from canalclock.demo.visits import Played, played
from canalclock.protocol_files import kit_for, shipped_protocols
from canalclock.settings import Settings
from tests.api.conftest import START_MS, Client, Clock


@functools.cache
def kits() -> dict[str, Kit]:
    return {p.protocol: kit_for(p) for p in shipped_protocols()}


@functools.cache
def visits() -> dict[str, Played]:
    return {visit.chair.name: visit for visit in played(kits())}


def spoken(name: str) -> list[tuple[str, str]]:
    events = visits()[name].chair.events
    return [(e["level"], e["rule"]) for e in events if e["kind"] == "guard_spoke"]


async def test_the_clinic_is_posted_once_and_its_chain_is_whole(tmp_path: Path) -> None:
    settings, clock = Settings(data=tmp_path), Clock()
    async with running(settings, clock, list(kits().values()), CLINIC) as opened:
        app = create_app(opened.service, settings)
        assert await post_demo(app, kits(), clock) == 5
        feed = await opened.service.ledger.feed()
        clock.at_ms += 3_600_000
        assert await post_demo(app, kits(), clock) == 0
        assert await opened.service.ledger.feed() == feed
        assert await opened.service.ledger.verify() == ()
        client = Client(app, opened, clock)
        rows: list[dict[str, Any]] = (await client.get("/api/visits")).json()
        await client.http.aclose()
    assert {(r["tooth"], r["closed_at_ms"] is None, r["signed_seq"] is not None) for r in rows} == {
        ("36", False, True), ("14", False, True), ("46", False, False), ("36", True, False),
        ("16", True, False),
    }  # fmt: skip
    assert all(r["opened_at_ms"] < START_MS and r["protocol"] for r in rows)
    assert len({r["course"] for r in rows if r["tooth"] == "36"}) == 1


async def test_the_molar_is_in_mid_visit_with_timers_still_to_ring(tmp_path: Path) -> None:
    chair = visits()["upper molar"].chair
    assert len(chair.record().canals) == 4
    running_now = due_timers(chair.visit, chair._read)
    assert {(d.canal, d.step) for d in running_now} == {
        ("mb1", "chelator"), ("mb1", "chelator.limit"),
        ("mb2", "chelator"), ("mb2", "chelator.limit"),
    }  # fmt: skip
    assert min(d.due_at_ms for d in running_now) > chair.now_ms + 6_000


@pytest.mark.parametrize("name", ["premolar", "dressed", "washed out", "upper molar"])
def test_who_follows_the_protocol_meets_at_most_two_notes(name: str) -> None:
    levels = [level for level, _ in spoken(name)]
    assert set(levels) <= {"note"}
    assert len(levels) <= 2


def test_chlorhexidine_too_early_is_held_once_and_let_go_with_a_reason() -> None:
    chair = visits()["lower molar"].chair
    held = [e for e in chair.events if e["kind"] == "guard_spoke" and e["level"] == "hold"]
    assert [(h["about"], h["sites"]) for h in held] == [
        ("chlorhexidine+sodium_hypochlorite", ("ml", "d"))
    ]
    (released,) = (e for e in chair.events if e["kind"] == "hold_released")
    assert (released["act"], released["ordered_by"]) == (held[0]["act"], "dentist-2")
    corrected = next(v for v in chair.record().versions if not v.voided)
    amended = next(d for d in chair.record().deliveries if d.id == corrected.entry)
    assert amended.volume_ul == 1000


@pytest.mark.parametrize("name", ["premolar", "dressed", "lower molar"])
def test_a_finished_visit_did_every_step_that_its_protocol_asks(name: str) -> None:
    chair = visits()[name].chair
    bound = plan(chair.kit, chair.record())
    open_steps = [
        (line.site, step.stage, step.step)
        for line in bound.lines
        for step in line.steps
        if step.status == "open"
    ]
    assert open_steps == []


@pytest.mark.parametrize("name", sorted(["premolar", "dressed", "lower molar", "upper molar"]))
def test_the_record_holds_no_finding_of_a_play_gone_wrong(name: str) -> None:
    assert [f.rule for f in visits()[name].chair.record().findings] == []


async def test_what_the_dentist_signed_are_the_records_totals(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(post, "played", lambda _: tuple(visits().values()))
    settings, clock = Settings(data=tmp_path), Clock()
    async with running(settings, clock, list(kits().values()), CLINIC) as opened:
        await post_demo(create_app(opened.service, settings), kits(), clock)
        chair = visits()["premolar"].chair
        (signature,) = await opened.service.ledger.signatures(chair.visit)
    signed = msgspec.json.decode(signature.totals)
    shown = msgspec.to_builtins(totals(chair.record(), chair.now_ms))
    assert (signature.staff, signature.fold_version) == ("dentist-1", FOLD_VERSION)
    assert signed["headlines"] == msgspec.json.decode(msgspec.json.encode(shown))["headlines"]
    assert signed["volumes"]
