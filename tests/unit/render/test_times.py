"""Instants: ISO 8601 with a zone, never guessed."""

from zoneinfo import ZoneInfo

import pytest

from canalclock.core.quantities import WHOLE_MAX
from canalclock.render.times import NoSuchZone, instant_ms, iso, zone_of


def test_the_offset_is_the_zones_at_that_instant() -> None:
    berlin = zone_of("Europe/Berlin")
    assert iso(1_790_000_000_000, berlin) == "2026-09-21T16:13:20+02:00"
    assert iso(1_800_000_000_000, berlin) == "2027-01-15T09:00:00+01:00"


def test_milliseconds_are_written_only_where_there_are_any() -> None:
    assert iso(1, ZoneInfo("UTC")) == "1970-01-01T00:00:00.001+00:00"


def test_an_instant_beyond_the_calendar_is_still_told() -> None:
    assert iso(WHOLE_MAX, ZoneInfo("UTC")) == f"{WHOLE_MAX} ms"


@pytest.mark.parametrize("name", ["", "Mars/Base", "../etc/passwd", "Europe"])
def test_a_zone_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(NoSuchZone, match="expected a time zone"):
        zone_of(name)


@pytest.mark.parametrize("at_ms", [0, 1_790_000_000_000, 1_790_000_000_123])
def test_what_is_written_reads_back(at_ms: int) -> None:
    assert instant_ms(iso(at_ms, zone_of("Asia/Kathmandu"))) == at_ms
    assert instant_ms(str(at_ms)) == at_ms


@pytest.mark.parametrize("text", ["2026-09-21T12:00:00", "yesterday", "1969-12-31T00:00:00Z", "-5"])
def test_an_instant_without_a_zone_or_sense_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="expected"):
        instant_ms(text)
