"""What one device logs, another sees; and what waits while there is no server."""

import re
from typing import Any

from playwright.sync_api import BrowserContext, Page, Route, expect

from tests.browser.person import Person
from tests.browser.seeded import visit_at_closing
from tests.browser.service import Service, becomes

A_MOMENT_MS = 3000
ME = "assistant-1"


def _seqs(page: Page) -> list[int]:
    """Numbers of the entries that a review shows as recorded."""
    cells = page.locator("li.cc-event:has(.dot.is-recorded) .cc-event-seq").all_inner_texts()
    return [int(text.strip()) for text in cells]


def _reading(desk: BrowserContext, service: Service, visit: str) -> Page:
    """Another device at the review, every entry in sight; it marks the page that it loaded."""
    page = desk.new_page()
    page.goto(f"{service.address}/visits/{visit}/review")
    page.get_by_role("button", name="All events").click()
    expect(page.locator("li.cc-event")).to_have_count(len(service.events(visit)))
    page.evaluate("window.loadedOnce = true")
    return page


def _logging(phone: BrowserContext, service: Service, visit: str) -> Person:
    me = Person(phone.new_page())
    me.is_here(service.address, "Assistant 1")
    me.is_at_chair(service.address, visit)
    expect(me.page.get_by_label("Everything is on the server")).to_be_visible()
    return me


def _mine(service: Service, visit: str) -> list[dict[str, Any]]:
    return [e for e in service.events(visit) if e["staff"] == ME]


def test_a_second_page_sees_each_event_within_a_moment_and_without_loading_anew(
    phone: BrowserContext, desk: BrowserContext, service: Service
) -> None:
    visit = visit_at_closing(service)
    other = _reading(desk, service, visit)
    me = _logging(phone, service, visit)
    given = other.locator("li.cc-event", has_text="Irrigant given")

    me.syringe("E")
    picked = other.locator("li.cc-event", has_text="Syringe picked up")
    expect(picked).to_have_count(1, timeout=A_MOMENT_MS)
    for count, canal in enumerate(("mb1", "mb2", "db", "p"), start=1):
        me.site(canal)
        expect(given).to_have_count(count, timeout=A_MOMENT_MS)
        expect(given.last).to_contain_text(canal.upper())
    assert other.evaluate("window.loadedOnce") is True
    assert _seqs(other) == list(range(1, len(service.events(visit)) + 1))


def test_a_page_that_was_offline_catches_up_without_a_gap(
    phone: BrowserContext, desk: BrowserContext, service: Service
) -> None:
    visit = visit_at_closing(service)
    other = _reading(desk, service, visit)
    me = _logging(phone, service, visit)
    given = other.locator("li.cc-event", has_text="Irrigant given")
    before = len(service.events(visit))

    desk.set_offline(True)
    expect(other.get_by_text("Not connected")).to_be_visible()
    me.syringe("E")
    for canal in ("mb1", "mb2", "db", "p"):
        me.site(canal)
    becomes(lambda: service.given(visit, ME), ["mb1", "mb2", "db", "p"])
    assert _seqs(other) == list(range(1, before + 1))

    desk.set_offline(False)
    expect(given).to_have_count(4)
    expect(other.locator("li.cc-event")).to_have_count(len(service.events(visit)))
    assert _seqs(other) == list(range(1, len(service.events(visit)) + 1))
    assert other.evaluate("window.loadedOnce") is True


def test_what_is_logged_without_a_server_is_counted_and_reaches_it_exactly_once(
    phone: BrowserContext, service: Service
) -> None:
    visit = visit_at_closing(service)
    me = _logging(phone, service, visit)
    page = me.page
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    me.syringe("W")
    me.site("mb1")
    becomes(lambda: service.given(visit, ME), ["mb1"])
    expect(page.get_by_label("Everything is on the server")).to_be_visible()

    service.stop()
    for count, canal in enumerate(("mb2", "db", "p"), start=1):
        me.site(canal)
        expect(page.get_by_label(re.compile(f"^{count} (entry|entries) not yet"))).to_be_visible()
        expect(page.locator(".cc-dot-hollow")).to_be_visible()
    page.reload()
    expect(page.get_by_label("3 entries not yet on the server")).to_be_visible()

    service.start()
    expect(page.get_by_label("Everything is on the server")).to_be_visible(timeout=30_000)
    expect(page.locator(".cc-dot-filled")).to_be_visible()
    mine = _mine(service, visit)
    assert service.given(visit, ME) == ["mb1", "mb2", "db", "p"]
    assert [e["device_seq"] for e in mine] == list(range(1, len(mine) + 1))
    assert len({e["id"] for e in mine}) == len(mine)


def test_an_answer_that_is_lost_on_the_way_does_not_double_an_act(
    phone: BrowserContext, service: Service
) -> None:
    visit = visit_at_closing(service)
    me = _logging(phone, service, visit)
    lost: list[int] = []

    def lose_the_first_answer(route: Route) -> None:
        if route.request.method != "POST" or lost:
            route.fallback()
            return
        lost.append(route.fetch().status)
        route.abort("connectionreset")

    phone.route("**/api/visits/*/events*", lose_the_first_answer)
    me.syringe("W")
    me.site("mb1")
    becomes(lambda: service.given(visit, ME), ["mb1"], me.page.wait_for_timeout)
    expect(me.page.get_by_label("Everything is on the server")).to_be_visible(timeout=30_000)
    assert lost == [200]
    kinds = [e["kind"] for e in _mine(service, visit)]
    assert kinds.count("irrigant_delivered") == 1
    assert kinds.count("syringe_picked") == 1
