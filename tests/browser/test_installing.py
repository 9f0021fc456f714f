"""The app installs, and opens without a network once it has been loaded."""

from typing import Any

import httpx
from playwright.sync_api import BrowserContext, expect

from tests.browser.seeded import visit_at_closing
from tests.browser.service import Service


def test_the_manifest_is_one_that_browsers_install(service: Service) -> None:
    page = httpx.get(f"{service.address}/", headers={"Accept": "text/html"}).text
    assert 'rel="manifest"' in page
    answer = httpx.get(f"{service.address}/app.webmanifest")
    assert answer.headers["content-type"].split(";")[0] in (
        "application/manifest+json",
        "application/json",
    )
    manifest: dict[str, Any] = answer.json()
    assert manifest["name"]
    assert manifest["short_name"]
    assert manifest["display"] == "standalone"
    assert httpx.get(f"{service.address}{manifest['start_url']}").status_code == 200
    sizes = set()
    for icon in manifest["icons"]:
        image = httpx.get(f"{service.address}/{icon['src'].lstrip('/')}")
        assert image.headers["content-type"].startswith("image/"), icon["src"]
        sizes.add(icon["sizes"])
    assert {"192x192", "512x512"} <= sizes


def test_chromium_reads_the_manifest_without_a_complaint(
    phone: BrowserContext, service: Service
) -> None:
    page = phone.new_page()
    page.goto(service.address)
    answer = phone.new_cdp_session(page).send("Page.getAppManifest")
    assert answer["errors"] == []
    assert answer["url"] == f"{service.address}/app.webmanifest"


def test_the_app_opens_without_a_network_after_one_load(
    phone: BrowserContext, service: Service
) -> None:
    visit = visit_at_closing(service)
    page = phone.new_page()
    page.goto(f"{service.address}/visits/{visit}")
    expect(page.get_by_test_id("site-mb1")).to_be_visible()
    scope = page.evaluate("navigator.serviceWorker.ready.then((found) => found.scope)")
    assert scope == f"{service.address}/"

    service.stop()
    phone.set_offline(True)
    page.goto(service.address)
    expect(page.get_by_role("heading", name="Rooms now")).to_be_visible()
    expect(page.get_by_role("heading", name="Room 1")).to_be_visible()
    expect(page.get_by_text("Not connected").first).to_be_visible()
    page.goto(f"{service.address}/visits/{visit}")
    expect(page.get_by_test_id("site-mb1")).to_be_visible()
