"""The browser of the browser tests.

`browser` is one Chromium for the folder; `phone` and `desk` are new contexts in it, each with its
own storage, closed after the test. `service` is a clinic of its own
with staff, rooms and no visit, served by a process of its own with the web app of the sources as
they are. Playwright's plain (not async) interface keeps an event loop of its own, so browser tests
are plain functions.

    def test_the_heading_is_there(phone: BrowserContext, service: Service) -> None:
        page = phone.new_page()
        page.goto(service.address)
"""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, ViewportSize, expect, sync_playwright

from tests.browser import app
from tests.browser.chromium import ARGUMENTS, chromium
from tests.browser.service import Service, running

PHONE = ViewportSize(width=390, height=844)
DESK = ViewportSize(width=1280, height=800)
WITHIN_MS = 15_000
"""How long a page may take for one thing on a busy machine."""


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One Chromium for every test of this folder; without one the tests fail."""
    found = chromium()
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=found.program,
            args=list(ARGUMENTS),
            env={**os.environ, **found.surroundings},
        )
        expect.set_options(timeout=WITHIN_MS)
        yield started
        started.close()


@pytest.fixture(scope="package")
def web_app() -> None:
    """The web app inside the package is of these sources."""
    app.bring()


@pytest.fixture
def service(web_app: None, tmp_path: Path) -> Iterator[Service]:
    """A running service with an empty ledger."""
    with running(tmp_path / "data") as started:
        yield started


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone held upright, 390 x 844, with touch and a screen that may be kept awake."""
    context = browser.new_context(
        viewport=PHONE, device_scale_factor=2, is_mobile=True, has_touch=True
    )
    context.grant_permissions(["screen-wake-lock"])
    context.set_default_timeout(WITHIN_MS)
    yield context
    context.close()


@pytest.fixture
def desk(browser: Browser) -> Iterator[BrowserContext]:
    """A desk's screen, 1280 x 800, with a mouse."""
    context = browser.new_context(viewport=DESK)
    context.set_default_timeout(WITHIN_MS)
    yield context
    context.close()
