"""What happened, minute by minute, as events: the one reader of the spec pages' first half.

A row says when (start and end), what, where, and details. Every event also has the time at
which it was entered, so that a page can ask what was known when.
"""

import re
from dataclasses import dataclass
from typing import Any, Final

from tests.spec.pages import Page, Row
from tests.spec.words import NotReadable, amount, clock_ms, listed, span_ms

OPENING_MS: Final = 1_790_000_000_000
"""The opening of every spec visit on the clock of events; 0:00 on the page. [ms]"""
DAY_MS: Final = 86_400_000
IRRIGANTS: Final = (
    "sodium_hypochlorite",
    "edta_gel",
    "edta",
    "chlorhexidine",
    "calcium_hydroxide",
    "saline",
    "water",
)
Event = dict[str, Any]


@dataclass(frozen=True)
class Told:
    """An event, when it was entered, and for a delivery when its syringe was picked. [ms]"""

    event: Event
    entered_ms: int
    picked_ms: int | None = None


def contents_of(text: str) -> list[dict[str, Any]]:
    """Contents as written: "sodium_hypochlorite 3 %", "water"; parts joined by "and"."""
    return [_component(part.strip()) for part in text.split(" and ")]


def _component(text: str) -> dict[str, Any]:
    name, _, strength = text.partition(" ")
    if name not in IRRIGANTS:
        raise NotReadable(f"found {name!r}, expected one of {', '.join(IRRIGANTS)}")
    return {
        "irrigant": name,
        "concentration_mg_per_l": amount(strength, "%") if strength else None,
    }


class Teller:
    """Turns a page's rows into events, counting ids and each device's sequence."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.told: list[Told] = []
        self.contents: dict[str, list[dict[str, Any]]] = {}
        self._counts: dict[str, int] = {}

    def tell(self) -> tuple[Told, ...]:
        """All events of the page, in the order of its rows."""
        self._open()
        for row in self.page.section("The syringes").tables.get("syringe", []):
            self._syringe(row)
        for row in self.page.section("What happened").tables["at"]:
            self._happened(row)
        return tuple(self.told)

    def _add(self, kind: str, at_ms: int, details: str = "", **payload: Any) -> None:
        device = "phone" if "from the phone" in details else "tablet"
        self._counts[device] = self._counts.get(device, 0) + 1
        entered = _said(details, r"entered (\S+)")
        picked = _said(details, r"picked (\S+)")
        event: Event = {
            "id": f"e{len(self.told) + 1:02}",
            "kind": kind,
            "visit": "visit-1",
            "device": device,
            "device_seq": self._counts[device],
            "staff": "assistant-1",
            "occurred_at_ms": OPENING_MS + at_ms,
            "device_clock_ms": OPENING_MS + at_ms,
            "clock_error_ms": 40,
        }
        if "by hand" in details:
            event["dated_by_hand"] = True
        event |= {name: value for name, value in payload.items() if value is not None}
        self.told.append(
            Told(
                event,
                clock_ms(entered) if entered else at_ms,
                clock_ms(picked) if picked else None,
            )
        )

    def _open(self) -> None:
        tooth = self.page.section("The tooth").tables["canal"]
        left_in = self.page.section("Left in the tooth").tables.get("where", [])
        from_start = [row["canal"] for row in tooth if not row["known from"]]
        self._add(
            "visit_opened",
            0,
            course="course-1",
            tooth="16",
            label="Spec",
            room="room-1",
            kit="0" * 64,
            canals=from_start,
            present_at_start=[_left_in(row) for row in left_in] or None,
        )
        for row in tooth:
            self._add(
                "canal_set",
                clock_ms(row["known from"] or "0:00"),
                canal=row["canal"],
                state="length_set" if row["working length"] else "located",
                orifice_um=amount(row["orifice"], "mm"),
                working_length_um=_maybe(row["working length"], "mm"),
            )

    def _syringe(self, row: Row) -> None:
        contents = contents_of(row["contents"])
        self.contents[row["syringe"]] = contents
        gauge, _, tip = row["needle"].partition(" G ")
        self._add(
            "syringe_prepared",
            clock_ms(row["filled at"] or "0:00"),
            syringe=row["syringe"],
            contents=contents,
            volume_ul=_maybe(row["filled with"], "mL"),
            needle_gauge=int(gauge) if gauge else None,
            needle_tip=tip or None,
        )

    def _happened(self, row: Row) -> None:
        start, end = span_ms(row["at"])
        what, where, details = row["what"], row["where"], row["details"]
        syringe, _, rest = what.partition(" ")
        if syringe in self.contents:
            self._syringe_row(syringe, rest, start, end, where, details)
        elif what in ("ultrasonic", "sonic", "negative_pressure"):
            tip = _said(details, r"tip (\S+ mm)")
            act = {"canal": where, "activation": what, "tip_um": amount(tip, "mm")}
            self._add("activation_started", start, details, **act)
            self._add("activation_stopped", end, details, **act)
        elif what in ("points", "aspirated"):
            to = _said(details, r"to (\S+ mm)")
            by = "points" if what == "points" else "aspiration"
            self._add("irrigant_removed", end, details, site=where, by=by, to_um=_maybe(to, "mm"))
        elif file := re.match(r"file size (\d+) to (\S+ mm)$", what):
            length = amount(file[2], "mm")
            self._add(
                "instrument_used", end, details, canal=where, size=int(file[1]), length_um=length
            )
        elif what.startswith("working length "):
            length = amount(what.removeprefix("working length "), "mm")
            self._add(
                "canal_set", end, details, canal=where, state="length_set", working_length_um=length
            )
        elif joins := re.match(r"joins (\S+), (\S+ mm) short of working length$", what):
            join = {"canal": joins[1], "short_of_wl_um": amount(joins[2], "mm")}
            self._add("canal_set", end, details, canal=where, joins=join)
        else:
            self._plain(what, end, where, details)

    def _syringe_row(
        self, syringe: str, rest: str, start: int, end: int, where: str, details: str
    ) -> None:
        if rest == "is empty":
            self._add("syringe_read", end, details, syringe=syringe, emptied=True)
        elif rest.startswith("has "):
            left = amount(rest.removeprefix("has ").removesuffix(" left"), "mL")
            self._add("syringe_read", end, details, syringe=syringe, left_ul=left)
        else:
            on_file = rest == "on a file"
            tip = _said(details, r"tip (\S+ mm)")
            how = re.search(r"\b(planned|estimated|recalled|read)\b", details)
            self._add(
                "irrigant_delivered",
                end,
                details,
                site=where,
                syringe=None if on_file else syringe,
                contents=self.contents[syringe] if on_file else None,
                by="on_file" if on_file else None,
                volume_ul=None if on_file else amount(rest, "mL"),
                duration_ms=None if on_file else end - start,
                tip_um=_maybe(tip, "mm"),
                how=how[1] if how else "timed",
            )

    def _plain(self, what: str, at_ms: int, where: str, details: str) -> None:
        if what == "incident declared":
            sign = _said(details, r"first sign (\S+)")
            self._add(
                "incident_declared",
                at_ms,
                what="extrusion_suspected",
                site=where,
                first_sign_at_ms=OPENING_MS + clock_ms(sign),
            )
        elif what == "hold released":
            self._add(
                "hold_released",
                at_ms,
                rule="pair",
                about=details,
                act=f"e{len(self.told) + 2:02}",
                ordered_by="dentist-1",
                reason="Chlorhexidine wanted now.",
            )
        elif what in ("treatment stopped", "treatment resumed"):
            self._add(what.replace(" ", "_"), at_ms)
        elif what in ("isolation", "radiograph"):
            self._add("check_done", at_ms, what=what)
        elif what == "visit closed":
            self._add("visit_closed", at_ms)
        else:
            raise NotReadable(f"found {what!r}, expected an act of story.py")


def _left_in(row: Row) -> dict[str, Any]:
    since = int(row["since"].removesuffix(" days before")) * DAY_MS
    return {
        "site": row["where"],
        "contents": contents_of(row["what"]),
        "dressing": True,
        "since_ms": OPENING_MS - since,
    }


def _said(details: str, pattern: str) -> str:
    found = re.search(pattern, details)
    return found[1].rstrip(",") if found else ""


def _maybe(text: str, unit: str) -> int | None:
    return amount(text, unit) if text else None


def strengths_of(text: str) -> int | None:
    """A strength cell: "3 %", or nothing for an unknown one. [mg/L]"""
    return _maybe(text, "%")


def sites_of(text: str) -> list[str]:
    """The sites of a cell."""
    return listed(text)
