"""Runs a case and tells every difference, by the rules of README.md; knows no answer itself."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Final

import msgspec
from msgspec import UNSET

from canalclock.core.guard import ProposedAct, guard
from canalclock.core.kit import Kit, read_kit
from canalclock.core.record.events import AnyEvent, Unread
from canalclock.core.record.fold import fold
from canalclock.core.record.reading import read_event
from canalclock.core.record.totals import totals
from canalclock.core.record.values import Record
from tests.vectors.cases import VECTORS, FoldCase, Given, GuardCase, kit_of

Row = dict[str, Any]

KEYS: Final[dict[str, tuple[str, ...]]] = {
    "headlines": ("site", "irrigant"),
    "depths": ("site", "irrigant", "concentration_mg_per_l", "from_um", "to_um"),
    "carried": ("site", "irrigant", "concentration_mg_per_l", "from_um", "to_um"),
    "volumes": ("site", "irrigant", "concentration_mg_per_l"),
    "tooth": ("irrigant", "concentration_mg_per_l"),
    "dressings": ("site",),
    "timers": ("id",),
    "versions": ("entry",),
}
FOLD_RULES: Final = frozenset(
    {
        "canal_not_declared",
        "correction_conflict",
        "correction_unreadable",
        "unresolved",
        "unread",
        "after_close",
        "order_uncertain",
        "activation_never_stopped",
        "activation_stop_alone",
        "activation_on_nothing",
        "open_end",
        "reading_conflict",
        "join_without_length",
        "join_in_a_ring",
    }
)
"""The findings of the fold itself; other rules' findings are left alone."""
LEVELS: Final = ("hold", "caution", "note")


def events_of(given: Given) -> list[AnyEvent | Unread]:
    """The case's events, read line by line as the ledger would."""
    return [read_event(msgspec.json.encode(event)) for event in given.events]


def differences(case: FoldCase | GuardCase) -> list[str]:
    """What the code answers otherwise than the case expects; empty = all as expected."""
    kit = kit_of(case.given)
    record = fold(kit or _plain_kit(), events_of(case.given))
    if isinstance(case, GuardCase):
        return _guard_differences(case, kit, record)
    return _fold_differences(case, record)


def _plain_kit() -> Kit:
    return read_kit((VECTORS / "kits" / "bench.json").read_bytes())


def _fold_differences(case: FoldCase, record: Record) -> list[str]:
    figures = msgspec.to_builtins(totals(record, case.given.as_of_ms))
    got: dict[str, Any] = figures | msgspec.to_builtins(
        {"findings": record.findings, "timers": record.timers, "versions": record.versions}
    )
    expected: Row = msgspec.to_builtins(case.expect)
    told: list[str] = []
    for part, rows in expected.items():
        whole = part not in case.expect.partial
        if part == "partial":
            continue
        if part == "measured_share_pct":
            if got[part] != rows:
                told.append(f"measured_share_pct: expected {rows}, got {got[part]}")
        elif part == "findings":
            seen = [f for f in got["findings"] if f["rule"] in FOLD_RULES]
            told += _matched("findings", rows, seen, _same_finding, whole)
        else:
            told += _keyed(part, rows, got[part], whole)
    return told


def _guard_differences(case: GuardCase, kit: Kit | None, record: Record) -> list[str]:
    act = msgspec.convert(msgspec.to_builtins(case.given.act), ProposedAct)
    said = msgspec.to_builtins(guard(kit, record, act))
    rows = msgspec.to_builtins(case.expect.warnings)
    told = _matched("warnings", rows, said, _same_warning, not case.expect.partial)
    ranks = [LEVELS.index(w["level"]) for w in said]
    if ranks != sorted(ranks):
        told.append(f"warnings: expected hold, caution, note in that order, got {said}")
    return told


def _keyed(part: str, expected: Sequence[Row], got: Sequence[Row], whole: bool) -> list[str]:
    key = KEYS[part]
    found: dict[tuple[Any, ...], list[Row]] = {}
    for row in got:
        found.setdefault(_key(row, key), []).append(row)
    told = [
        f"{part}: more than one row of {place}" for place, rows in found.items() if len(rows) > 1
    ]
    for row in expected:
        figures = {k: v for k, v in row.items() if k not in key}
        rows = found.pop(_key(row, key), [])
        if not rows:
            if not _says_nothing(row, key):
                told.append(f"{part}: expected {row}, got no such row")
            continue
        for name, value in figures.items():
            if not _equal(rows[0].get(name), value):
                place = _key(row, key)
                told.append(f"{part} {place} {name}: expected {value}, got {rows[0].get(name)}")
    if whole:
        for rows in found.values():
            told += [f"{part}: not expected: {row}" for row in rows if not _says_nothing(row, key)]
    return told


def _key(row: Row, names: Iterable[str]) -> tuple[Any, ...]:
    return tuple(row.get(name) for name in names)


def _equal(got: Any, expected: Any) -> bool:
    if isinstance(expected, list | tuple) and isinstance(got, list | tuple):
        return sorted(map(_canonical, got)) == sorted(map(_canonical, expected))
    return type(got) is type(expected) and got == expected


def _canonical(value: Any) -> str:
    if isinstance(value, dict):
        return repr(sorted((k, v) for k, v in value.items() if v is not None))
    return repr(value)


def _says_nothing(row: Row, key: Iterable[str]) -> bool:
    figures = [v for k, v in row.items() if k not in key and k != "about"]
    return all(not v for v in figures)


def _matched(
    part: str,
    expected: Sequence[Row],
    got: Sequence[Row],
    same: Callable[[Row, Row], bool],
    whole: bool,
) -> list[str]:
    left = list(got)
    told: list[str] = []
    for row in sorted(expected, key=len, reverse=True):
        hit = next((g for g in left if same(row, g)), None)
        if hit is None:
            told.append(f"{part}: expected {row}, got {[_brief(g) for g in got]}")
        else:
            left.remove(hit)
    if whole:
        told += [f"{part}: not expected: {_brief(g)}" for g in left]
    return told


def _brief(row: Row) -> Row:
    names = ("rule", "level", "about", "sites", "events", "ms")
    return {k: row[k] for k in names if row.get(k) not in (None, "", (), [])}


def _same_finding(expected: Row, got: Row) -> bool:
    return (
        expected["rule"] == got["rule"]
        and _same_set(expected.get("sites", UNSET), got["sites"])
        and _same_set(expected.get("events", UNSET), got["events"])
        and expected.get("ms", got["ms"]) == got["ms"]
    )


def _same_warning(expected: Row, got: Row) -> bool:
    return (
        (expected["rule"], expected["level"]) == (got["rule"], got["level"])
        and expected.get("about", got["about"]) == got["about"]
        and _same_set(expected.get("sites", UNSET), got["sites"])
    )


def _same_set(expected: Any, got: Iterable[str]) -> bool:
    return expected is UNSET or sorted(expected) == sorted(got)
