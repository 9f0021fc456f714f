"""The form of a file of vectors, as types: what a case may say, and nothing else.

`vector.schema.json` is made from these types (a test holds the two together), so that the other
language and an editor check the same form. Not here: how an answer is judged (judging.py).
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Final, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from canalclock.core.kit import Kit, read_kit

VECTORS: Final = Path(__file__).parent
Count = Annotated[int, Meta(ge=0, le=2**53 - 1)]
CaseName = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,79}$")]
Words = Annotated[str, Meta(min_length=1)]


class Form(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """Base of everything written in a vector file: no key goes unread."""


class Component(Form, frozen=True, kw_only=True):
    """One irrigant of some contents; strength null = unknown."""

    irrigant: str
    concentration_mg_per_l: Count | None = None


Contents = Annotated[tuple[Component, ...], Meta(min_length=1, max_length=3)]


class Act(Form, frozen=True, kw_only=True):
    """What is about to happen; keys left out are null."""

    contents: Contents
    site: str | None = None
    syringe: str | None = None
    by: Literal["on_file", "point", "chamber_fill"] | None = None
    tip_um: Count | None = None
    at_ms: Count


class Given(Form, frozen=True, kw_only=True):
    """A kit, by name or in full (null = no kit), and the events in their order of arrival."""

    kit: dict[str, Any] | UnsetType | None = UNSET
    kit_ref: str | UnsetType = UNSET
    events: tuple[dict[str, Any], ...]


class GivenFold(Given, frozen=True, kw_only=True):
    """Events, and the instant the totals are asked for."""

    as_of_ms: Count


class GivenGuard(Given, frozen=True, kw_only=True):
    """Events, and the act before which the guard speaks."""

    act: Act


class HeadlineRow(Form, frozen=True, kw_only=True):
    """One irrigant in one canal; key: site, irrigant."""

    site: str
    irrigant: str
    anywhere_ms: Count | UnsetType = UNSET
    orifice_ms: Count | UnsetType = UNSET
    last_3mm_least_ms: Count | UnsetType | None = UNSET
    last_3mm_mean_ms: Count | UnsetType | None = UNSET
    longest_run_ms: Count | UnsetType = UNSET
    fresh_ms: Count | UnsetType = UNSET
    activated_ms: Count | UnsetType = UNSET


class DepthRow(Form, frozen=True, kw_only=True):
    """One irrigant at one strength between two depths; key: all but the milliseconds."""

    site: str
    irrigant: str
    concentration_mg_per_l: Count | None
    from_um: Count
    to_um: Count | None
    contact_ms: Count | UnsetType = UNSET
    fresh_ms: Count | UnsetType = UNSET
    activated_ms: Count | UnsetType = UNSET


class CarriedRow(Form, frozen=True, kw_only=True):
    """The second account, with what files carried; key: all but the milliseconds."""

    site: str
    irrigant: str
    concentration_mg_per_l: Count | None
    from_um: Count
    to_um: Count | None
    carried_ms: Count


class ToothRow(Form, frozen=True, kw_only=True):
    """What went through needles; key: irrigant, strength."""

    irrigant: str
    concentration_mg_per_l: Count | None
    volume_ul: Count | UnsetType = UNSET
    at_least: bool | UnsetType = UNSET
    about: bool | UnsetType = UNSET
    passed_ng: Count | UnsetType | None = UNSET


class VolumeRow(ToothRow, frozen=True, kw_only=True):
    """The same at one site; key: site, irrigant, strength."""

    site: str


class DressingRow(Form, frozen=True, kw_only=True):
    """A dressing's own time; key: site."""

    site: str
    contents: Contents | UnsetType = UNSET
    since_ms: Count | UnsetType | None = UNSET
    until_ms: Count | UnsetType | None = UNSET


class FindingRow(Form, frozen=True, kw_only=True):
    """A finding of the fold; what is left out is not compared."""

    rule: str
    sites: tuple[str, ...] | UnsetType = UNSET
    events: tuple[str, ...] | UnsetType = UNSET
    ms: Count | UnsetType = UNSET


class TimerRow(Form, frozen=True, kw_only=True):
    """A timer; key: the id of its `timer_set`."""

    id: str
    canal: str | UnsetType = UNSET
    step: str | UnsetType = UNSET
    cycle: Count | UnsetType = UNSET
    runs_from: str | UnsetType = UNSET
    due_at_ms: Count | UnsetType = UNSET
    state: Literal["running", "ended", "acknowledged", "replaced"] | UnsetType = UNSET


class VersionsRow(Form, frozen=True, kw_only=True):
    """An amended event; key: entry."""

    entry: str
    stands: str | UnsetType = UNSET
    voided: bool | UnsetType = UNSET
    versions: tuple[str, ...] | UnsetType = UNSET


class WarningRow(Form, frozen=True, kw_only=True):
    """A thing the guard says; `about` and `sites` are compared if stated."""

    rule: str
    level: Literal["note", "caution", "hold"]
    about: str | UnsetType = UNSET
    sites: tuple[str, ...] | UnsetType = UNSET


class ExpectFold(Form, frozen=True, kw_only=True):
    """The parts the case is about; each stated part is complete unless named in `partial`."""

    partial: tuple[str, ...] = ()
    headlines: tuple[HeadlineRow, ...] | UnsetType = UNSET
    depths: tuple[DepthRow, ...] | UnsetType = UNSET
    carried: tuple[CarriedRow, ...] | UnsetType = UNSET
    volumes: tuple[VolumeRow, ...] | UnsetType = UNSET
    tooth: tuple[ToothRow, ...] | UnsetType = UNSET
    measured_share_pct: Count | UnsetType | None = UNSET
    dressings: tuple[DressingRow, ...] | UnsetType = UNSET
    findings: tuple[FindingRow, ...] | UnsetType = UNSET
    timers: tuple[TimerRow, ...] | UnsetType = UNSET
    versions: tuple[VersionsRow, ...] | UnsetType = UNSET


class ExpectGuard(Form, frozen=True, kw_only=True):
    """What the guard says, all of it unless `partial`."""

    partial: tuple[Literal["warnings"], ...] = ()
    warnings: tuple[WarningRow, ...]


class Source(Form, frozen=True, kw_only=True):
    """Who says so: a publication, a definition, or the working by hand."""

    kind: Literal["hand", "published", "definition"]
    cite: Words | UnsetType = UNSET
    working: Words | UnsetType = UNSET

    def __post_init__(self) -> None:
        """Refuse an answer without its reason."""
        if (self.working if self.kind == "hand" else self.cite) is UNSET:
            wanted = "working" if self.kind == "hand" else "cite"
            raise ValueError(f"a source of kind {self.kind} needs its {wanted}")


class FoldCase(Form, frozen=True, kw_only=True, tag_field="function", tag="fold"):
    """Events in, figures out."""

    case: CaseName
    awaits: Words | UnsetType = UNSET
    given: GivenFold
    expect: ExpectFold
    source: Source


class GuardCase(Form, frozen=True, kw_only=True, tag_field="function", tag="guard"):
    """Events and an act in, warnings out."""

    case: CaseName
    awaits: Words | UnsetType = UNSET
    given: GivenGuard
    expect: ExpectGuard
    source: Source


class VectorFile(Form, frozen=True, kw_only=True):
    """One file of cases about one thing."""

    about: Words
    cases: Annotated[tuple[FoldCase | GuardCase, ...], Meta(min_length=1)]


def schema_text() -> str:
    """`vector.schema.json` as it must read."""
    made = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of vectors",
    }
    return json.dumps(made | msgspec.json.schema(VectorFile), indent=1) + "\n"


def vector_files() -> list[Path]:
    """The files of cases that are judged here."""
    return sorted(p for room in ("fold", "guard") for p in (VECTORS / room).glob("*.json"))


def cases() -> Iterator[FoldCase | GuardCase]:
    """Every case of every file; an unreadable file is an error that names it."""
    for path in vector_files():
        try:
            yield from msgspec.json.decode(path.read_bytes(), type=VectorFile).cases
        except msgspec.MsgspecError as error:
            raise ValueError(f"{path.name}: {error}") from error


def kit_of(given: Given) -> Kit | None:
    """The kit a case names; None = none on this device."""
    if not isinstance(given.kit_ref, UnsetType):
        return read_kit((VECTORS / "kits" / f"{given.kit_ref}.json").read_bytes())
    if given.kit is None or isinstance(given.kit, UnsetType):
        return None
    return read_kit(msgspec.json.encode(given.kit))
