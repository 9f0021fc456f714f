"""A visit that stands at its closing stage, posted as another device would have posted it.

For walks that are not about the opening: four gauged canals, all that comes before the chelator
marked done, a syringe of each solution.
"""

import json
import time
from typing import Any, Final

import httpx

from tests.browser.molar_visit import CANALS, LENGTH_UM
from tests.browser.service import Service

BEFORE_CLOSING: Final = (
    "secure-coronal",
    "shape-coronal",
    "secure-apical",
    "length",
    "shape-apical",
    "gauge",
)
SOLUTIONS: Final = {
    "sodium_hypochlorite": 30_000,
    "edta": 170_000,
    "water": None,
}
"""Strengths. [mg/L]"""


class OtherDevice:
    """Posts a visit's events with ids and numbers of its own."""

    def __init__(self, service: Service, at_ms: int | None = None) -> None:
        """A device with nothing posted; its visit begins at an instant. [ms since 1970, UTC]"""
        self._service = service
        self._at_ms = time.time_ns() // 1_000_000 - 60_000 if at_ms is None else at_ms
        self._device = self._id(0)
        self._seq = 0
        self._lines: list[dict[str, Any]] = []
        self.visit = self._id(1)

    def say(self, kind: str, **payload: Any) -> None:
        """One more event, a millisecond after the last."""
        self._seq += 1
        self._at_ms += 1
        event = {
            "id": self._id(1 + self._seq),
            "kind": kind,
            "visit": self.visit,
            "device": self._device,
            "device_seq": self._seq,
            "staff": "assistant-2",
            "occurred_at_ms": self._at_ms,
            "device_clock_ms": self._at_ms,
            "clock_error_ms": 20,
        }
        self._lines.append(event | payload)

    def post(self) -> None:
        """Send what was said; all of it must be recorded."""
        answer = httpx.post(
            f"{self._service.address}/api/visits/{self.visit}/events",
            content="".join(json.dumps(line) + "\n" for line in self._lines),
            headers={"Content-Type": "application/x-ndjson"},
            timeout=30,
        )
        answer.raise_for_status()
        answers = answer.json()["answers"]
        assert [a for a in answers if a["answer"] != "recorded"] == []
        self._lines = []

    def _id(self, number: int) -> str:
        return f"019a0000-0000-7000-8000-{number:012x}"


def visit_at_closing(service: Service, at_ms: int | None = None) -> str:
    """Post the visit; its id."""
    device = OtherDevice(service, at_ms)
    [kit] = [k for k in service.get("/kits") if k["protocol"] == "mature-apex-one-visit"]
    device.say(
        "visit_opened",
        course="closing-course",
        tooth="16",
        label="C-16",
        room="room-1",
        kit=kit["kit"],
        operator="dentist-1",
        canals=list(CANALS),
    )
    for question in service.get(f"/kits/{kit['kit']}")["protocol"]["questions"]:
        device.say("question_answered", question=question, answer="no")
    for canal in CANALS:
        device.say(
            "canal_set",
            canal=canal,
            state="length_set",
            orifice_um=9000,
            working_length_um=LENGTH_UM[canal],
            apical_size=35,
            taper_um_per_mm=60,
        )
    for number, (irrigant, strength) in enumerate(SOLUTIONS.items()):
        device.say(
            "syringe_prepared",
            syringe=f"syringe-{number}",
            contents=[{"irrigant": irrigant, "concentration_mg_per_l": strength}],
            volume_ul=20_000,
            needle_gauge=30,
            needle_tip="side_vented",
        )
    device.say("step_done", step="open", cycle=1, canal="chamber")
    for stage in BEFORE_CLOSING:
        for canal in CANALS:
            device.say("step_done", step=stage, cycle=1, canal=canal)
    device.post()
    return device.visit
