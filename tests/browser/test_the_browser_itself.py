"""The browser that the other tests stand on."""

from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext

from tests.browser import chromium as source


def test_the_phone_is_a_narrow_touch_screen(phone: BrowserContext) -> None:
    page = phone.new_page()
    page.set_content('<meta name="viewport" content="width=device-width"><button>Log</button>')
    shown = page.evaluate("[innerWidth, navigator.maxTouchPoints > 0]")
    assert shown == [390, True]


def test_the_desk_is_wide(desk: BrowserContext) -> None:
    page = desk.new_page()
    page.set_content("<p>Review</p>")
    assert page.evaluate("innerWidth") == 1280


def test_a_program_that_is_not_there_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("CANALCLOCK_CHROMIUM", str(tmp_path / "none"))
    with pytest.raises(source.NoChromium, match="expected a program"):
        source.chromium()


def test_no_package_and_no_program_on_path_is_an_error_not_a_skip(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "package.json").write_text('{"private": true}')
    (tmp_path / "package-lock.json").write_text("not a lock")
    monkeypatch.delenv("CANALCLOCK_CHROMIUM", raising=False)
    monkeypatch.setattr(source, "FOLDER", tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(source.NoChromium, match="no browser for the browser tests"):
        source.chromium()
