"""Somebody at a screen: what they tap and type, and how often."""

import re
from typing import Final

from playwright.sync_api import Locator, Page, expect

from tests.browser.page_clock import PageClock

CHAIR: Final = re.compile(r"/visits/([0-9a-f-]{36})$")


class Person:
    """A person with one device; every tap and every typed text is counted."""

    def __init__(self, page: Page, clock: PageClock | None = None) -> None:
        """Nothing tapped yet."""
        self.page = page
        self.clock = clock
        self.taps = 0
        self.tapped_at_ms: list[int] = []
        self.typed = 0

    def tap(self, target: Locator) -> None:
        """One tap of a finger, and the frames that follow it."""
        target.tap()
        self.taps += 1
        if self.clock is not None:
            self.tapped_at_ms.append(self.clock.now_ms)
            self.clock.settle()

    def button(self, name: str, within: Locator | None = None) -> Locator:
        """A button by its whole name."""
        return (within or self.page).get_by_role("button", name=name, exact=True)

    def press(self, name: str, within: Locator | None = None) -> None:
        """Tap a button by its whole name."""
        self.tap(self.button(name, within))

    def type(self, field: str, text: str) -> None:
        """Type into a field by what its label begins with."""
        self.page.get_by_label(re.compile(f"^{field}")).fill(text)
        self.typed += 1
        if self.clock is not None:
            self.clock.settle()

    def see(self, wanted: Locator) -> None:
        """
        Wait until something is on the screen, the page's clock going on by frames.

        Raises:
            AssertionError: It did not come within the page's 10 s.
        """
        for _ in range(200 if self.clock is not None else 0):
            if wanted.first.is_visible():
                return
            assert self.clock is not None
            self.clock.settle()
        expect(wanted.first).to_be_visible()

    # -- who, and the opening

    def is_here(self, address: str, who: str) -> None:
        """Say at this device who is here."""
        self.page.goto(f"{address}/who")
        place = self.page.get_by_role("button", name=re.compile(f"^{who}"))
        self.see(place)
        self.tap(place)
        self.see(self.page.get_by_role("heading", name="Rooms now"))

    def is_at_chair(self, address: str, visit: str) -> None:
        """Go to a visit's chair by its address."""
        self.page.goto(f"{address}/visits/{visit}")
        self.see(self.page.get_by_test_id("stop"))
        self.see(self.page.get_by_test_id("site-chamber"))

    # -- at the chair

    @property
    def next(self) -> Locator:
        """The row that names the plan's next act."""
        return self.page.locator(".cc-next")

    def sees_next(self, site: str, what: str) -> None:
        """The next act is this one, at this site."""
        words = re.escape(f"Next {site} {what}").replace(r"\ ", r"\s*")
        expect(self.next).to_contain_text(re.compile(words))

    def syringe(self, letter: str) -> None:
        """Tap 1: a syringe of the rack, which lies there unless somebody took another tool out."""
        self.tap(self.page.get_by_test_id(f"syringe-{letter}"))

    def site(self, site: str) -> None:
        """Tap 2: a canal, or the chamber."""
        self.tap(self.page.get_by_test_id(f"site-{site}"))

    def do_next(self) -> None:
        """The announced act, as planned."""
        self.tap(self.page.get_by_test_id("next"))

    def outcome(self, outcome: str) -> None:
        """The announced check or removal, with what it showed."""
        self.tap(self.page.get_by_test_id(f"outcome-{outcome}"))

    def again(self, what: str) -> None:
        """The last delivery once more, as its button says it."""
        self._repeat("again", what)

    def cycle(self, what: str) -> None:
        """Irrigate, recapitulate, irrigate: one tap."""
        self._repeat("cycle", what)

    def _repeat(self, which: str, what: str) -> None:
        button = self.page.get_by_test_id(which)
        expect(button).to_contain_text(re.compile(re.escape(what).replace(r"\ ", r"\s*")))
        self.tap(button)

    def add_volume(self, steps: int) -> None:
        """So many half millilitres more than is usual of what is in the hand."""
        for _ in range(steps):
            self.press("More: Amount")

    def tool(self, tool: str) -> None:
        """Another tool in place of the syringes."""
        self.tap(self.page.get_by_test_id(f"tool-{tool}"))

    def hand_is_empty(self) -> None:
        """Put back what is in the hand, if something is."""
        put_back = self.page.get_by_test_id("put-back")
        if put_back.count() > 0:
            self.tap(put_back)
            expect(put_back).to_have_count(0)
