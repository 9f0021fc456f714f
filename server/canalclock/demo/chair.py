"""A device at the chair, played: it makes the events of one visit as a device does.

Before each act the record so far is folded and the guard is asked; what it says is recorded
with the act. A hold that nobody lets go stops the play: the scenario is then wrong.
"""

import hashlib
from collections.abc import Iterator
from typing import Any, Final

import msgspec
from msgspec import Struct

from canalclock.core.guard import ProposedAct, Warning, guard
from canalclock.core.kit import Kit, kit_digest
from canalclock.core.protocol.definition import Solution, Stage, Step
from canalclock.core.record.events import AnyEvent, Component, Unread
from canalclock.core.record.fold import fold
from canalclock.core.record.reading import read_event
from canalclock.core.record.values import Mix, Record

BASE_MS: Final = 1_000_000_000_000
"""Where a play's clock starts; the whole visit is moved to its place afterwards. [ms]"""
BARREL_UL: Final = 5000
MS_PER_UL: Final = 15
"""4 mL a minute: 15 ms for a microlitre. A choice."""
DAY_MS: Final = 86_400_000
_TIMES: Final = ("occurred_at_ms", "device_clock_ms", "due_at_ms", "use_by_ms", "since_ms")


class Release(Struct, frozen=True, kw_only=True):
    """Who orders that holds are let go, and why."""

    ordered_by: str
    reason: str


class CanalPlan(Struct, frozen=True, kw_only=True):
    """What the scenario will find of a canal; lengths from the reference point. [µm]"""

    canal: str
    orifice_um: int
    working_length_um: int
    apical_size: int
    taper_um_per_mm: int = 60
    name: str | None = None


class Barrel(Struct, kw_only=True):
    """A filled syringe in this play."""

    syringe: str
    left_ul: int


class Chair:
    """One visit as it is played; `events` are its lines in the making."""

    def __init__(
        self, name: str, kit: Kit, device: str, assistant: str, first_seq: int = 1
    ) -> None:
        self.name = name
        self.kit = kit
        self.visit = self._uuid("visit")
        self.now_ms = BASE_MS
        self.events: list[dict[str, Any]] = []
        self._read: list[AnyEvent | Unread] = []
        self._device = device
        self._assistant = assistant
        self._seq = first_seq
        self._barrels: dict[str, Barrel] = {}
        self._in_hand: str | None = None
        self._said_at_pick: list[str] = []
        self._lengths: dict[str, int] = {}
        self._reached: dict[str, int] = {}
        self._shaped: dict[str, int] = {}
        self._stays_until: dict[str, int] = {}
        self._solutions: dict[str, Solution] = (
            {s.solution: s for s in kit.protocol.solutions} if kit.protocol else {}
        )

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.now_ms += round(seconds * 1000)

    def say(self, kind: str, staff: str | None = None, **payload: Any) -> str:
        """Record an event now; its id."""
        event = {
            "id": payload.pop("id", None) or self._uuid(f"event {len(self.events)}"),
            "kind": kind,
            "visit": self.visit,
            "device": self._device,
            "device_seq": self._seq,
            "staff": staff or self._assistant,
            "occurred_at_ms": self.now_ms,
            "device_clock_ms": self.now_ms + 40,
            "clock_error_ms": 25,
            **payload,
        }
        self._seq += 1
        self.events.append(event)
        self._read.append(read_event(msgspec.json.encode(event)))
        return str(event["id"])

    def open(
        self,
        tooth: str,
        label: str,
        room: str,
        operator: str,
        canals: tuple[CanalPlan, ...],
        course: str,
        dressing: str | None = None,
        since_ms: int = 0,
    ) -> None:
        """Open the visit, answer the questions of the gate, say what is seen of the canals."""
        left_in = [
            {
                "site": c.canal,
                "contents": [{"irrigant": dressing}],
                "dressing": True,
                "since_ms": since_ms,
            }
            for c in canals
            if dressing
        ]
        self.say(
            "visit_opened",
            course=course,
            tooth=tooth,
            label=label,
            room=room,
            kit=kit_digest(self.kit),
            operator=operator,
            canals=[c.canal for c in canals],
            present_at_start=left_in,
        )
        for question in self.kit.protocol.questions if self.kit.protocol else ():
            self.wait(2)
            self.say("question_answered", question=question, answer=_usual_answer(question))
        for canal in canals:
            self.found(canal)

    def found(self, canal: CanalPlan, state: str = "located") -> None:
        """A canal's orifice is seen."""
        self.wait(5)
        self.say(
            "canal_set",
            canal=canal.canal,
            state=state,
            orifice_um=canal.orifice_um,
            name=canal.name,
        )

    def length(self, canal: CanalPlan, reference: str) -> None:
        """The working length of a canal is set."""
        self.wait(12)
        self._lengths[canal.canal] = canal.working_length_um
        self.say(
            "canal_set",
            canal=canal.canal,
            state="length_set",
            working_length_um=canal.working_length_um,
            reference_point=reference,
        )

    def gauged(self, canal: CanalPlan) -> None:
        """The apical size and taper of a canal are known."""
        self.wait(6)
        self.say(
            "canal_set",
            canal=canal.canal,
            apical_size=canal.apical_size,
            taper_um_per_mm=canal.taper_um_per_mm,
        )

    def play(
        self,
        stage: str,
        canals: tuple[CanalPlan, ...],
        files: tuple[tuple[int, int], ...] = ((0, 0),),
        release: Release | None = None,
    ) -> None:
        """
        A stage of the protocol in these canals, one after the other.

        Args:
            stage: Its name.
            canals: Where; stages of the chamber are played once.
            files: For stages per instrument: size and the length it works to [µm; 0 = working
                length].
            release: Who lets go of holds that may be said, if anybody does.
        """
        of = self.stage(stage)
        rounds = len(files) if of.repeats == "per_instrument" else of.cycles
        chamber = [s for s in of.steps if s.site == "chamber"]
        for cycle in range(1, rounds + 1):
            size, to_um = files[min(cycle, len(files)) - 1]
            steps = [s for s in of.steps if s.site == "canal"]
            for canal, step in _in_turn(canals, steps):
                length = to_um or canal.working_length_um
                self.step(step, canal, cycle, size, length, release)
            for step in chamber:
                self.step(step, None, cycle, size, 0, release)

    def syringe_of(self, solution: str) -> str:
        """The syringe that holds a solution, drawn up if there is none."""
        if solution not in self._barrels:
            self._draw_up(solution)
        return self._barrels[solution].syringe

    def pick(self, solution: str, site: str | None, release: Release | None = None) -> None:
        """Take a syringe up; what the guard says is recorded."""
        syringe = self.syringe_of(solution)
        self.wait(3)
        warnings = self._warn(self._mix(solution), site, syringe, None)
        pick = self.say("syringe_picked", syringe=syringe, site=site)
        self._in_hand = solution
        self._said_at_pick = self._speak(warnings, pick, release)

    def put_down(self) -> None:
        """The hand is empty again."""
        self._in_hand = None

    def deliver(
        self,
        solution: str,
        site: str,
        volume_ul: int,
        tip_um: int | None,
        how: str = "timed",
        release: Release | None = None,
        volume_said_ul: int | None = None,
    ) -> str:
        """
        Give from the syringe of a solution; its id.

        Args:
            solution: Its name in the protocol.
            site: A canal, or the chamber.
            volume_ul: What is given. [µL]
            tip_um: Where the needle's tip is. [µm]
            how: How the amount is known.
            release: Who lets go of a hold.
            volume_said_ul: What is recorded, where that is a slip. [µL]
        """
        self._draw_up_for(solution, volume_ul)
        if self._in_hand != solution:
            self.pick(solution, site, release)
        shown, self._said_at_pick = self._said_at_pick, []
        duration = volume_ul * MS_PER_UL
        self.wait(4)
        warnings = self._warn(
            self._mix(solution), site, self.syringe_of(solution), tip_um, set(shown)
        )
        delivery = self._uuid(f"event {len(self.events)} delivery")
        shown += self._speak(warnings, delivery, release)
        self.wait(duration / 1000)
        self.say(
            "irrigant_delivered",
            id=delivery,
            site=site,
            syringe=self.syringe_of(solution),
            volume_ul=volume_ul if volume_said_ul is None else volume_said_ul,
            duration_ms=duration,
            tip_um=tip_um,
            how=how,
            guard_shown=shown,
        )
        self._barrels[solution].left_ul -= volume_ul
        return delivery

    def lines(self, opened_at_ms: int) -> list[bytes]:
        """The visit's lines, moved so that it opened at an instant. [ms since 1970, UTC]"""
        by_ms = opened_at_ms - BASE_MS
        return [msgspec.json.encode(_moved(event, by_ms)) for event in self.events]

    @property
    def length_ms(self) -> int:
        """How long the visit has lasted. [ms]"""
        return self.now_ms - BASE_MS

    @property
    def next_seq(self) -> int:
        """The number of the device's next event."""
        return self._seq

    def record(self) -> Record:
        """What the events so far amount to."""
        return fold(self.kit, self._read)

    def step(
        self,
        step: Step,
        canal: CanalPlan | None,
        cycle: int = 1,
        size: int = 0,
        to_um: int = 0,
        release: Release | None = None,
    ) -> None:
        """One step of the protocol in a canal, or at the chamber."""
        site = canal.canal if canal else "chamber"
        self.now_ms = max(self.now_ms, self._stays_until.get(site, 0))
        match step.act:
            case "irrigate" if step.on_file:
                self._gel(step, site, to_um)
            case "irrigate":
                assert step.solution
                assert step.volume_ul
                tip = self._tip(canal, step) if canal else None
                given = self.deliver(step.solution, site, step.volume_ul, tip, release=release)
                self._timers(step, site, cycle, given)
            case "instrument":
                self.wait(30)
                self._reached[site] = max(self._reached.get(site, 0), to_um)
                if step.motion != "hand":
                    self._shaped[site] = max(self._shaped.get(site, 0), to_um)
                self.say(
                    "instrument_used",
                    canal=site,
                    size=size,
                    taper_um_per_mm=20 if step.motion == "hand" else 60,
                    length_um=to_um,
                    motion=step.motion,
                )
            case "recapitulate":
                self.wait(8)
                self.say(
                    "canal_recapitulated",
                    canal=site,
                    size=step.size,
                    taper_um_per_mm=20,
                    length_um=to_um,
                    motion=step.motion,
                )
            case "activate":
                self._activate(step, site, cycle)
            case "remove":
                self.wait(10)
                dry = "yes" if step.by == "points" else None
                self.say("irrigant_removed", site=site, by=step.by, dry=dry)
            case "check":
                self.wait(15)
                self.say("check_done", what=step.check, site=site, result="done")
            case "dress":
                self.wait(40)
                self.say("dressing_placed", site=site, material=step.material)
            case "fill":
                self.wait(120)
                self.say("canal_filled", site=site, material=step.material)
            case "wait":
                self.wait((step.duration_ms or 0) / 1000)

    def _gel(self, step: Step, site: str, to_um: int) -> None:
        assert step.solution
        mix = self._mix(step.solution)
        self.wait(6)
        act = ProposedAct(contents=mix, site=site, by="on_file", tip_um=to_um, at_ms=self.now_ms)
        delivery = self._uuid(f"event {len(self.events)} delivery")
        shown = self._speak(list(guard(self.kit, self.record(), act)), delivery, None)
        self._reached[site] = max(self._reached.get(site, 0), to_um)
        self.say(
            "irrigant_delivered",
            id=delivery,
            site=site,
            contents=msgspec.to_builtins(mix),
            by="on_file",
            tip_um=to_um,
            how="estimated",
            guard_shown=shown,
        )

    def _activate(self, step: Step, site: str, cycle: int) -> None:
        tip = self._lengths[site] - (step.tip_short_of_wl_um or 0)
        fields: dict[str, Any] = {"canal": site, "activation": step.activation, "tip_um": tip}
        self.wait(5)
        started = self.say("activation_started", **fields)
        self.say(
            "timer_set",
            timer={"canal": site, "step": step.step, "cycle": cycle},
            runs_from=started,
            due_at_ms=self.now_ms + (step.duration_ms or 0),
        )
        self.wait((step.duration_ms or 0) / 1000)
        self.say("activation_stopped", **fields)

    def _timers(self, step: Step, site: str, cycle: int, given: str) -> None:
        if step.contact_ms is not None:
            self._stays_until[site] = self.now_ms + step.contact_ms
        for asked, suffix in ((step.contact_ms, ""), (step.contact_limit_ms, ".limit")):
            if asked is not None:
                self.say(
                    "timer_set",
                    timer={"canal": site, "step": step.step + suffix, "cycle": cycle},
                    runs_from=given,
                    due_at_ms=self.now_ms + asked,
                    upper_limit=bool(suffix),
                )

    def _warn(
        self,
        mix: Mix,
        site: str | None,
        syringe: str,
        tip_um: int | None,
        shown: set[str] | None = None,
    ) -> list[Warning]:
        act = ProposedAct(
            contents=mix, site=site, syringe=syringe, tip_um=tip_um, at_ms=self.now_ms
        )
        said = {
            (e["rule"], e["level"], e["about"]) for e in self.events if e["id"] in (shown or set())
        }
        return [
            w for w in guard(self.kit, self.record(), act) if (w.rule, w.level, w.about) not in said
        ]

    def _speak(self, warnings: list[Warning], act: str, release: Release | None) -> list[str]:
        said = [
            self.say(
                "guard_spoke", rule=w.rule, level=w.level, about=w.about, sites=w.sites, act=act
            )
            for w in warnings
        ]
        for held in (w for w in warnings if w.level == "hold"):
            if release is None:
                raise AssertionError(f"{self.name}: held by {held} and nobody lets it go")
            self.wait(4)
            self.say(
                "hold_released",
                rule=held.rule,
                about=held.about,
                act=act,
                ordered_by=release.ordered_by,
                reason=release.reason,
            )
        return said

    def _draw_up_for(self, solution: str, volume_ul: int) -> None:
        barrel = self._barrels.get(solution)
        if barrel is not None and barrel.left_ul < volume_ul:
            self.wait(2)
            if barrel.left_ul == 0:
                self.say("syringe_read", syringe=barrel.syringe, emptied=True)
            else:
                self.say("syringe_read", syringe=barrel.syringe, left_ul=barrel.left_ul)
            self._draw_up(solution)
            self._in_hand = None

    def _draw_up(self, solution: str) -> None:
        self.wait(8)
        syringe = self._uuid(f"syringe {len(self.events)}")
        self._barrels[solution] = Barrel(syringe=syringe, left_ul=BARREL_UL)
        self.say(
            "syringe_prepared",
            syringe=syringe,
            contents=msgspec.to_builtins(self._mix(solution)),
            stock=f"Stock {solution.upper()}",
            lot=f"LOT-{solution.upper()}-01",
            use_by_ms=self.now_ms + 90 * DAY_MS,
            volume_ul=BARREL_UL,
            needle_gauge=30,
            needle_tip="side_vented",
        )

    def _mix(self, solution: str) -> Mix:
        return tuple(
            Component(irrigant=c.irrigant, concentration_mg_per_l=c.concentration_mg_per_l)
            for c in self._solutions[solution].contents
        )

    def _tip(self, canal: CanalPlan, step: Step) -> int:
        """
        Where the tip is asked to be; else as deep as it goes without binding: 1 mm short of where
        a canal was shaped, 3 mm short of where hand files have been.
        """
        if canal.canal in self._lengths and step.tip_short_of_wl_um is not None:
            return self._lengths[canal.canal] - step.tip_short_of_wl_um
        shaped = self._shaped.get(canal.canal, 0) - 1000
        secured = self._reached.get(canal.canal, 0) - 3000
        return max(canal.orifice_um + 1000, shaped, secured)

    def stage(self, name: str) -> Stage:
        """A stage of the protocol by its name."""
        assert self.kit.protocol
        return next(s for s in self.kit.protocol.stages if s.stage == name)

    def _uuid(self, of: str) -> str:
        """A UUID of version 7 that the same scenario always gives the same thing."""
        digest = hashlib.sha256(f"{self.name} {of}".encode()).hexdigest()
        return f"019a0000-{digest[:4]}-7{digest[4:7]}-8{digest[7:10]}-{digest[10:22]}"


def _in_turn(canals: tuple[CanalPlan, ...], steps: list[Step]) -> Iterator[tuple[CanalPlan, Step]]:
    """Canal by canal; step by step where something has to stay a while, so that it can."""
    if any(step.contact_ms for step in steps):
        yield from ((canal, step) for step in steps for canal in canals)
    else:
        yield from ((canal, step) for canal in canals for step in steps)


def _usual_answer(question: str) -> str:
    yes = {
        "label_confirmed", "tooth_confirmed", "isolation", "eyewear_bib", "needle_checked",
        "syringe_read_aloud", "suction", "incident_card",
    }  # fmt: skip
    return "yes" if question in yes else "no"


def _moved(value: Any, by_ms: int) -> Any:
    """The same value with every instant in it moved."""
    if isinstance(value, dict):
        return {
            k: v + by_ms if k in _TIMES and isinstance(v, int) else _moved(v, by_ms)
            for k, v in value.items()
        }
    if isinstance(value, list | tuple):
        return [_moved(v, by_ms) for v in value]
    return value
