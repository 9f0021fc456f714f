"""Every screen on the demonstration's data, and what was seen on it."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Response, expect

from tests.browser.service import Service

LOCAL_FINDINGS: Final = "The server's findings are not here"
GRAVE: Final = ("serious", "critical")


@dataclass(frozen=True)
class Screen:
    """A screen: where it is, what says that it is there, and what to do before looking."""

    name: str
    folder: str | None
    """Its folder of web/src/views/screens; None = what the app says where it has no screen."""
    path: str
    there: str
    """A selector of something that only the whole screen has."""
    computes: bool = False
    """Whether figures on it are computed, so that it must say what it does not replace."""
    first: Callable[[Page], None] | None = None
    gone: str = "Fetching from the clinic's server"
    """What it says only until the service has answered."""


@dataclass
class Seen:
    """What a screen showed at one size."""

    screen: Screen
    size: str
    text: str = ""
    errors: list[str] = field(default_factory=list)
    violations: list[str] = field(default_factory=list)
    wider: int = 0
    """By how much the page is wider than the screen. [px]"""

    @property
    def where(self) -> str:
        """The screen and its size, for messages."""
        return f"{self.screen.name} at {self.size}"


def screens(service: Service) -> list[Screen]:
    """Every screen, on the demonstration's visits."""
    rows = service.visits()
    [molar] = [r["visit"] for r in rows if r["tooth"] == "16"]
    [washed] = [r["visit"] for r in rows if r["tooth"] == "36" and r["closed_at_ms"] is None]
    [signed] = [r["visit"] for r in rows if r["tooth"] == "14"]
    [held] = [r["visit"] for r in rows if r["tooth"] == "46"]
    [course] = [r["course"] for r in rows if r["tooth"] == "46"]
    [kit] = [k["kit"] for k in service.get("/kits") if k["protocol"] == "mature-apex-one-visit"]
    chair = f"/visits/{molar}"
    return [
        Screen("who", "staff_pick", "/who", "button:has-text('Dentist 1')"),
        Screen("rooms", "rooms", "/", ".tooth-number", computes=True),
        Screen("open", "open_visit", "/open?room=room-2", ".tooth"),
        Screen(
            "open-laid-out",
            "open_visit",
            f"/open?room=room-2&protocol={kit}",
            "li.syringe",
            computes=True,
        ),
        Screen(
            "open-again",
            "open_visit",
            f"/open?room=room-2&course={course}",
            "h1:has-text('Next appointment')",
        ),
        Screen("chair", "chair", chair, "[data-testid=site-mb1]", computes=True),
        Screen(
            "chair-dressing", "chair", f"/visits/{washed}", "[data-testid=site-mb]", computes=True
        ),
        Screen("chair-in-hand", "chair", chair, ".cc-hand", computes=True, first=_pick),
        Screen(
            "chair-files", "chair", chair, ".cc-choice, .cc-tray-body", computes=True, first=_files
        ),
        Screen("chair-more", "chair", chair, "dialog[open]", first=_more),
        Screen("chair-canal", "chair", chair, "dialog[open]", first=_canal),
        Screen("chair-syringe", "chair", chair, "dialog[open]", first=_prepare),
        Screen("incident", "incident", f"{chair}/incident", ".cc-steps", computes=True),
        Screen(
            "review-open",
            "review",
            f"{chair}/review",
            ".cc-table",
            computes=True,
            gone=LOCAL_FINDINGS,
        ),
        Screen(
            "review-signed",
            "review",
            f"/visits/{signed}/review",
            ".cc-signature",
            computes=True,
            gone=LOCAL_FINDINGS,
        ),
        Screen(
            "review-hold",
            "review",
            f"/visits/{held}/review",
            ".cc-table",
            computes=True,
            gone=LOCAL_FINDINGS,
        ),
        Screen("set-out", "set_out", f"{chair}/set-out", "#set-out-time", computes=True),
        Screen("audit", "audit", "/audit", ".cc-audit .cc-table", computes=True),
        Screen("protocols", "protocols", "/protocols", "a[href^='/protocols/']"),
        Screen("protocol", "protocols", f"/protocols/{kit}", "h1", computes=True),
        Screen("calculators", "calculators", "/calculators", "h1", computes=True),
        Screen(
            "flow",
            "calculators",
            "/calculators/flow",
            ".calc-answer[aria-busy=false]",
            computes=True,
        ),
        Screen(
            "exposure",
            "calculators",
            "/calculators/exposure",
            ".calc-answer[aria-busy=false]",
            computes=True,
        ),
        Screen("device", "device", "/device", "h1"),
        Screen("refused", "tray", "/refused", "h1"),
        Screen("connection", "trust", "/connection", "h2", gone="Asking the server"),
        Screen("nowhere", None, "/nowhere/at/all", "main"),
    ]


def look(context: BrowserContext, service: Service, size: str) -> Iterator[Seen]:
    """Each screen in turn, in a page of one size, as Dentist 1."""
    page = context.new_page()
    shots = os.environ.get("CANALCLOCK_SHOTS")
    page.goto(f"{service.address}/who")
    page.get_by_role("button", name="Dentist 1").click()
    expect(page.get_by_role("heading", name="Rooms now")).to_be_attached()
    for screen in screens(service):
        seen = Seen(screen, size)
        with _complaints(page, seen.errors):
            page.goto(f"{service.address}{screen.path}")
            if screen.first is not None:
                screen.first(page)
            try:
                expect(page.locator(screen.there).first).to_be_visible()
                expect(page.get_by_text(screen.gone)).to_have_count(0)
            except AssertionError:
                seen.errors.append(f"there is no {screen.there}, or still: {screen.gone}")
            seen.text = page.evaluate("document.body.innerText")
            seen.wider = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            if shots is not None:
                Path(shots).mkdir(parents=True, exist_ok=True)
                page.screenshot(path=Path(shots) / f"{screen.name}-{size}.png")
            seen.violations = _violations(page)
        yield seen


def _violations(page: Page) -> list[str]:
    audit = Axe().run(page, options={"resultTypes": ["violations"]})
    found: list[dict[str, Any]] = audit.response["violations"]
    return [
        f"{v['id']} ({v['impact']}): {v['help']}; {[n['html'][:160] for n in v['nodes'][:3]]}"
        for v in found
        if v["impact"] in GRAVE
    ]


@contextmanager
def _complaints(page: Page, into: list[str]) -> Iterator[None]:
    """Errors on the console, uncaught ones and answers that say no, while a block runs."""

    def console(message: ConsoleMessage) -> None:
        if message.type == "error":
            into.append(message.text)

    def uncaught(error: Exception) -> None:
        into.append(f"uncaught: {error}")

    def answered(response: Response) -> None:
        if response.status >= 400:
            into.append(f"{response.status} from {response.url}")

    page.on("console", console)
    page.on("pageerror", uncaught)
    page.on("response", answered)
    try:
        yield
    finally:
        page.remove_listener("console", console)
        page.remove_listener("pageerror", uncaught)
        page.remove_listener("response", answered)


def _pick(page: Page) -> None:
    page.get_by_test_id("syringe-N").first.click()


def _files(page: Page) -> None:
    page.get_by_test_id("tool-file").click()


def _more(page: Page) -> None:
    page.get_by_test_id("more").click()


def _canal(page: Page) -> None:
    page.get_by_test_id("site-mb1").click()


def _prepare(page: Page) -> None:
    page.get_by_role("button", name="Prepare a syringe").first.click()
    page.get_by_role("dialog").get_by_role("button", name="Sodium hypochlorite 3").click()
