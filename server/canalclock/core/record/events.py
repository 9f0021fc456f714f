"""The closed union of events: what can be said to have happened, one flat JSON object a line.

Every number is a whole number from 0 to 2^53-1 and carries its unit in its name. Depths run
from the reference point down the canal. A null is "unknown" and never counts as zero.
Not here: whether an event is plausible (findings) or may be recorded (the ledger's intake).
"""

from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from canalclock.core.forms import DIGEST, DOTTED_SLUG, ID, SITE, TOOTH
from canalclock.core.quantities import (
    Microlitres,
    Micrometres,
    MilligramsPerLitre,
    Milliseconds,
    Whole,
)

Id = Annotated[str, Meta(pattern=ID)]
Slug = Annotated[str, Meta(pattern=DOTTED_SLUG)]
Site = Annotated[str, Meta(pattern=SITE)]
"""A canal (`mb1`, `p`, `single`, or a free name in lower case) or `chamber`."""
Short = Annotated[str, Meta(max_length=120)]
Text = Annotated[str, Meta(max_length=4000)]

CHAMBER: Final = "chamber"

CanalState = Literal[
    "suspected", "located", "negotiated", "length_set", "blocked", "left", "filled"
]
How = Literal["timed", "read", "planned", "estimated", "recalled"]
"""How the amounts came to be known; `timed` and `read` are measured."""
Answer = Literal["yes", "no", "unknown"]
DeliveredBy = Literal["on_file", "point", "chamber_fill"]
RemovedBy = Literal["aspiration", "points"]
Dryness = Literal["yes", "no", "blood", "exudate"]
Level = Literal["note", "caution", "hold"]
Activation = Literal["manual_dynamic", "sonic", "ultrasonic", "laser", "negative_pressure"]
NeedleTip = Literal[
    "flat", "bevelled", "notched", "side_vented", "double_side_vented", "multi_vented"
]
Check = Literal["isolation", "patency", "glide_path", "gauging", "radiograph", "cone_fit"]
Motion = Literal["hand", "rotary", "reciprocating"]


class Value(Struct, frozen=True, kw_only=True):
    """Base of the values inside an event; keys we do not know are left unread."""


class Component(Value, frozen=True, kw_only=True):
    """One irrigant of some contents; strength null = unknown."""

    irrigant: Slug
    concentration_mg_per_l: MilligramsPerLitre | None = None


Contents = Annotated[tuple[Component, ...], Meta(min_length=1, max_length=3)]


class LeftIn(Value, frozen=True, kw_only=True):
    """A dressing or an irrigant that was in the tooth before the visit began."""

    site: Site
    contents: Contents
    dressing: bool = False
    since_ms: Milliseconds | None = None


class Join(Value, frozen=True, kw_only=True):
    """The canal that this one runs into, and how far short of working length."""

    canal: Site
    short_of_wl_um: Micrometres


class TimerOf(Value, frozen=True, kw_only=True):
    """What a timer is about: a canal's step and cycle."""

    canal: Site
    step: Slug
    cycle: Whole = 1


class Event(Struct, frozen=True, kw_only=True, tag_field="kind"):
    """The envelope that every event carries."""

    id: Id
    visit: Id
    device: Id
    device_seq: Whole
    staff: Id
    occurred_at_ms: Milliseconds
    device_clock_ms: Milliseconds
    clock_error_ms: Milliseconds | None = None
    dated_by_hand: bool = False


class VisitOpened(Event, frozen=True, kw_only=True, tag="visit_opened"):
    """One tooth at one appointment begins."""

    course: Id
    tooth: Annotated[str, Meta(pattern=TOOTH)]
    label: Short
    room: Slug
    kit: Annotated[str, Meta(pattern=DIGEST)]
    operator: Id | None = None
    canals: tuple[Site, ...] = ()
    present_at_start: tuple[LeftIn, ...] = ()
    training: bool = False


class CanalSet(Event, frozen=True, kw_only=True, tag="canal_set"):
    """What is known of a canal from now on; every null leaves what was known untouched."""

    canal: Site
    state: CanalState | None = None
    orifice_um: Micrometres | None = None
    working_length_um: Micrometres | None = None
    apical_size: Annotated[int, Meta(ge=0, le=1000)] | None = None
    taper_um_per_mm: Annotated[int, Meta(ge=0, le=1000)] | None = None
    reference_point: Short | None = None
    joins: Join | None = None
    name: Short | None = None


class QuestionAnswered(Event, frozen=True, kw_only=True, tag="question_answered"):
    """One question of the opening gate; `unknown` is an answer, and is not `no`."""

    question: Slug
    answer: Answer


class SyringePrepared(Event, frozen=True, kw_only=True, tag="syringe_prepared"):
    """One filling of one barrel; a refill is a new syringe."""

    syringe: Id
    contents: Contents
    stock: Short | None = None
    lot: Short | None = None
    use_by_ms: Milliseconds | None = None
    volume_ul: Microlitres | None = None
    needle_gauge: Annotated[int, Meta(ge=10, le=40)] | None = None
    needle_tip: NeedleTip | None = None


class SyringePicked(Event, frozen=True, kw_only=True, tag="syringe_picked"):
    """A syringe is in the hand; the guard speaks here, before the act."""

    syringe: Id
    site: Site | None = None


class SyringeRead(Event, frozen=True, kw_only=True, tag="syringe_read"):
    """What the barrel still holds, or that it is empty or thrown away."""

    syringe: Id
    left_ul: Microlitres | None = None
    emptied: bool = False
    discarded: bool = False


class IrrigantDelivered(Event, frozen=True, kw_only=True, tag="irrigant_delivered"):
    """An irrigant went to a site; `occurred_at_ms` is the end of the delivery."""

    site: Site
    syringe: Id | None = None
    contents: Contents | None = None
    by: DeliveredBy | None = None
    volume_ul: Microlitres | None = None
    duration_ms: Milliseconds | None = None
    tip_um: Micrometres | None = None
    how: How
    guard_shown: tuple[Id, ...] = ()


class IrrigantRemoved(Event, frozen=True, kw_only=True, tag="irrigant_removed"):
    """What was at a site was drawn off or blotted."""

    site: Site
    by: RemovedBy
    to_um: Micrometres | None = None
    dry: Dryness | None = None


class ActivationStarted(Event, frozen=True, kw_only=True, tag="activation_started"):
    """An agitation of what is in a canal begins."""

    canal: Site
    activation: Activation
    tip_um: Micrometres | None = None
    setting: Short | None = None


class ActivationStopped(Event, frozen=True, kw_only=True, tag="activation_stopped"):
    """The latest open activation of the canal ends."""

    canal: Site
    activation: Activation
    tip_um: Micrometres | None = None
    setting: Short | None = None


class Instrumented(Event, frozen=True, kw_only=True):
    """What a file did: base of use and recapitulation."""

    canal: Site
    size: Annotated[int, Meta(ge=0, le=1000)] | None = None
    taper_um_per_mm: Annotated[int, Meta(ge=0, le=1000)] | None = None
    length_um: Micrometres | None = None
    motion: Motion | None = None


class InstrumentUsed(Instrumented, frozen=True, kw_only=True, tag="instrument_used"):
    """An instrument worked in a canal to a length."""


class CanalRecapitulated(Instrumented, frozen=True, kw_only=True, tag="canal_recapitulated"):
    """A small hand file went back to length."""


class CheckDone(Event, frozen=True, kw_only=True, tag="check_done"):
    """A check and its result; site null = the whole tooth."""

    what: Check
    site: Site | None = None
    result: Short | None = None


class TimerSet(Event, frozen=True, kw_only=True, tag="timer_set"):
    """A time to be told of: the event it runs from, and the instant it is due."""

    timer: TimerOf
    runs_from: Id
    due_at_ms: Milliseconds
    upper_limit: bool = False


class TimerAcknowledged(Event, frozen=True, kw_only=True, tag="timer_acknowledged"):
    """A person has taken note of a due timer."""

    timer: TimerOf
    due_at_ms: Milliseconds


class StepDone(Event, frozen=True, kw_only=True, tag="step_done"):
    """A step of the plan is declared done for a canal."""

    step: Slug
    cycle: Whole = 1
    canal: Site


class StepSkipped(Event, frozen=True, kw_only=True, tag="step_skipped"):
    """A step of the plan is left out for a canal, with the reason."""

    step: Slug
    cycle: Whole = 1
    canal: Site
    reason: Text | None = None


class GuardSpoke(Event, frozen=True, kw_only=True, tag="guard_spoke"):
    """What a device said before an act: the rule, its level, what it was about."""

    rule: Slug
    level: Level
    about: Short
    sites: tuple[Site, ...] = ()
    act: Id


class HoldReleased(Event, frozen=True, kw_only=True, tag="hold_released"):
    """A hold was let go for that one act, by order of a person, for a reason."""

    rule: Slug
    level: Level = "hold"
    about: Short
    act: Id
    ordered_by: Id
    reason: Text


class TreatmentStopped(Event, frozen=True, kw_only=True, tag="treatment_stopped"):
    """Everybody stops; the reason may come later."""

    reason: Text | None = None


class TreatmentResumed(Event, frozen=True, kw_only=True, tag="treatment_resumed"):
    """Work goes on."""

    reason: Text | None = None


class IncidentDeclared(Event, frozen=True, kw_only=True, tag="incident_declared"):
    """Something went wrong that can hurt the patient."""

    what: Slug
    site: Site | None = None
    first_sign_at_ms: Milliseconds | None = None
    text: Text | None = None


class IncidentNoted(Event, frozen=True, kw_only=True, tag="incident_noted"):
    """A further line on an incident."""

    what: Slug
    site: Site | None = None
    first_sign_at_ms: Milliseconds | None = None
    text: Text | None = None


class DressingPlaced(Event, frozen=True, kw_only=True, tag="dressing_placed"):
    """A medicament stays in the canal between visits."""

    site: Site
    material: Slug


class CanalFilled(Event, frozen=True, kw_only=True, tag="canal_filled"):
    """A canal is filled for good."""

    site: Site
    material: Slug


class TeamChanged(Event, frozen=True, kw_only=True, tag="team_changed"):
    """Who is at the chair from now on."""

    operator: Id | None = None
    assistant: Id | None = None


class ProtocolChanged(Event, frozen=True, kw_only=True, tag="protocol_changed"):
    """Another kit holds from now on, for a reason."""

    kit: Annotated[str, Meta(pattern=DIGEST)]
    reason: Text


class NoteAdded(Event, frozen=True, kw_only=True, tag="note_added"):
    """Words for the record."""

    text: Text


class EntryCorrected(Event, frozen=True, kw_only=True, tag="entry_corrected"):
    """Another account of an earlier event: its full new payload, with its time."""

    entry: Id
    replaces: Id
    reason: Text
    payload: dict[str, object]
    """All payload fields of the entry's kind, and `occurred_at_ms`."""


class EntryVoided(Event, frozen=True, kw_only=True, tag="entry_voided"):
    """An earlier event did not happen."""

    entry: Id
    replaces: Id
    reason: Text


class VisitClosed(Event, frozen=True, kw_only=True, tag="visit_closed"):
    """The appointment is over."""


class Unread(Event, frozen=True, kw_only=True, tag="unread"):
    """An event of a kind that this version does not know: kept, without effect, listed."""

    unread_kind: str = ""


AnyEvent = (
    VisitOpened | CanalSet | QuestionAnswered | SyringePrepared | SyringePicked | SyringeRead
    | IrrigantDelivered | IrrigantRemoved | ActivationStarted | ActivationStopped
    | InstrumentUsed | CanalRecapitulated | CheckDone | TimerSet | TimerAcknowledged
    | StepDone | StepSkipped | GuardSpoke | HoldReleased | TreatmentStopped | TreatmentResumed
    | IncidentDeclared | IncidentNoted | DressingPlaced | CanalFilled | TeamChanged
    | ProtocolChanged | NoteAdded | EntryCorrected | EntryVoided | VisitClosed
)  # fmt: skip
