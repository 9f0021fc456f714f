"""What the record and the guard must say, as cases of the same form as the shared vectors.

So a spec page is judged by the same judge, and exported to both languages (export.py).
"""

import re
from collections.abc import Iterator
from typing import Any, Final

import msgspec

from tests.spec.pages import Page, Row, Section
from tests.spec.story import OPENING_MS, Event, Teller, Told, contents_of, strengths_of
from tests.spec.words import NotReadable, amount, clock_ms, listed
from tests.vectors.cases import FoldCase, GuardCase

KIT: Final = "bench"
_RECORD: Final = re.compile(
    r"^The record(?:, known at (?P<known>\S+))?, as of (?P<as_of>\S+?)"
    r"(?: \(awaits (?P<awaits>\w+)\))?$"
)
_SPAN_COLUMNS: Final = {
    "anywhere": "anywhere_ms",
    "at the orifice": "orifice_ms",
    "last 3 mm, least": "last_3mm_least_ms",
    "last 3 mm, mean": "last_3mm_mean_ms",
    "longest run": "longest_run_ms",
    "contact": "contact_ms",
    "fresh": "fresh_ms",
    "activated": "activated_ms",
    "carried": "carried_ms",
}


def record_cases(page: Page) -> Iterator[FoldCase]:
    """One case for each section "The record, as of …"."""
    told = Teller(page).tell()
    for number, section in enumerate(page.sections):
        found = _RECORD.match(section.heading)
        if found is None:
            continue
        known = clock_ms(found["known"]) if found["known"] else None
        events = [t.event for t in told if known is None or t.entered_ms <= known]
        case: dict[str, Any] = {
            "case": f"{page.name}-record-{number}",
            "function": "fold",
            "given": {
                "kit_ref": KIT,
                "as_of_ms": OPENING_MS + clock_ms(found["as_of"]),
                "events": events,
            },
            "expect": dict(_expected(section)),
            "source": {"kind": "hand", "working": section.prose},
        }
        if found["awaits"]:
            case["awaits"] = found["awaits"]
        yield msgspec.convert(case, FoldCase)


def guard_cases(page: Page) -> Iterator[GuardCase]:
    """
    One case for every delivery, asked when its syringe was picked, and for every other pick listed.

    What the page lists is what the guard says; before a delivery it does not list it is silent.
    Notes said go on record, as a device would put them there.
    """
    teller = Teller(page)
    told = teller.tell()
    section = page.section("The guard")
    if not section.prose:
        return
    listed_rows = {(row["at"], row["where"]): row for row in section.tables.get("at", [])}
    spoke: list[Event] = []
    for at_ms, syringe, where, by in sorted(_picks(told, teller, listed_rows)):
        row = listed_rows.get((_clock(at_ms), where), {"it says": "nothing"})
        before = [t.event for t in told if t.entered_ms < at_ms]
        warnings = _warnings(row["it says"])
        act: dict[str, Any] = {
            "contents": teller.contents[syringe],
            "site": where or None,
            "syringe": None if by else syringe,
            "by": by or None,
            "at_ms": OPENING_MS + at_ms,
        }
        case = {
            "case": f"{page.name}-guard-{_clock(at_ms).replace(':', '-')}-{where or 'anywhere'}",
            "function": "guard",
            "given": {"kit_ref": KIT, "act": act, "events": before + spoke},
            "expect": {"warnings": warnings},
            "source": {"kind": "hand", "working": section.prose},
        }
        yield msgspec.convert(case, GuardCase)
        spoke += [_spoken(w, at_ms, len(spoke) + i) for i, w in enumerate(warnings)]


def _picks(
    told: tuple[Told, ...], teller: Teller, rows: dict[tuple[str, str], Row]
) -> set[tuple[int, str, str, str]]:
    picks: set[tuple[int, str, str, str]] = set()
    for t in told:
        if t.event["kind"] != "irrigant_delivered" or t.entered_ms > _at(t.event):
            continue
        start = _at(t.event) - t.event.get("duration_ms", 0)
        syringe = t.event.get("syringe") or _holding(teller, t.event["contents"])
        at_ms = start if t.picked_ms is None else t.picked_ms
        picks.add((at_ms, syringe, t.event["site"], t.event.get("by", "")))
    asked = {(_clock(at_ms), where) for at_ms, _, where, _ in picks}
    for (at, where), row in rows.items():
        if (at, where) not in asked:
            picks.add((clock_ms(at), row["before"], where, ""))
    return picks


def _holding(teller: Teller, contents: list[dict[str, Any]]) -> str:
    return next(name for name, held in teller.contents.items() if held == contents)


def _at(event: Event) -> int:
    return int(event["occurred_at_ms"]) - OPENING_MS


def _clock(at_ms: int) -> str:
    return f"{at_ms // 60_000}:{at_ms // 1000 % 60:02}"


def _warnings(text: str) -> list[dict[str, Any]]:
    if text == "nothing":
        return []
    return [_warning(part.strip()) for part in text.split(";")]


def _warning(text: str) -> dict[str, Any]:
    """Read "hold edta+water at mb, chamber" (a pair) or "caution isolation_after_stop"."""
    said, _, sites = text.partition(" at ")
    level, _, about = said.partition(" ")
    warning: dict[str, Any] = {"level": level}
    warning |= {"rule": "pair", "about": about} if "+" in about else {"rule": about}
    return warning | ({"sites": listed(sites)} if sites else {})


def _spoken(warning: dict[str, Any], at_ms: int, number: int) -> Event:
    return {
        "id": f"g{number + 1:02}",
        "kind": "guard_spoke",
        "visit": "visit-1",
        "device": "tablet",
        "device_seq": 900 + number,
        "staff": "assistant-1",
        "occurred_at_ms": OPENING_MS + at_ms,
        "device_clock_ms": OPENING_MS + at_ms,
        "clock_error_ms": 40,
        "rule": warning["rule"],
        "level": warning["level"],
        "about": warning.get("about", ""),
        "sites": warning.get("sites", []),
        "act": "none",
    }


def _expected(section: Section) -> Iterator[tuple[str, Any]]:
    tables = section.tables
    if partial := [title for title, rows in tables.items() if _is_partial(rows)]:
        names = {"canal": "headlines", "depth": "depths"}
        yield "partial", [names[title] for title in partial]
    if "canal" in tables:
        yield "headlines", [_headline(row) for row in _rows(tables["canal"])]
    if "depth" in tables:
        yield "depths", [_depth(row, "depth") for row in _rows(tables["depth"])]
    if "with carried" in tables:
        yield "carried", [_depth(row, "with carried") for row in tables["with carried"]]
    if "site" in tables:
        volumes = [_volume(row) for row in tables["site"]]
        tooth = [row for row in volumes if row.pop("site_is_tooth")]
        yield "volumes", [row for row in volumes if row not in tooth]
        if tooth:
            yield "tooth", [{k: v for k, v in row.items() if k != "site"} for row in tooth]
    if "dressing in" in tables:
        yield "dressings", [_dressing(row) for row in tables["dressing in"]]
    yield "findings", [_finding(row) for row in tables.get("finding", [])]


def _is_partial(rows: list[Row]) -> bool:
    return any(next(iter(row.values())) == "…" for row in rows)


def _rows(rows: list[Row]) -> list[Row]:
    return [row for row in rows if next(iter(row.values())) != "…"]


def _headline(row: Row) -> dict[str, Any]:
    return {"site": row["canal"], "irrigant": row["irrigant"]} | _spans(row)


def _depth(row: Row, column: str) -> dict[str, Any]:
    start, _, end = row[column].removesuffix(" mm").partition("–")
    return {
        "site": row["in"],
        "irrigant": row["irrigant"],
        "concentration_mg_per_l": strengths_of(row["strength"]),
        "from_um": amount(f"{start} mm", "mm"),
        "to_um": amount(f"{end} mm", "mm"),
    } | _spans(row)


def _spans(row: Row) -> dict[str, Any]:
    return {
        name: None if row[column] == "unknown" else clock_ms(row[column])
        for column, name in _SPAN_COLUMNS.items()
        if row.get(column)
    }


def _volume(row: Row) -> dict[str, Any]:
    words = row["volume"]
    told: dict[str, Any] = {
        "site": row["site"],
        "site_is_tooth": row["site"] == "tooth",
        "irrigant": row["irrigant"],
        "concentration_mg_per_l": strengths_of(row["strength"]),
        "at_least": "at least " in words,
        "about": "about " in words,
        "volume_ul": amount(re.sub(r"(at least|about) ", "", words), "mL"),
    }
    if row["passed"]:
        told["passed_ng"] = None if row["passed"] == "unknown" else amount(row["passed"], "mg")
    return told


def _dressing(row: Row) -> dict[str, Any]:
    return {
        "site": row["dressing in"],
        "contents": contents_of(row["what"]),
        "until_ms": OPENING_MS + clock_ms(row["until"]),
    }


def _finding(row: Row) -> dict[str, Any]:
    if not row["finding"]:
        raise NotReadable("found an empty finding, expected its rule")
    return {"rule": row["finding"]} | ({"sites": listed(row["at"])} if row["at"] else {})
