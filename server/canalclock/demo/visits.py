"""The demonstration's visits, each played by a shipped protocol as it is written.

Lengths, sizes and pace are common practice, invented for this clinic; no source.
"""

from collections.abc import Iterable
from typing import Final

from msgspec import Struct

from canalclock.core.kit import Kit
from canalclock.demo.chair import BASE_MS, DAY_MS, CanalPlan, Chair, Release
from canalclock.demo.clinic import TABLETS

MINUTE_MS: Final = 60_000

FIRST_FILES: Final = ((15, 0), (20, 0))
"""Hand files that secure the apical third; 0 = to working length."""


class Played(Struct, frozen=True, kw_only=True):
    """A visit that was played, when it begins or ends, and who signs it."""

    chair: Chair
    ends_before_now_ms: int
    signed_by: str | None = None


def played(kits: dict[str, Kit]) -> tuple[Played, ...]:
    """
    Every visit of the demonstration, oldest first.

    Args:
        kits: The shipped kits by the names of their protocols.
    """
    course = TABLETS[1].device
    first, paste_at = _dressed(kits["necrotic-two-visits"], course)
    second = _washed_out(kits["necrotic-two-visits"], course, first.next_seq, paste_at)
    return (
        Played(chair=first, ends_before_now_ms=12 * DAY_MS, signed_by="dentist-2"),
        Played(
            chair=_premolar(kits["mature-apex-one-visit"]),
            ends_before_now_ms=DAY_MS,
            signed_by="dentist-1",
        ),
        Played(
            chair=_chlorhexidine_too_early(kits["chlorhexidine-last"]),
            ends_before_now_ms=3 * 60 * MINUTE_MS,
        ),
        Played(chair=second, ends_before_now_ms=90_000),
        Played(chair=_molar(kits["mature-apex-one-visit"]), ends_before_now_ms=6_000),
    )


def _upper_molar() -> tuple[CanalPlan, ...]:
    return (
        CanalPlan(
            canal="mb1", orifice_um=8500, working_length_um=19500, apical_size=35, name="MB1"
        ),
        CanalPlan(canal="db", orifice_um=8500, working_length_um=19000, apical_size=35, name="DB"),
        CanalPlan(canal="p", orifice_um=8000, working_length_um=20500, apical_size=40, name="P"),
    )


def _lower_molar() -> tuple[CanalPlan, ...]:
    return (
        CanalPlan(canal="mb", orifice_um=9000, working_length_um=20000, apical_size=35, name="MB"),
        CanalPlan(canal="ml", orifice_um=9000, working_length_um=20000, apical_size=35, name="ML"),
        CanalPlan(canal="d", orifice_um=8500, working_length_um=20500, apical_size=40, name="D"),
    )


def _shape(
    chair: Chair,
    canals: tuple[CanalPlan, ...],
    reference: str,
    coronal_um: int = 14000,
) -> None:
    """From the open chamber to gauged canals, the coronal two thirds before the apical third."""
    chair.play("secure-coronal", canals, ((15, coronal_um),))
    chair.play("shape-coronal", canals, ((25, coronal_um),))
    chair.play("secure-apical", canals, FIRST_FILES)
    for canal in canals:
        chair.length(canal, reference)
    chair.play("length", canals)
    last = canals[0].apical_size
    chair.play("shape-apical", canals, ((25, 0), (30, 0), (last, 0)))
    chair.play("gauge", canals)
    for canal in canals:
        chair.gauged(canal)


def _close(chair: Chair, staff: str) -> Chair:
    chair.wait(30)
    chair.say("visit_closed", staff=staff)
    return chair


def _premolar(kit: Kit) -> Chair:
    """An upper first premolar by its protocol, from isolation to filling."""
    canals = (
        CanalPlan(canal="b", orifice_um=9500, working_length_um=21000, apical_size=35, name="B"),
        CanalPlan(canal="p", orifice_um=9500, working_length_um=20500, apical_size=35, name="P"),
    )
    chair = Chair("premolar", kit, TABLETS[0].device, "assistant-1")
    chair.open("14", "DEMO-0212", "room-1", "dentist-1", canals, course="demo-course-premolar")
    chair.play("open", canals)
    _shape(chair, canals, "buccal cusp")
    for stage in ("chelate", "activate", "dry", "fill"):
        chair.play(stage, canals)
    return _close(chair, "dentist-1")


def _chlorhexidine_too_early(kit: Kit) -> Chair:
    """A lower first molar: a slip put right, and chlorhexidine before all canals were dry."""
    mb, ml, d = canals = _lower_molar()
    chair = Chair("lower molar", kit, TABLETS[2].device, "assistant-3")
    chair.open("46", "DEMO-0198", "room-3", "dentist-2", canals, course="demo-course-lower-molar")
    chair.play("open", canals)
    chair.play("secure-coronal", canals, ((15, 14000),))
    slip = chair.deliver("n3", "mb", 1000, 10000, volume_said_ul=10_000)
    at_ms = chair.now_ms
    _shape(chair, canals, "mesiobuccal cusp")
    chair.say(
        "entry_corrected",
        staff="assistant-3",
        entry=slip,
        replaces=slip,
        reason="10 mL was typed for 1 mL",
        payload=_corrected(chair, slip, volume_ul=1000) | {"occurred_at_ms": at_ms},
    )
    chair.play("activate", canals)
    chair.play("chelate", canals)
    chair.play("separate", (mb,))
    order = Release(
        ordered_by="dentist-2",
        reason="Kept to mb under the microscope; ml and d are rinsed and dried next",
    )
    chair.put_down()
    chair.pick("c2", "mb", order)
    chair.deliver("c2", "mb", 1000, 19000, release=order)
    chair.play("separate", (ml, d), release=order)
    chair.play("antiseptic", (ml, d), release=order)
    chair.play("dry", canals)
    chair.play("fill", canals)
    return _close(chair, "dentist-2")


def _dressed(kit: Kit, device: str) -> tuple[Chair, int]:
    """First of two visits: shaped, washed and dressed; and when the dressing was placed. [ms]"""
    canals = _lower_molar()
    chair = Chair("dressed", kit, device, "assistant-2")
    chair.open("36", "DEMO-0187", "room-2", "dentist-2", canals, course="demo-course-two-visits")
    chair.play("open", canals)
    _shape(chair, canals, "mesiobuccal cusp")
    for stage in ("chelate", "activate", "dry", "dress"):
        chair.play(stage, canals)
    placed = chair.now_ms
    return _close(chair, "dentist-2"), placed - BASE_MS


def _washed_out(kit: Kit, device: str, first_seq: int, placed_ms: int) -> Chair:
    """Second visit, at the chair now: the dressing is being washed out."""
    canals = _lower_molar()
    chair = Chair("washed out", kit, device, "assistant-2", first_seq)
    chair.open(
        "36",
        "DEMO-0187",
        "room-2",
        "dentist-2",
        canals,
        course="demo-course-two-visits",
        dressing="calcium_hydroxide_paste",
        since_ms=BASE_MS - 12 * DAY_MS + placed_ms,
    )
    for canal in canals:
        chair.length(canal, "mesiobuccal cusp")
    chair.play("second-open", canals)
    chair.play("lift", canals[:2], ((25, 0),))
    return chair


def _molar(kit: Kit) -> Chair:
    """An upper first molar at the chair now: a fourth canal found late, the chelator just in."""
    canals = _upper_molar()
    chair = Chair("upper molar", kit, TABLETS[0].device, "assistant-1", first_seq=1001)
    chair.open("16", "DEMO-0231", "room-1", "dentist-1", canals, course="demo-course-upper-molar")
    chair.play("open", canals)
    chair.play("secure-coronal", canals, ((15, 13500),))
    chair.play("shape-coronal", canals, ((25, 13500),))
    late = CanalPlan(
        canal="mb2", orifice_um=9500, working_length_um=19000, apical_size=35, name="MB2"
    )
    chair.wait(40)
    chair.found(late)
    wrong = chair.say("check_done", what="patency", site="db", result="done")
    chair.wait(3)
    chair.say("entry_voided", entry=wrong, replaces=wrong, reason="Another canal was meant")
    chair.play("secure-coronal", (late,), ((15, 13500),))
    chair.play("shape-coronal", (late,), ((25, 13500),))
    four = (canals[0], late, *canals[1:])
    chair.play("secure-apical", four, FIRST_FILES)
    for canal in four:
        chair.length(canal, "mesiobuccal cusp")
    chair.play("length", four)
    chair.play("shape-apical", four, ((25, 0), (35, 0)))
    chair.play("gauge", four)
    for canal in four:
        chair.gauged(canal)
    _chelator_only(chair, four[:2])
    return chair


def _chelator_only(chair: Chair, canals: Iterable[CanalPlan]) -> None:
    """The chelator goes in; its rinse is what comes next."""
    step = next(s for s in chair.stage("chelate").steps if s.step == "chelator")
    for canal in canals:
        chair.step(step, canal)


def _corrected(chair: Chair, entry: str, **change: object) -> dict[str, object]:
    """The full new payload of an event with something changed."""
    envelope = {
        "id", "kind", "visit", "device", "device_seq", "staff", "device_clock_ms",
        "clock_error_ms",
    }  # fmt: skip
    event = next(e for e in chair.events if e["id"] == entry)
    return {k: v for k, v in event.items() if k not in envelope} | change
