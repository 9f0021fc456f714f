"""A molar's visit of 200 events, as a chair logs it, and the kit it is read by."""

from typing import Final

from canalclock.core.kit import Kit
from canalclock.core.record.events import AnyEvent, Unread
from canalclock.protocol_files import kit_for, shipped_protocol
from tests.builders import EDTA, HYPOCHLORITE, WATER, Chair

S: Final = 1000
CANALS: Final = ("mb1", "mb2", "db", "p")
EVENTS: Final = 200


def the_kit() -> Kit:
    """The shipped catalogue with the protocol that the visit follows."""
    return kit_for(shipped_protocol("mature-apex-one-visit"))


def the_visit() -> list[AnyEvent | Unread]:
    """The visit, decoded."""
    chair = Chair()
    _opened(chair)
    at = 60 * S
    for size in (15, 20, 25, 30):
        for canal in CANALS:
            at = _worked(chair, canal, size, at)
    for canal in CANALS:
        at = _closed(chair, canal, at)
    n = 0
    while len(chair.events) < EVENTS - 1:
        n += 1
        at += 20 * S
        chair.delivered(CANALS[n % 4], WATER, at, syringe="w", contents=None, tip_um=19_000)
    chair.closed(at + S)
    events = chair.read()
    assert len(events) == EVENTS
    return events


def _opened(chair: Chair) -> None:
    chair.opened(*CANALS)
    for canal in CANALS:
        chair.measured(canal)
    for name, what in (("n", HYPOCHLORITE), ("e", EDTA), ("w", WATER)):
        chair.log(
            "syringe_prepared", S, syringe=name, contents=what, volume_ul=5000, needle_gauge=30,
            needle_tip="side_vented",
        )  # fmt: skip
    chair.log("check_done", 2 * S, what="isolation")


def _worked(chair: Chair, canal: str, size: int, at: int) -> int:
    """An instrument's round: irrigate, instrument, irrigate, recapitulate, irrigate."""
    from_n = {"syringe": "n", "contents": None, "tip_um": 18_000}
    chair.log("syringe_picked", at, syringe="n")
    chair.delivered(canal, HYPOCHLORITE, at + 10 * S, **from_n)
    chair.log("instrument_used", at + 40 * S, canal=canal, size=size, length_um=20_000)
    chair.delivered(canal, HYPOCHLORITE, at + 55 * S, **from_n)
    chair.log("canal_recapitulated", at + 65 * S, canal=canal, size=10, length_um=20_000)
    chair.delivered(canal, HYPOCHLORITE, at + 80 * S, **from_n)
    return at + 90 * S


def _closed(chair: Chair, canal: str, at: int) -> int:
    """Three activations in fresh hypochlorite, chelator with its timer, rinse, dry."""
    for _ in range(3):
        chair.delivered(canal, HYPOCHLORITE, at + 10 * S, syringe="n", contents=None)
        chair.activated(canal, at + 15 * S, at + 35 * S)
        at += 40 * S
    chelator = chair.delivered(canal, EDTA, at + 10 * S, syringe="e", contents=None)
    chair.log(
        "timer_set", at + 11 * S, timer={"canal": canal, "step": "chelator"},
        runs_from=chelator, due_at_ms=at + 70 * S,
    )  # fmt: skip
    chair.delivered(canal, WATER, at + 80 * S, syringe="w", contents=None, volume_ul=2000)
    chair.removed(canal, at + 95 * S)
    return at + 100 * S
