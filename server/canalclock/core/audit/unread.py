"""The rule on what an entry says and this version does not read, beside kinds it does not know."""

from collections.abc import Iterator

from canalclock.core.audit.meta import Found, Meta
from canalclock.core.kit import Kit
from canalclock.core.record.values import Record


def unread_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """One for each name of a field that no entry of its kind has, with the entries that have it."""
    entries: dict[str, list[str]] = {}
    for event, names in meta.fields_not_read.items():
        for name in names:
            entries.setdefault(name, []).append(event)
    for name, events in entries.items():
        yield Found(
            rule="field_unread",
            severity="notice",
            events=tuple(events),
            about=name,
            measure="entries",
            had=len(events),
        )
