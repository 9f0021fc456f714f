"""Where the ledger is kept when nobody says."""

from pathlib import Path

import pytest

from canalclock.settings import Settings, default_data


@pytest.mark.parametrize(
    ("environment", "platform", "expected"),
    [
        ({"CANALCLOCK_DATA": "/srv/clinic", "HOME": "/h"}, "linux", "/srv/clinic"),
        ({"HOME": "/h"}, "linux", "/h/.local/share/canalclock"),
        ({"HOME": "/h", "XDG_DATA_HOME": "/x"}, "linux", "/x/canalclock"),
        ({"HOME": "/h"}, "darwin", "/h/Library/Application Support/canalclock"),
        ({"HOME": "/h", "LOCALAPPDATA": "/local"}, "win32", "/local/canalclock"),
    ],
)
def test_each_platform_has_its_place(
    environment: dict[str, str], platform: str, expected: str
) -> None:
    assert default_data(environment, platform) == Path(expected)


def test_settings_do_not_change() -> None:
    settings = Settings(data=Path("x"))
    with pytest.raises(AttributeError):
        settings.port = 1  # type: ignore[misc]
    assert settings.host == "127.0.0.1"
