"""A molar visit from the opening to the signature, on a page clock, against the service itself.

What the report must say is worked out by hand from the timetable of molar_visit.py.
"""

import re
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser.molar_visit import CANALS, MolarVisit
from tests.browser.opening import open_upper_molar
from tests.browser.page_clock import PageClock
from tests.browser.person import Person
from tests.browser.service import Service

N, E, G, W = "sodium_hypochlorite", "edta", "edta_gel", "water"


@pytest.fixture
def clock_and_person(phone: BrowserContext) -> tuple[PageClock, Person]:
    """A phone whose clock stands still until the test moves it."""
    page = phone.new_page()
    clock = PageClock(phone, page)
    return clock, Person(page, clock)


def test_a_molar_is_run_by_its_protocol_put_right_and_signed(
    clock_and_person: tuple[PageClock, Person], service: Service
) -> None:
    clock, me = clock_and_person
    me.is_here(service.address, "Assistant 1")
    filled = ("Sodium hypochlorite", "EDTA", "Sterile water")
    visit = open_upper_molar(me, "T-16", "Mature apex, one visit", filled)
    walk = MolarVisit(me, clock)

    walk.until_gauged()
    walk.close()
    clock.at(65, 10)
    _slip_and_undo(me, clock)
    walk.fill()
    expect(me.next).to_contain_text("Nothing left in the plan.")
    _all_is_on_the_server(me)

    _nobody_was_held_up(service, visit)
    _close_the_visit(me, clock)
    _correct_a_volume(me)
    _sign(me, service)

    report = service.report(visit)
    _contact_is_as_worked_out(report)
    _amounts_are_as_worked_out(report)
    _the_signature_stands_on_the_head(service, visit, report)
    _versions_are_kept(service, visit)


def _slip_and_undo(me: Person, clock: PageClock) -> None:
    """Water goes into P by a slip, after it was dried; it is taken back 8 s later."""
    me.again("W 2 mL in P")
    undo = me.page.get_by_test_id("undo")
    expect(undo).to_be_enabled()
    clock.at(65, 18)
    me.tap(undo)
    expect(undo).to_be_disabled()


def _all_is_on_the_server(me: Person) -> None:
    expect(me.page.get_by_label("Everything is on the server")).to_be_visible()


def _nobody_was_held_up(service: Service, visit: str) -> None:
    """The protocol as written: no hold, no caution, at most two notes; said then or later."""
    said = [e for e in service.events(visit) if e["kind"] == "guard_spoke"]
    assert [e["level"] for e in said if e["level"] != "note"] == []
    assert len(said) <= 2
    warnings = service.report(visit)["warnings"]
    assert [w["level"] for w in warnings if w["level"] != "note"] == []
    assert len(warnings) <= 2
    assert [w for w in warnings if w["said"] != w["should"]] == []


def _close_the_visit(me: Person, clock: PageClock) -> None:
    clock.at(71)
    me.tap(me.page.get_by_test_id("more"))
    me.tap(me.page.get_by_test_id("sheet-close"))
    me.tap(me.page.get_by_test_id("close-now"))
    me.see(me.page.get_by_role("heading", name=re.compile("^Review: tooth 16")))


def _correct_a_volume(me: Person) -> None:
    """The last hypochlorite of P was 1.5 mL, not 1 mL."""
    page = me.page
    given = page.locator(
        "li.cc-event", has_text=re.compile(r"Irrigant given\s*N 3\s%\s·\sP\s·\s1\smL")
    )
    expect(given).to_have_count(12)
    row = given.last
    me.press("Correct", row)
    sheet = page.get_by_role("dialog")
    me.see(sheet)
    me.press("More: Volume", sheet)
    save = sheet.get_by_role("button", name=re.compile("^(Give a reason|Log the correction)$"))
    expect(save).to_be_disabled()
    me.press("Amount was different", sheet)
    me.press("Log the correction", sheet)
    expect(sheet).to_have_count(0)
    corrected = page.locator("li.cc-event", has=page.get_by_text("2 versions"))
    corrected = corrected.filter(has_text="Irrigant given")
    expect(corrected.filter(has_text=re.compile(r"was\s1\smL,\snow\s1\.5\smL"))).to_have_count(1)
    expect(corrected.filter(has_text="Amount was different")).to_have_count(1)


def _sign(me: Person, service: Service) -> None:
    """An assistant is told who signs; the dentist takes the device and does."""
    page = me.page
    sign = page.get_by_test_id("sign")
    expect(sign).to_have_count(0)
    me.tap(page.get_by_role("link", name=re.compile("^Change")))
    me.tap(page.get_by_role("button", name=re.compile("^Dentist 1")))
    me.see(page.get_by_role("link", name="Review", exact=True))
    me.tap(page.get_by_role("link", name="Review", exact=True))
    me.see(sign)
    me.tap(sign)
    me.see(page.get_by_text(re.compile("^Signed by Dentist 1")))


def _headline(report: dict[str, Any], site: str, irrigant: str) -> dict[str, Any]:
    rows = report["totals"]["headlines"]
    [row] = [r for r in rows if (r["site"], r["irrigant"]) == (site, irrigant)]
    return dict(row)


def _contact_is_as_worked_out(report: dict[str, Any]) -> None:
    """
    Every canal has the same four stretches of hypochlorite, in seconds since the start:

        flood            4:00 to the first gel on a file, which takes its place down to 12 mm
        rinse after it   to the second gel
        rinse after it   to the chelator
        first refresh    to the last rinse

        mb1   240 to  300    320 to 1320   1350 to 3000   3180 to 3750    60+1000+1650+570 = 3280
        mb2   240 to  360    380 to 1440   1470 to 3010   3190 to 3760   120+1060+1540+570 = 3290
        db    240 to  420    440 to 1200   1230 to 3020   3200 to 3770   180+ 760+1790+570 = 3300
        p     240 to  480    500 to 1560   1590 to 3030   3210 to 3780   240+1060+1440+570 = 3310

    Last 3 mm. Before there were lengths nothing reached below 12 mm. While shaping, the tip 2 mm
    short and its reach of 1 mm leave the last 1 mm out of 3 without; only the closing stage, tip
    1 mm short, reaches all of it. So the least is the last stretch, and the mean adds 2/3 of the
    time from the first delivery with a length (mb1 37:00, mb2 39:00, db 41:00, p 35:00) to the
    chelator:

        mb1   570 + 2/3 x (3000 - 2220 = 780)   = 1090 s
        mb2   570 + 2/3 x (3010 - 2340 = 670)   = 1016.666 s
        db    570 + 2/3 x (3020 - 2460 = 560)   =  943.333 s
        p     570 + 2/3 x (3030 - 2100 = 930)   = 1190 s

    Activated: 3 x 20 s. Chelator: 51:20 - 50:00 = 80 s. Gel: 5:20 - 5:00 and 20:30 - 20:00, 50 s,
    never below 12 mm. Water: 53:00 - 51:20 and 64:30 - 62:30, 220 s; the slip was taken back.
    """
    worked_out = {
        # site: anywhere, least and mean of the last 3 mm; hypochlorite [ms]
        "mb1": (3_280_000, 570_000, 1_090_000),
        "mb2": (3_290_000, 570_000, 1_016_666),
        "db": (3_300_000, 570_000, 943_333),
        "p": (3_310_000, 570_000, 1_190_000),
    }
    for site, (anywhere, least, mean) in worked_out.items():
        had = _headline(report, site, N)
        assert had["anywhere_ms"] == anywhere, site
        assert had["orifice_ms"] == anywhere, site
        assert had["last_3mm_least_ms"] == least, site
        assert had["last_3mm_mean_ms"] == mean, site
        assert had["activated_ms"] == 60_000, site
        for irrigant, contact, deep in ((E, 80_000, 80_000), (G, 50_000, 0), (W, 220_000, 220_000)):
            had = _headline(report, site, irrigant)
            assert had["anywhere_ms"] == contact, (site, irrigant)
            assert had["last_3mm_least_ms"] == deep, (site, irrigant)
            assert had["activated_ms"] == 0, (site, irrigant)


def _amounts_are_as_worked_out(report: dict[str, Any]) -> None:
    """
    Hypochlorite, 1 mL each: 1 and 3 coronally, 2 and 3 apically, 3 in cycles = 12 mL a canal, and
    0.5 mL more in p by correction. 3 % w/v is 30 mg in 1 mL: 360 mg, in p 375 mg; the chamber's
    2 mL are 60 mg. Chelator 1 mL at 17 % = 170 mg. Water 2 + 2 = 4 mL, no solute. Of the gel
    nobody knows how much.
    """
    rows = {(r["site"], r["irrigant"]): r for r in report["totals"]["volumes"]}
    worked_out: dict[tuple[str, str], tuple[int, int | None]] = {("chamber", N): (2000, 60_000_000)}
    for site in CANALS:
        worked_out[site, N] = (12_500, 375_000_000) if site == "p" else (12_000, 360_000_000)
        worked_out[site, E] = (1000, 170_000_000)
        worked_out[site, W] = (4000, None)
        worked_out[site, G] = (0, 0)
    assert {key: (r["volume_ul"], r["passed_ng"]) for key, r in rows.items()} == worked_out
    assert {key for key, r in rows.items() if r["at_least"]} == {(site, G) for site in CANALS}
    tooth = {r["irrigant"]: r["volume_ul"] for r in report["totals"]["tooth"]}
    assert tooth == {N: 2000 + 3 * 12_000 + 12_500, E: 4000, W: 16_000, G: 0}


def _the_signature_stands_on_the_head(service: Service, visit: str, report: dict[str, Any]) -> None:
    [row] = [r for r in service.visits() if r["visit"] == visit]
    [signature] = report["signatures"]
    assert signature["staff"] == "dentist-1"
    assert (signature["seq"], signature["digest"]) == (row["head"]["seq"], row["head"]["digest"])
    assert row["signed_seq"] == row["head"]["seq"]
    assert not signature["addendum"]


def _versions_are_kept(service: Service, visit: str) -> None:
    events = service.events(visit)
    [correction] = [e for e in events if e["kind"] == "entry_corrected"]
    [original] = [e for e in events if e["id"] == correction["entry"]]
    assert (original["volume_ul"], correction["payload"]["volume_ul"]) == (1000, 1500)
    assert correction["reason"] == "Amount was different"
    [void] = [e for e in events if e["kind"] == "entry_voided"]
    [slip] = [e for e in events if e["id"] == void["entry"]]
    assert (slip["site"], slip["volume_ul"]) == ("p", 2000)
    assert void["occurred_at_ms"] - slip["occurred_at_ms"] <= 10_000


def test_chlorhexidine_is_held_for_another_canal_of_the_chamber_and_let_go_by_order(
    clock_and_person: tuple[PageClock, Person], service: Service
) -> None:
    clock, me = clock_and_person
    page = me.page
    me.is_here(service.address, "Assistant 1")
    visit = open_upper_molar(me, "T-17", "Mature apex, chlorhexidine last", ())
    hold = page.locator(".band.hold")

    clock.at(5)
    me.syringe("N")
    me.site("mb1")
    clock.at(5, 10)
    me.site("mb2")
    clock.at(6)
    me.syringe("W")
    me.add_volume(2)
    me.site("mb1")
    me.hand_is_empty()
    me.tool("remove")
    clock.at(6, 30)
    me.site("mb1")
    me.tool("syringes")
    clock.at(7)
    me.syringe("C")
    expect(hold).to_contain_text("Hold")
    expect(hold).to_contain_text("Sodium hypochlorite")
    expect(hold).to_contain_text("Chlorhexidine")
    me.press("Put it back", hold)
    expect(hold).to_have_count(0)
    assert [e["kind"] for e in service.events(visit) if e["kind"] == "hold_released"] == []

    clock.at(8)
    me.syringe("C")
    clock.at(8, 10)
    me.site("mb1")
    expect(hold).to_contain_text("MB2")
    me.press("Release", hold)
    me.press("Dentist 1", hold)
    me.press("Clinical decision for this tooth", hold)
    expect(hold).to_have_count(0)
    _all_is_on_the_server(me)

    events = service.events(visit)
    given = [e for e in events if e["kind"] == "irrigant_delivered"]
    assert [e["site"] for e in given] == ["mb1", "mb2", "mb1", "mb1"]
    spoken = [e for e in events if e["kind"] == "guard_spoke" and e["level"] == "hold"]
    assert spoken
    assert {e["about"] for e in spoken} == {"chlorhexidine+sodium_hypochlorite"}
    assert any("mb2" in e["sites"] for e in spoken)
    released = [e for e in events if e["kind"] == "hold_released"]
    assert {(e["ordered_by"], e["reason"]) for e in released} == {
        ("dentist-1", "Clinical decision for this tooth")
    }
    assert set(given[-1]["guard_shown"]) & {e["id"] for e in spoken}
    report = service.report(visit)
    holds = [w for w in report["warnings"] if w["level"] == "hold"]
    assert any(w["said"] and w["should"] and w["released"] for w in holds)
    assert "hold_released" in {f["rule"] for f in report["findings"]}

    # One order, one act: the same syringe is held again for the next canal.
    clock.at(9)
    me.site("db")
    expect(hold).to_contain_text("Hold")
    expect(page.get_by_test_id("undo")).to_be_disabled()
