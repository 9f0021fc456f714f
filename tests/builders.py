"""Builders of visits for tests: `a_kit()`, `a_visit()`, and a `Chair` that logs as a device would.

Every builder gives valid values with a few words said; what a test is about it says itself.
Times are in milliseconds from 0, lengths in micrometres, volumes in microlitres.
"""

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

import msgspec

from canalclock.core.guard import ProposedAct
from canalclock.core.kit import Kit, read_kit
from canalclock.core.record.events import AnyEvent, Unread
from canalclock.core.record.reading import read_event

Event = AnyEvent | Unread
Mix = tuple[dict[str, Any], ...]
KITS: Final = Path(__file__).parent / "vectors" / "kits"


def contents(**strengths: int | None) -> Mix:
    """
    Contents by irrigant and strength. [mg/L]

    Examples:
        >>> contents(edta=170_000)
        ({'irrigant': 'edta', 'concentration_mg_per_l': 170000},)
    """
    return tuple(
        {"irrigant": name, "concentration_mg_per_l": strength}
        for name, strength in strengths.items()
    )


HYPOCHLORITE: Final = contents(sodium_hypochlorite=30_000)
STRONG_HYPOCHLORITE: Final = contents(sodium_hypochlorite=52_500)
EDTA: Final = contents(edta=170_000)
GEL: Final = contents(edta_gel=150_000)
CHLORHEXIDINE: Final = contents(chlorhexidine=20_000)
CHELATING_MIX: Final = contents(sodium_hypochlorite=25_000, etidronate=90_000)
WATER: Final = contents(water=None)
SALINE: Final = contents(saline=9_000)
UNKNOWN_CONTENTS: Final = contents(unknown=None)


def a_kit(name: str = "bench") -> Kit:
    """One of the small complete kits of tests/vectors/kits."""
    return read_kit((KITS / f"{name}.json").read_bytes())


def an_act(what: Mix, site: str | None, at_ms: int, **more: Any) -> ProposedAct:
    """A syringe about to be used."""
    return msgspec.convert({"contents": what, "site": site, "at_ms": at_ms} | more, ProposedAct)


def read(event: Mapping[str, Any]) -> Event:
    """An event as the ledger would read it."""
    return read_event(msgspec.json.encode(event))


class Chair:
    """A device at the chair: gives each act an id and its sequence number, and keeps the list."""

    def __init__(self, device: str = "tablet", clock_error_ms: int | None = 0) -> None:
        self.device = device
        self.clock_error_ms = clock_error_ms
        self.events: list[dict[str, Any]] = []

    def log(self, kind: str, at_ms: int, **payload: Any) -> str:
        """Log an event of any kind; its id comes back."""
        seq = len(self.events) + 1
        event_id = f"{self.device}-{seq}"
        self.events.append(
            {
                "id": event_id,
                "kind": kind,
                "visit": "visit-1",
                "device": self.device,
                "device_seq": seq,
                "staff": "assistant-1",
                "occurred_at_ms": at_ms,
                "device_clock_ms": at_ms,
                "clock_error_ms": self.clock_error_ms,
            }
            | payload
        )
        return event_id

    def opened(self, *canals: str, at_ms: int = 0, **more: Any) -> str:
        """The visit begins."""
        payload = {
            "course": "course-1",
            "tooth": "16",
            "label": "T-1",
            "room": "room-1",
            "kit": "0" * 64,
            "canals": canals,
        }
        return self.log("visit_opened", at_ms, **(payload | more))

    def measured(
        self, canal: str, *, at_ms: int = 0, orifice_um: int | None = 9_000, wl_um: int = 20_000
    ) -> str:
        """Orifice and working length of a canal are known."""
        return self.log(
            "canal_set",
            at_ms,
            canal=canal,
            state="length_set",
            orifice_um=orifice_um,
            working_length_um=wl_um,
        )

    def delivered(self, site: str, what: Mix, at_ms: int, **more: Any) -> str:
        """An irrigant went to a site, 1 mL in 10 s with the tip at 20 mm unless said."""
        payload: dict[str, Any] = {
            "site": site,
            "contents": what,
            "volume_ul": 1000,
            "duration_ms": 10_000,
            "tip_um": None if site == "chamber" else 20_000,
            "how": "timed",
        }
        return self.log("irrigant_delivered", at_ms, **(payload | more))

    def removed(self, site: str, at_ms: int, by: str = "points", **more: Any) -> str:
        """A site was blotted or aspirated."""
        return self.log("irrigant_removed", at_ms, site=site, by=by, **more)

    def activated(
        self, canal: str, from_ms: int, to_ms: int, activation: str = "ultrasonic"
    ) -> str:
        """An activation ran; the id of its start comes back."""
        act = {"canal": canal, "activation": activation, "tip_um": 20_000}
        started = self.log("activation_started", from_ms, **act)
        self.log("activation_stopped", to_ms, **act)
        return started

    def voided(self, entry: str, at_ms: int, replaces: str | None = None) -> str:
        """An earlier event did not happen."""
        return self.log(
            "entry_voided", at_ms, entry=entry, replaces=replaces or entry, reason="not so"
        )

    def closed(self, at_ms: int) -> str:
        """The appointment is over."""
        return self.log("visit_closed", at_ms)

    def read(self) -> list[Event]:
        """What was logged, as the ledger would read it."""
        return [read(event) for event in self.events]


def a_visit(*canals: str, **opened: Any) -> Chair:
    """A chair whose visit is open with these canals, orifices 9 mm and working lengths 20 mm."""
    chair = Chair()
    names = canals or ("mb", "ml")
    chair.opened(*names, **opened)
    for canal in names:
        chair.measured(canal, at_ms=opened.get("at_ms", 0))
    return chair


def lines(events: Iterable[Mapping[str, Any]]) -> bytes:
    """Events as JSON Lines, the form in which devices hand them in."""
    return b"".join(msgspec.json.encode(event) + b"\n" for event in events)
