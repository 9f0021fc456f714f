"""What a record is made of: canals, stays of contents by depth, deliveries, findings, timers.

Values only; how they come about is told in the files that make them.
"""

from typing import Literal

from msgspec import Struct

from canalclock.core.record.events import (
    Activation,
    AnyEvent,
    CanalState,
    Component,
    How,
    Join,
    Unread,
    VisitOpened,
)

Severity = Literal["info", "notice", "serious"]
Key = tuple[int, str, int, str]
Interval = tuple[int, int]
"""Start and end of a span of time. [ms]"""

Mix = tuple[Component, ...]
"""Contents in their one order: by irrigant, then strength."""


class Made(Struct, frozen=True, kw_only=True):
    """Base of everything that is computed and may be thrown away."""


class Finding(Made, frozen=True, kw_only=True):
    """What the fold or the audit saw, and the events it rests on."""

    rule: str
    severity: Severity
    sites: tuple[str, ...] = ()
    events: tuple[str, ...] = ()
    ms: int | None = None
    about: str = ""


class Canal(Made, frozen=True, kw_only=True):
    """A canal as last known; nulls are unknown."""

    canal: str
    name: str | None = None
    state: CanalState | None = None
    orifice_um: int | None = None
    working_length_um: int | None = None
    apical_size: int | None = None
    taper_um_per_mm: int | None = None
    reference_point: str | None = None
    joins: Join | None = None
    instruments_um: int | None = None
    """Greatest length an instrument reached."""


class Stay(Made, frozen=True, kw_only=True):
    """One contents at one stretch of depth, from a start to an end (null = not recorded)."""

    contents: Mix
    start_ms: int
    end_ms: int | None
    fresh: tuple[Interval, ...] = ()
    dressing: bool = False


class Slice(Made, frozen=True, kw_only=True):
    """A stretch of depth of one canal and what stayed there, in order of time."""

    site: str
    from_um: int
    to_um: int | None
    """Null: all that lies deeper."""
    stays: tuple[Stay, ...]
    active: tuple[Interval, ...] = ()
    """Spans in which an activation worked here."""
    shared_with: str | None = None
    """The canal that this stretch is counted in, beyond a junction."""


class Activated(Made, frozen=True, kw_only=True):
    """A span of activation with the depths it works on; end null = never stopped."""

    canal: str
    activation: Activation
    from_um: int
    to_um: int
    start_ms: int
    end_ms: int | None
    started: str
    stopped: str | None


class Delivered(Made, frozen=True, kw_only=True):
    """A delivery with its contents resolved and its amount as the readings leave it."""

    id: str
    site: str
    contents: Mix
    start_ms: int
    end_ms: int
    volume_ul: int | None
    recorded_ul: int | None
    how: How
    tip_um: int | None
    syringe: str | None
    on_file: bool
    after_close: bool


class Clearing(Made, frozen=True, kw_only=True):
    """An act that could clear a residue: a rinse (contents and volume) or a removal."""

    event: str
    contents: Mix | None
    volume_ul: int | None
    rinses: bool
    removes: bool


class Residue(Made, frozen=True, kw_only=True):
    """One component at one site since it was last put there, and what came after it."""

    site: str
    irrigant: str
    soil: str
    """Id of the event that put it there."""
    at_ms: int
    origin: str
    """Site of the act that put it there; at the chamber it may be a canal."""
    dressing: bool
    carried: bool
    """On a file, or a file has worked since in the canal it is in or came from."""
    clearing: tuple[Clearing, ...]


class LeftDressing(Made, frozen=True, kw_only=True):
    """A dressing that was there at the start, and when it went."""

    site: str
    contents: Mix
    since_ms: int | None
    until_ms: int | None


class Timer(Made, frozen=True, kw_only=True):
    """A time to be told of."""

    id: str
    canal: str
    step: str
    cycle: int
    runs_from: str
    due_at_ms: int
    upper_limit: bool
    state: Literal["running", "acknowledged", "ended", "replaced"]
    by: str | None = None
    """The event that acknowledged, ended or replaced it."""


class Versions(Made, frozen=True, kw_only=True):
    """An amended event: all its versions and the one that stands."""

    entry: str
    stands: str
    voided: bool
    versions: tuple[str, ...]


class Record(Made, frozen=True, kw_only=True):
    """What a visit's events amount to."""

    opened: VisitOpened | None
    canals: tuple[Canal, ...]
    standing: tuple[AnyEvent, ...]
    """The events that stand, amended, in the order of their keys."""
    unread: tuple[Unread, ...]
    versions: tuple[Versions, ...]
    closed_at_ms: int | None
    last_clinical_ms: int | None
    slices: tuple[Slice, ...]
    carried: tuple[Slice, ...]
    """The same with what files took deeper: a second account, never merged."""
    chamber: Mix | None
    """What the chamber holds at the end."""
    activations: tuple[Activated, ...]
    deliveries: tuple[Delivered, ...]
    residues: tuple[Residue, ...]
    uncertain: tuple[tuple[str, str], ...]
    dressings: tuple[LeftDressing, ...]
    timers: tuple[Timer, ...]
    findings: tuple[Finding, ...]
