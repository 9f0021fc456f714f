"""The browser of the browser tests.

`browser` is one Chromium for the folder; `phone` and `desk` are new contexts in it, each with its
own storage, closed after the test. Playwright's plain (not async) interface keeps an event loop of
its own, so browser tests are plain functions, and a server under test is a process of its own.

    def test_the_heading_is_there(phone: BrowserContext, server: str) -> None:
        page = phone.new_page()
        page.goto(server)
"""

import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, ViewportSize, sync_playwright

from tests.browser.chromium import ARGUMENTS, chromium

PHONE = ViewportSize(width=390, height=844)
DESK = ViewportSize(width=1280, height=800)


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
        yield started
        started.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone held upright, 390 x 844, with touch and a screen that may be kept awake."""
    context = browser.new_context(
        viewport=PHONE, device_scale_factor=2, is_mobile=True, has_touch=True
    )
    context.grant_permissions(["screen-wake-lock"])
    yield context
    context.close()


@pytest.fixture
def desk(browser: Browser) -> Iterator[BrowserContext]:
    """A desk's screen, 1280 x 800, with a mouse."""
    context = browser.new_context(viewport=DESK)
    yield context
    context.close()
