"""How many taps the closing stage takes."""

from playwright.sync_api import BrowserContext, expect

from tests.browser.molar_visit import MolarVisit
from tests.browser.page_clock import PageClock
from tests.browser.person import Person
from tests.browser.seeded import visit_at_closing
from tests.browser.service import Service

ACTS = {
    "irrigant_delivered",
    "irrigant_removed",
    "activation_started",
    "activation_stopped",
    "check_done",
}


def test_forty_closing_acts_take_at_most_forty_five_taps_and_no_typing(
    phone: BrowserContext, service: Service
) -> None:
    page = phone.new_page()
    clock = PageClock(phone, page)
    me = Person(page, clock)
    visit = visit_at_closing(service, clock.start_ms - 60_000)
    me.is_here(service.address, "Assistant 1")
    me.is_at_chair(service.address, visit)
    clock.sleep_until(49)
    me.taps, me.tapped_at_ms = 0, []

    MolarVisit(me, clock).close()

    expect(page.get_by_label("Everything is on the server")).to_be_visible()
    acts = [e for e in service.events(visit) if e["kind"] in ACTS]
    # 4 canals x (chelator, water, 3 x (hypochlorite, start, stop), water, cone, points) = 4 x 14
    assert len(acts) == 56
    fortieth_ms = sorted(e["occurred_at_ms"] for e in acts)[39]
    taps = [at_ms for at_ms in me.tapped_at_ms if at_ms <= fortieth_ms]
    assert len(taps) <= 45
    assert me.taps <= 56 * 45 // 40
    assert me.typed == 0
    assert {e["how"] for e in acts if e["kind"] == "irrigant_delivered"} == {"planned"}
