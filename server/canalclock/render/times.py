"""Instants for people: ISO 8601 with the zone's offset at that instant."""

from datetime import UTC, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


class NoSuchZone(ValueError):
    """A name that is no time zone of the IANA database."""


def zone_of(name: str) -> ZoneInfo:
    """
    A time zone by its IANA name.

    Raises:
        NoSuchZone: There is none of that name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as fault:
        raise NoSuchZone(
            f"found {name!r}, expected a time zone of the IANA database, such as Europe/Berlin"
        ) from fault


def iso(at_ms: int, zone: ZoneInfo) -> str:
    """
    An instant as ISO 8601 with offset; milliseconds only where there are any.

    Args:
        at_ms: Since 1970 in UTC. [ms]
        zone: The zone to show it in.

    Returns:
        The text; the bare number of milliseconds with "ms" after it beyond the year 9999.

    Examples:
        >>> iso(1_790_000_000_000, ZoneInfo("Europe/Berlin"))
        '2026-09-21T15:33:20+02:00'

    Source:
        ISO 8601-1, extended format; offsets by the IANA time zone database.
    """
    try:
        at = (_EPOCH + timedelta(milliseconds=at_ms)).astimezone(zone)
    except OverflowError:
        return f"{at_ms} ms"
    return at.isoformat(timespec="milliseconds" if at_ms % 1000 else "seconds")


def instant_ms(text: str) -> int:
    """
    An instant written as ISO 8601 with a zone, or as whole milliseconds since 1970.

    Returns:
        Since 1970 in UTC, rounded down. [ms]

    Raises:
        ValueError: Neither, no zone, or before 1970; a zone is never guessed.

    Examples:
        >>> instant_ms("2026-09-21T15:33:20+02:00"), instant_ms("1790000000000")
        (1790000000000, 1790000000000)
    """
    if text.isascii() and text.isdigit():
        return int(text)
    expected = "ISO 8601 with a zone, such as 2026-09-21T15:33:20+02:00 or …Z"
    try:
        at = datetime.fromisoformat(text)
    except ValueError as fault:
        raise ValueError(f"found {text!r}, expected {expected}") from fault
    if at.tzinfo is None:
        raise ValueError(f"found {text!r} without a zone, expected {expected}")
    if at < _EPOCH:
        raise ValueError(f"found {text!r}, expected an instant from 1970 on")
    return (at - _EPOCH) // timedelta(milliseconds=1)
