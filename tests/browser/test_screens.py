"""Every screen at a phone's and a desk's size, on the demonstration's data."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from tests.browser.app import ROOT
from tests.browser.conftest import DESK, PHONE, WITHIN_MS
from tests.browser.screens import Seen, look
from tests.browser.service import Service, running

JUDGEMENT = re.compile(
    r"does not replace (the )?licensed (clinician's )?judgement (and|or) local codes",
    re.IGNORECASE,
)
NEVER_SAID = re.compile(r"\b(safe|safely|complete|completed|error occurred)\b", re.IGNORECASE)


@pytest.fixture(scope="module")
def demo(web_app: None, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """The demonstration clinic; the tests here only look at it."""
    with running(tmp_path_factory.mktemp("demo") / "data", demo=True) as started:
        yield started


@pytest.fixture(scope="module")
def seen(browser: Browser, demo: Service) -> list[Seen]:
    """What every screen showed at both sizes, looked at once."""
    phone = browser.new_context(viewport=PHONE, is_mobile=True, has_touch=True)
    desk = browser.new_context(viewport=DESK)
    found: list[Seen] = []
    for context, size in ((phone, "390x844"), (desk, "1280x800")):
        context.set_default_timeout(WITHIN_MS)
        found.extend(look(context, demo, size))
        context.close()
    return found


def test_every_screen_of_the_app_is_looked_at(seen: list[Seen]) -> None:
    folders = (ROOT / "web" / "src" / "views" / "screens").iterdir()
    there = {folder.name for folder in folders if (folder / "index.tsx").is_file()}
    assert {one.screen.folder for one in seen} - {None} == there


def test_every_screen_loads_without_an_error(seen: list[Seen]) -> None:
    assert {one.where: one.errors for one in seen if one.errors} == {}


def test_no_screen_has_a_serious_barrier(seen: list[Seen]) -> None:
    assert {one.where: one.violations for one in seen if one.violations} == {}


def test_no_screen_is_wider_than_the_glass(seen: list[Seen]) -> None:
    assert {one.where: one.wider for one in seen if one.wider > 0} == {}


def test_every_screen_that_computes_says_what_it_does_not_replace(seen: list[Seen]) -> None:
    silent = [one.where for one in seen if one.screen.computes and not JUDGEMENT.search(one.text)]
    assert silent == []


def test_no_screen_promises_or_shrugs(seen: list[Seen]) -> None:
    found = {one.where: NEVER_SAID.findall(one.text) for one in seen}
    assert {where: words for where, words in found.items() if words} == {}


def test_cautions_of_hypochlorite_stand_where_it_is_loaded(
    phone: BrowserContext, demo: Service, seen: list[Seen]
) -> None:
    [kit] = [k for k in demo.get("/kits") if k["protocol"] == "mature-apex-one-visit"]
    [entry] = [
        irrigant
        for irrigant in demo.get(f"/kits/{kit['kit']}")["catalogue"]["irrigants"]
        if irrigant["irrigant"] == "sodium_hypochlorite"
    ]
    assert len(entry["cautions"]) > 3
    for name in ("open-laid-out", "chair-syringe"):
        for one in (one for one in seen if one.screen.name == name):
            missing = [line for line in entry["cautions"] if line not in one.text]
            assert missing == [], one.where
    own_words = "isolation checked for leaks, needle loose and short of working length"
    for one in (one for one in seen if one.screen.name == "protocol"):
        assert own_words in one.text, one.where


def test_the_incident_card_is_at_most_two_taps_from_the_chair_without_a_sign_in(
    phone: BrowserContext, demo: Service
) -> None:
    [visit] = [r["visit"] for r in demo.visits() if r["tooth"] == "16"]
    page = phone.new_page()
    page.goto(f"{demo.address}/visits/{visit}")
    page.get_by_test_id("incident").tap()
    expect(
        page.get_by_text(re.compile("not approved by this clinic", re.IGNORECASE))
    ).to_be_visible()
    card = demo.get("/cards/incident")
    assert card["approved"] is False
    for step in card["steps"]:
        expect(page.get_by_text(step, exact=True)).to_be_visible()
