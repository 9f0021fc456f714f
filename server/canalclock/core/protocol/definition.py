"""A protocol and the catalogue as values, in small units: frozen, complete, ready to digest.

The written TOML uses the trade's units (reading.py binds it exactly to these values).
"""

from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from canalclock.core.forms import COLOUR, SLUG
from canalclock.core.quantities import Microlitres, Micrometres, Milliseconds, Whole

Slug = Annotated[str, Meta(pattern=SLUG)]
Line = Annotated[str, Meta(min_length=1, max_length=400)]

UNKNOWN: Final = "unknown"
"""The irrigant nobody can name: a content too, and it reacts with everything."""

Act = Literal[
    "irrigate", "instrument", "recapitulate", "activate", "remove", "check", "wait", "dress", "fill"
]  # fmt: skip
StageKind = Literal["open", "secure", "shape", "close", "dress", "fill"]
PairLevel = Literal["ok", "mild", "rinse", "rinse_dry"]
Basis = Literal["found", "memory", "reasoned", "derived", "choice"]
IrrigantKind = Literal[
    "hypochlorite", "chelator", "acid", "antiseptic", "oxidant", "alcohol", "rinse", "solvent",
    "dressing", "anaesthetic", "unknown",
]  # fmt: skip


class Fixed(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Base of every authored value: immutable, and nothing in it goes unread."""


class Source(Fixed, frozen=True, kw_only=True):
    """Where a fact comes from; without a publication it says so."""

    kind: Literal["published", "common_practice"]
    cite: str | None = None
    """Authors, title, publication, year, DOI; null only for "common practice, no source"."""


class SolutionComponent(Fixed, frozen=True, kw_only=True):
    """One irrigant of a solution."""

    irrigant: Slug
    concentration_mg_per_l: Whole | None = None


class Solution(Fixed, frozen=True, kw_only=True):
    """What the clinic draws into a syringe, by the protocol's own short name."""

    solution: Slug
    contents: Annotated[tuple[SolutionComponent, ...], Meta(min_length=1, max_length=3)]


class Step(Fixed, frozen=True, kw_only=True):
    """One act of a stage; which fields it needs depends on the act (checks.py)."""

    step: Slug
    act: Act
    site: Literal["canal", "chamber"] = "canal"
    solution: Slug | None = None
    on_file: bool = False
    volume_ul: Microlitres | None = None
    contact_ms: Milliseconds | None = None
    """Minimum asked from the end of this step's delivery; reaching it is no upper limit."""
    contact_limit_ms: Milliseconds | None = None
    """The clinic's upper limit; passing it alarms."""
    duration_ms: Milliseconds | None = None
    activation: (
        Literal["manual_dynamic", "sonic", "ultrasonic", "laser", "negative_pressure"] | None
    ) = None
    tip_short_of_wl_um: Micrometres | None = None
    by: Literal["aspiration", "points"] | None = None
    check: Literal[
        "isolation", "patency", "glide_path", "gauging", "radiograph", "cone_fit"
    ] | None = None  # fmt: skip
    size: Whole | None = None
    taper_um_per_mm: Whole | None = None
    motion: Literal["hand", "rotary", "reciprocating"] | None = None
    material: Slug | None = None
    text: Line | None = None


class Stage(Fixed, frozen=True, kw_only=True):
    """A run of steps; `per_instrument` runs again for each instrument, `cycles` a fixed number."""

    stage: Slug
    kind: StageKind
    title: Line
    part: Literal["whole", "coronal_two_thirds", "apical_third"] = "whole"
    repeats: Literal["once", "per_instrument", "cycles"] = "once"
    cycles: Annotated[int, Meta(ge=1, le=50)] = 1
    visit: Annotated[int, Meta(ge=1, le=9)] = 1
    """Which of the protocol's visits this stage belongs to."""
    steps: Annotated[tuple[Step, ...], Meta(min_length=1, max_length=60)]


class Ask(Fixed, frozen=True, kw_only=True):
    """What the clinic asks of an irrigant in each canal (a practice target, not a finding)."""

    irrigant: Slug
    visit: Annotated[int, Meta(ge=1, le=9)] | None = None
    """Of the protocol's visits; null = of each that uses the irrigant."""
    contact_ms: Milliseconds | None = None
    last_3mm_ms: Milliseconds | None = None
    fresh_ms: Milliseconds | None = None
    activated_ms: Milliseconds | None = None
    volume_ul: Microlitres | None = None


class Limit(Fixed, frozen=True, kw_only=True):
    """The clinic's upper limit on one unbroken contact of an irrigant."""

    irrigant: Slug
    longest_run_ms: Milliseconds


class Case(Fixed, frozen=True, kw_only=True):
    """What the protocol is written for."""

    apex: Literal["mature", "open", "any"] = "any"
    pressure: Literal["allowed", "none"] = "allowed"
    """`none`: no positive pressure toward the apex; deliveries stay passive and shallow."""
    visits: Annotated[int, Meta(ge=1, le=9)] = 1


class Protocol(Fixed, frozen=True, kw_only=True):
    """One protocol in one version."""

    protocol: Slug
    version: Annotated[int, Meta(ge=1, le=9999)]
    title: Line
    purpose: Line
    source: Source
    case: Case = Case()
    cautions: tuple[Line, ...] = ()
    questions: tuple[Slug, ...] = ()
    """Questions of the opening gate that this protocol wants answered."""
    solutions: Annotated[tuple[Solution, ...], Meta(min_length=1, max_length=20)]
    stages: Annotated[tuple[Stage, ...], Meta(min_length=1, max_length=40)]
    asks: tuple[Ask, ...] = ()
    limits: tuple[Limit, ...] = ()


class IrrigantEntry(Fixed, frozen=True, kw_only=True):
    """One irrigant of the catalogue: how it is drawn and what it reacts as."""

    irrigant: Slug
    title: Line
    kind: IrrigantKind
    reacts_as: Slug
    """The agent whose pairs hold for it: itself, or another (a chelating gel reacts as EDTA)."""
    letter: Annotated[str, Meta(min_length=1, max_length=2)]
    pattern: Literal[
        "diagonal", "dots", "crosses", "waves", "dashes", "plain", "border", "checker", "grid",
        "verticals", "rings", "triangles",
    ]  # fmt: skip
    hue: Annotated[str, Meta(pattern=COLOUR)]
    viscous: bool = False
    usual_low_mg_per_l: Whole | None = None
    usual_high_mg_per_l: Whole | None = None
    cautions: tuple[Line, ...] = ()
    basis: Basis
    source: Source


class Pair(Fixed, frozen=True, kw_only=True):
    """What is known when `second` comes after `first`, and what separates them."""

    first: Slug
    second: Slug
    level: PairLevel
    shaping_level: PairLevel | None = None
    """Level while a file works between them (a chelator carried by files), if another."""
    rinse_ul: Microlitres
    """Volume of a rinse that both tolerate; 0 = none asked."""
    removals: Annotated[int, Meta(ge=0, le=5)]
    """Removals after that rinse: by points in a canal, by any means at the chamber."""
    same_barrel: Literal["ok", "fresh_only", "not_advised", "never"]
    effects: tuple[Slug, ...] = ()
    basis: Basis
    source: str | None = None


class Needle(Fixed, frozen=True, kw_only=True):
    """Outer diameters of one gauge of tubing."""

    needle_gauge: Annotated[int, Meta(ge=10, le=40)]
    outer_max_um: Micrometres
    outer_nominal_um: Micrometres | None = None
    basis: Basis


class TipReach(Fixed, frozen=True, kw_only=True):
    """How far fresh solution is expected beyond a needle's tip."""

    needle_tip: Literal[
        "flat", "bevelled", "notched", "side_vented", "double_side_vented", "multi_vented"
    ]
    open_ended: bool
    reach_um: Micrometres
    basis: Basis


class ActivationReach(Fixed, frozen=True, kw_only=True):
    """How far an activation is expected to work beyond its tip."""

    activation: Literal["manual_dynamic", "sonic", "ultrasonic", "laser", "negative_pressure"]
    reach_um: Micrometres
    draws_chamber: bool = False
    basis: Basis


class Reach(Fixed, frozen=True, kw_only=True):
    """The constants that place contents by depth."""

    chamber_reach_um: Micrometres
    renew_within_ms: Milliseconds
    clearance_um: Micrometres
    """Diametral play below which a needle is taken to bind."""
    unknown_tip_reach_um: Micrometres
    tips: tuple[TipReach, ...]
    activations: tuple[ActivationReach, ...]


class Catalogue(Fixed, frozen=True, kw_only=True):
    """Everything the kits share."""

    irrigants: tuple[IrrigantEntry, ...]
    pairs: tuple[Pair, ...]
    needles: tuple[Needle, ...]
    reach: Reach
