"""Which version of each event stands.

Amendments only say what they replace; what stands follows from the set, whatever the clocks.
"""

from collections.abc import Iterable

import msgspec

from canalclock.core.record.events import AnyEvent, EntryCorrected, EntryVoided, Event, Unread
from canalclock.core.record.order import key
from canalclock.core.record.values import Finding, Made, Versions

Amendment = EntryCorrected | EntryVoided

_FROM_ORIGINAL = (
    "id",
    "visit",
    "device",
    "device_seq",
    "staff",
    "device_clock_ms",
    "clock_error_ms",
    "dated_by_hand",
)


class Standing(Made, frozen=True, kw_only=True):
    """The events that stand, by key, and how the amended ones came to."""

    events: tuple[AnyEvent, ...]
    unread: tuple[Unread, ...]
    versions: tuple[Versions, ...]
    retimed: frozenset[str]
    findings: tuple[Finding, ...]


def standing(events: Iterable[AnyEvent | Unread]) -> Standing:
    """
    The events that stand once every amendment has been heard.

    Args:
        events: Any events of one visit, in any order, repeats allowed.

    Returns:
        What stands in the order of keys; findings `correction_conflict`, `correction_unreadable`,
        `unresolved` and `unread`.
    """
    distinct: dict[str, AnyEvent | Unread] = {}
    for event in sorted(events, key=key):
        distinct.setdefault(event.id, event)
    originals: dict[str, AnyEvent] = {}
    amendments: dict[str, list[Amendment]] = {}
    unread: list[Unread] = []
    for event in distinct.values():
        match event:
            case EntryCorrected() | EntryVoided():
                amendments.setdefault(event.entry, []).append(event)
            case Unread():
                unread.append(event)
            case _:
                originals[event.id] = event
    findings = [
        Finding(rule="unread", severity="notice", events=(e.id,), about=e.unread_kind)
        for e in unread
    ]
    standing_events: list[AnyEvent] = []
    versions: list[Versions] = []
    retimed: set[str] = set()
    for entry, original in originals.items():
        if entry not in amendments:
            standing_events.append(original)
            continue
        winner, rivals = _winner(original, amendments[entry])
        version = winner.id
        if rivals:
            findings.append(Finding(rule="correction_conflict", severity="notice", events=rivals))
        stands: AnyEvent | None = original
        match winner:
            case EntryVoided():
                stands = None
            case EntryCorrected():
                stands = _corrected(original, winner)
                if stands is None:
                    stands, version = original, entry
                    findings.append(
                        Finding(
                            rule="correction_unreadable",
                            severity="serious",
                            events=(entry, winner.id),
                        )
                    )
                elif stands.occurred_at_ms != original.occurred_at_ms:
                    retimed.add(entry)
        if stands is not None:
            standing_events.append(stands)
        versions.append(
            Versions(
                entry=entry,
                stands=version,
                voided=stands is None,
                versions=(entry, *(a.id for a in amendments[entry])),
            )
        )
    for entry, orphans in amendments.items():
        if entry not in originals:
            findings += [
                Finding(rule="unresolved", severity="notice", events=(a.id,)) for a in orphans
            ]
    if amendments:
        standing_events.sort(key=key)  # a correction may change the time
    return Standing(
        events=tuple(standing_events),
        unread=tuple(unread),
        versions=tuple(versions),
        retimed=frozenset(retimed),
        findings=tuple(findings),
    )


def _winner(original: AnyEvent, amendments: list[Amendment]) -> tuple[Event, tuple[str, ...]]:
    """The version that stands, and all that stood beside it where they were in conflict."""
    candidates: list[Event] = [original, *amendments]
    replaced = {a.replaces for a in amendments if a.replaces != a.id}
    free = [c for c in candidates if c.id not in replaced]
    if len(free) == 1:
        return free[0], ()
    rivals = sorted(free, key=key)
    return rivals[-1], tuple(c.id for c in rivals)


def _corrected(original: AnyEvent, correction: EntryCorrected) -> AnyEvent | None:
    """The original with the correction's payload, or None if that is no event of its kind."""
    kept = {name: getattr(original, name) for name in _FROM_ORIGINAL}
    try:
        return msgspec.convert(
            {**correction.payload, **kept, "kind": _kind(original)},
            type(original),
        )
    except msgspec.ValidationError:
        return None


def _kind(event: Event) -> str:
    return str(type(event).__struct_config__.tag)
