"""What the audit is given beside kit and record, and the form of what it finds."""

from collections.abc import Mapping
from typing import Literal

from canalclock.core.record.events import AnyEvent, Unread
from canalclock.core.record.totals import Totals
from canalclock.core.record.values import Finding, Made
from canalclock.core.spoken import Spoken

Measure = Literal["ms", "ul", "mg_per_l", "um", "pct", "entries"]
"""Unit of `asked` and `had`."""


class Found(Finding, frozen=True, kw_only=True):
    """A finding of the audit, with the figures that its text gives."""

    measure: Measure | None = None
    asked: int | None = None
    """What the protocol asked, or the limit. [measure]"""
    had: int | None = None
    """What the record has. [measure]"""
    says: str = ""
    """Words of the people concerned, as they were entered."""


class Gap(Made, frozen=True, kw_only=True):
    """Numbers of a device that never arrived, both ends included."""

    device: str
    first: int
    last: int


class Meta(Made, frozen=True, kw_only=True):
    """What was derived already, and what only a ledger knows."""

    totals: Totals
    spoken: tuple[Spoken, ...]
    events: tuple[AnyEvent | Unread, ...]
    """All events as they came, amendments included."""
    recorded: Mapping[str, int]
    """When the ledger recorded each event, by id; empty without a ledger. [ms]"""
    fields_not_read: Mapping[str, tuple[str, ...]] = {}
    """Names in an entry that its kind does not have, by the entry's id."""
    gaps: tuple[Gap, ...] = ()
    """Numbers that a ledger misses; empty where that is not known."""
