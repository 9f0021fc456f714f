"""The clock of a page under test: it stands still, and moves only when the test says so.

The service's clock is the machine's and goes on by itself. A page corrects its own clock by the
service's (`/api/clock`); on a page whose time a test sets, that question is answered with the
page's own time while it is loaded, and not at all once the timetable runs: an answer that comes
while time is made to pass would be off by what passed meanwhile. So the instants of the record are
the timetable's, to the millisecond.

Playwright's units: bare numbers are seconds in `install` and `pause_at`, milliseconds in `run_for`.
"""

import time

from playwright.sync_api import BrowserContext, Page, Route

START_AGO_MS = 3 * 3_600_000
"""A page's clock starts this long before the machine's: nothing it dates lies ahead. [ms]"""


class PageClock:
    """The clock of one page, in milliseconds since the start of the test's timetable."""

    def __init__(self, context: BrowserContext, page: Page, start_ms: int | None = None) -> None:
        """Installed and standing still; to be made before the page goes anywhere."""
        hour_ms = 3_600_000
        whole_hour = (time.time_ns() // 1_000_000 - START_AGO_MS) // hour_ms * hour_ms
        self.start_ms = whole_hour if start_ms is None else start_ms
        self._page = page
        self._elapsed_ms = 0
        self._on_timetable = False
        page.clock.install(time=self.start_ms / 1000)
        page.clock.pause_at(self.start_ms / 1000)
        context.route("**/api/clock", self._answer)

    @property
    def now_ms(self) -> int:
        """The page's time. [ms since 1970, UTC]"""
        return self.start_ms + self._elapsed_ms

    def run(self, ms: int) -> None:
        """Let the page live for so long, every timer and frame of it at its instant."""
        self._page.clock.run_for(ms)
        self._elapsed_ms += ms

    def sleep_until(self, minute: int) -> None:
        """The phone sleeps: time passes at once, what was due meanwhile comes once."""
        ahead_ms = minute * 60_000 - self._elapsed_ms
        self._page.clock.fast_forward(ahead_ms)
        self._elapsed_ms += ahead_ms
        self.settle()

    def settle(self) -> None:
        """A few frames: what a tap has set in motion is drawn."""
        self.run(50)

    def at(self, minute: int, second: int = 0) -> int:
        """
        Go on to an instant of the timetable.

        Returns:
            The instant. [ms since 1970, UTC]

        Raises:
            ValueError: It has passed: what came before took longer than the timetable allows.
        """
        self._on_timetable = True
        ahead_ms = (minute * 60 + second) * 1000 - self._elapsed_ms
        if ahead_ms < 0:
            raise ValueError(f"found {-ahead_ms} ms past {minute}:{second:02}, expected before it")
        if ahead_ms > 0:
            self.run(ahead_ms)
        return self.now_ms

    def _answer(self, route: Route) -> None:
        said = None if self._on_timetable else self._page.evaluate("Date.now()")
        route.fulfill(json={"now_ms": said})
