"""Over https of the local authority: what a browser that trusts it has, and what others lack."""

import os
import re
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect
from playwright.sync_api import Error as PlaywrightError

from canalclock.tls.certificate import issued
from canalclock.tls.names import Reached
from canalclock.tls.store import Store
from tests.api.test_tls import Secure, serving
from tests.browser import nss
from tests.browser.chromium import ARGUMENTS, chromium
from tests.browser.conftest import PHONE, WITHIN_MS

NAMES = ("clinic.local", "clinic.example.org")
LACKING = "Offline use and keeping the screen on are NOT available on this device."


@pytest.fixture(scope="module")
def clinic(web_app: None, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Secure]:
    """A service with a local authority, reached by clinic.local."""
    data = tmp_path_factory.mktemp("https")
    with serving(data, "--tls", "--host", "0.0.0.0", "--name", "clinic.local") as started:
        yield started


@contextmanager
def launched(browser: Browser, home: Path) -> Iterator[Browser]:
    """A Chromium of its own whose home is `home`; the clinic's names lead to this machine."""
    found = chromium()
    rules = ", ".join(f"MAP {name} 127.0.0.1" for name in NAMES)
    started = browser.browser_type.launch(
        executable_path=found.program,
        args=[*ARGUMENTS, f"--host-resolver-rules={rules}"],
        env={**os.environ, **found.surroundings, "HOME": str(home)},
    )
    try:
        yield started
    finally:
        started.close()


@pytest.fixture(scope="module")
def trusting(
    browser: Browser, clinic: Secure, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """One that was brought to trust the clinic's authority, as a person would."""
    home = tmp_path_factory.mktemp("home")
    nss.trust(home, root_of(clinic))
    with launched(browser, home) as started:
        yield started


@pytest.fixture(scope="module")
def stranger(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """One that trusts nobody of the clinic's."""
    with launched(browser, tmp_path_factory.mktemp("stranger")) as started:
        yield started


def root_of(clinic: Secure) -> bytes:
    """What the plain port gives for download."""
    page = httpx.get(f"{clinic.plain}/trust").text
    [path] = re.findall(r'href="(/trust/[a-z0-9-]+\.crt)"', page)
    return httpx.get(clinic.plain + path).content


@contextmanager
def page_of(browser: Browser, **how: Any) -> Iterator[tuple[BrowserContext, Page]]:
    context = browser.new_context(viewport=PHONE, is_mobile=True, has_touch=True, **how)
    context.set_default_timeout(WITHIN_MS)
    try:
        yield context, context.new_page()
    finally:
        context.close()


@pytest.mark.parametrize("host", ["clinic.local", "127.0.0.1"])
def test_who_trusts_the_authority_works_offline_by_name_and_by_address(
    trusting: Browser, clinic: Secure, host: str
) -> None:
    address = f"https://{host}:{clinic.port}"
    with page_of(trusting) as (context, page):
        page.goto(address)
        assert page.evaluate("isSecureContext")
        scope = page.evaluate("navigator.serviceWorker.ready.then((found) => found.scope)")
        assert scope == f"{address}/"
        expect(page.get_by_text(LACKING)).to_have_count(0)
        context.grant_permissions(["screen-wake-lock"])
        assert page.evaluate("navigator.wakeLock.request('screen').then((lock) => lock.type)")
        context.set_offline(True)
        page.reload()
        expect(page.get_by_role("heading", name="Rooms now")).to_be_visible()


def test_a_stranger_is_warned_before_any_page(stranger: Browser, clinic: Secure) -> None:
    with page_of(stranger) as (_, page), pytest.raises(PlaywrightError, match="AUTHORITY_INVALID"):
        page.goto(f"https://clinic.local:{clinic.port}")


def test_who_goes_past_the_warning_is_told_what_stays_off(
    stranger: Browser, clinic: Secure
) -> None:
    with page_of(stranger, ignore_https_errors=True) as (_, page):
        page.goto(f"https://clinic.local:{clinic.port}")
        expect(page.get_by_text(LACKING)).to_be_visible()
        page.get_by_role("link", name="How to change that").tap()
        expect(page.get_by_text("Going on past a warning does not bring back")).to_be_visible()
        expect(page.get_by_role("img", name="QR code of http://")).to_be_visible()
        expect(page.get_by_text("not on this one")).to_be_visible()
        steps = page.get_by_role("link", name="Go through the steps on this device")
        assert steps.get_attribute("href") == clinic.trust
        registered = page.evaluate(
            "navigator.serviceWorker.getRegistrations().then((r) => r.length)"
        )
        assert registered == 0


def test_over_plain_http_a_device_is_told_what_it_lacks_and_still_reads(
    stranger: Browser, web_app: None, tmp_path: Path
) -> None:
    options = ("--host", "0.0.0.0", "--name", "clinic.local")
    with serving(tmp_path, *options) as plain, page_of(stranger) as (_, page):
        page.goto(f"http://clinic.local:{plain.port}")
        assert page.evaluate("isSecureContext") is False
        expect(page.get_by_text(LACKING)).to_be_visible()
        expect(page.get_by_role("heading", name="Rooms now")).to_be_visible()
        page.goto(f"http://clinic.local:{plain.port}/connection")
        expect(page.get_by_text("This page came over plain http.")).to_be_visible()
        expect(page.get_by_text("Start it with --tls")).to_be_visible()


def test_a_browser_that_trusts_the_authority_refuses_it_for_an_outside_name(
    trusting: Browser, clinic: Secure
) -> None:
    """A thief of the key on the disk makes a certificate for another site: it is not taken."""
    authority = Store(clinic.data).authority()
    assert authority is not None
    outside = Reached(names=("clinic.example.org",), addresses=())
    other = Store(clinic.data.parent / "thief")
    other.keep_issued(issued(authority, outside, datetime.now(UTC)), authority)
    with (
        answering(other.server_file) as port,
        page_of(trusting) as (_, page),
        pytest.raises(PlaywrightError, match=r"net::ERR_CERT_[A-Z_]*INVALID"),
    ):
        page.goto(f"https://clinic.example.org:{port}")


@contextmanager
def answering(chain: Path) -> Iterator[int]:
    """Somebody else's server with this certificate."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(chain)
    server = ThreadingHTTPServer(("127.0.0.1", 0), SimpleHTTPRequestHandler)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    try:
        yield int(server.server_address[1])
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def test_the_page_that_brings_trust_has_no_barrier_and_fits_the_glass(
    stranger: Browser, clinic: Secure
) -> None:
    with page_of(stranger, user_agent="Mozilla/5.0 (Linux; Android 15; K)") as (_, page):
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{clinic.plain}/trust")
        expect(page.get_by_text("Tap Install anyway")).to_be_visible()
        expect(page.get_by_text("Keychain Access find")).to_be_hidden()
        for way in page.locator("summary").all():
            if way.locator("..").get_attribute("open") is None:
                way.tap()
        found = Axe().run(page).response["violations"]
        assert [rule["id"] for rule in found] == []
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
        assert {url.split("/")[2] for url in asked} == {clinic.plain.split("/")[2]}
