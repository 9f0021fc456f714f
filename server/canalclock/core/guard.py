"""What is said before an act: note, caution or hold, by the chapter "The guard, exactly".

It warns and never refuses: what happened is always recorded. It never says that an act is
without risk, and it defers to licensed judgement and local codes.
"""

from collections.abc import Iterable
from typing import Final, Literal

from canalclock.core.kit import Kit
from canalclock.core.protocol.definition import UNKNOWN, Basis, Limit, Pair
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.record.events import (
    CHAMBER,
    CheckDone,
    DeliveredBy,
    GuardSpoke,
    IncidentDeclared,
    QuestionAnswered,
    TreatmentResumed,
    TreatmentStopped,
)
from canalclock.core.record.intervals import merged
from canalclock.core.record.residue import separated
from canalclock.core.record.syringes import Rack
from canalclock.core.record.values import Canal, Made, Mix, Record, Residue, Slice

Level = Literal["note", "caution", "hold"]
_ORDER: Final[dict[Level, int]] = {"hold": 0, "caution": 1, "note": 2}


class ProposedAct(Made, frozen=True, kw_only=True):
    """A syringe in the hand, or a delivery about to be made."""

    contents: Mix
    site: str | None = None
    """Null while the syringe is picked and may go anywhere."""
    syringe: str | None = None
    by: DeliveredBy | None = None
    tip_um: int | None = None
    at_ms: int


class Warning(Made, frozen=True, kw_only=True):
    """One thing said, its level, what it is about and the sites it names."""

    rule: str
    level: Level
    about: str = ""
    sites: tuple[str, ...] = ()
    basis: Basis | None = None
    """For pairs: what the pair's level rests on; `reasoned` says "no published data"."""


def guard(
    kit: Kit | None,
    record: Record,
    act: ProposedAct,
    said: frozenset[tuple[str, str]] = frozenset(),
) -> tuple[Warning, ...]:
    """
    What is to be said before an act.

    Args:
        kit: The visit's kit; None = not on this device.
        record: The record before the act.
        act: What is about to happen.
        said: Further notes already said, as (rule, about), beside those on record.

    Returns:
        Warnings, holds first; never empty for lack of a kit.
    """
    if kit is None:
        return (Warning(rule="guard_unavailable", level="note"),)
    found = [
        *_pairs(Reactions(kit.catalogue), record, act),
        *_holds(kit, record, act),
        *_cautions(kit, record, act),
        *_notes(record, act),
    ]
    heard = said | {(e.rule, e.about) for e in record.standing if isinstance(e, GuardSpoke)}
    fresh = [w for w in found if w.level != "note" or (w.rule, w.about) not in heard]
    return tuple(sorted(fresh, key=lambda w: (_ORDER[w.level], w.rule, w.about)))


def _open_canals(record: Record) -> tuple[str, ...]:
    return tuple(c.canal for c in record.canals if c.state not in ("filled", "left"))


def _own_sites(record: Record, act: ProposedAct) -> tuple[str, ...]:
    """Sites that count as the act's own: all of them while it may go anywhere."""
    if act.site is None:
        return (*_open_canals(record), CHAMBER)
    return (act.site, CHAMBER)


def _pairs(reactions: Reactions, record: Record, act: ProposedAct) -> list[Warning]:
    own = _own_sites(record, act)
    others = [c for c in _open_canals(record) if c not in own]
    uncertain = frozenset(frozenset(p) for p in record.uncertain)
    met: dict[tuple[str, Level, str], Warning] = {}
    for component in act.contents:
        for residue in record.residues:
            if residue.site not in own and residue.site not in others:
                continue
            warning = _pair(reactions, residue, component.irrigant, residue.site in own, uncertain)
            if warning is not None:
                k = (warning.rule, warning.level, warning.about)
                met[k] = warning if k not in met else _both(met[k], warning)
    return list(met.values())


def _pair(
    reactions: Reactions,
    residue: Residue,
    irrigant: str,
    own: bool,
    uncertain: frozenset[frozenset[str]],
) -> Warning | None:
    """What one residue has to say to one irrigant."""
    first, second = reactions.agent(residue.irrigant), reactions.agent(irrigant)
    if first == second and first != UNKNOWN:
        return None
    pair = reactions.pair(residue.irrigant, irrigant)
    about = "+".join(sorted((first, second)))
    if pair is None:
        if not own:
            return None
        return Warning(rule="pair_not_listed", level="note", about=about, sites=(residue.site,))
    rinses = reactions.rinses(residue.irrigant, irrigant)
    if pair.level == "ok" or separated(residue, pair, rinses, uncertain):
        return None
    level = _level(pair, residue, own)
    if residue.dressing:
        return Warning(
            rule="dressing_in_place",
            level="hold",
            about=about,
            sites=(residue.site,),
            basis=pair.basis,
        )
    if level is None:
        return None
    return Warning(rule="pair", level=level, about=about, sites=(residue.site,), basis=pair.basis)


def _level(pair: Pair, residue: Residue, own: bool) -> Level | None:
    level = pair.level
    if residue.carried and pair.shaping_level is not None:
        level = pair.shaping_level
    match level:
        case "mild":
            return "note" if own else None
        case "rinse":
            return "caution" if own else "note"
        case "rinse_dry":
            return "hold"
        case "ok":
            return None


def _both(a: Warning, b: Warning) -> Warning:
    return Warning(
        rule=a.rule,
        level=a.level,
        about=a.about,
        sites=tuple(dict.fromkeys((*a.sites, *b.sites))),
        basis=a.basis,
    )


def _answers(record: Record) -> dict[str, str]:
    """The last answer to each question."""
    return {e.question: e.answer for e in record.standing if isinstance(e, QuestionAnswered)}


def _holds(kit: Kit, record: Record, act: ProposedAct) -> Iterable[Warning]:
    reactions = Reactions(kit.catalogue)
    answers = _answers(record)
    for irrigant in dict.fromkeys(c.irrigant for c in act.contents):
        for name in dict.fromkeys((irrigant, reactions.agent(irrigant))):
            if answers.get(f"allergy_{name}") in ("yes", "unknown"):
                yield Warning(rule="allergy", level="hold", about=irrigant)
                break
    hypochlorite = [c for c in act.contents if reactions.kind(c.irrigant) == "hypochlorite"]
    if hypochlorite and act.site != CHAMBER and _apex_open(answers):
        if any(_above_protocol(kit, c.irrigant, c.concentration_mg_per_l) for c in hypochlorite):
            yield Warning(
                rule="open_apex_or_perforation", level="hold", about=hypochlorite[0].irrigant
            )
    canal = _canal(record, act.site)
    if (
        canal is not None
        and act.tip_um is not None
        and canal.working_length_um is not None
        and act.tip_um >= canal.working_length_um
    ):
        yield Warning(rule="tip_at_working_length", level="hold", sites=(canal.canal,))
    if hypochlorite and (
        answers.get("earlier_incident") == "yes"
        or any(isinstance(e, IncidentDeclared) for e in record.standing)
    ):
        yield Warning(rule="earlier_incident", level="hold", about=hypochlorite[0].irrigant)
    if act.syringe is not None and Rack(record.standing).refilled_otherwise(act.syringe):
        yield Warning(rule="barrel_refilled", level="hold", about=act.syringe)


def _apex_open(answers: dict[str, str]) -> bool:
    return any(answers.get(q) == "yes" for q in ("open_apex", "perforation", "resorption"))


def _above_protocol(kit: Kit, irrigant: str, concentration_mg_per_l: int | None) -> bool:
    """Whether pressure is allowed, or the strength is above (or unknown against) the protocol's."""
    if kit.protocol is None or kit.protocol.case.pressure != "none":
        return True
    written = [
        c.concentration_mg_per_l
        for s in kit.protocol.solutions
        for c in s.contents
        if c.irrigant == irrigant and c.concentration_mg_per_l is not None
    ]
    if concentration_mg_per_l is None or not written:
        return True
    return concentration_mg_per_l > max(written)


def _canal(record: Record, site: str | None) -> Canal | None:
    return next((c for c in record.canals if c.canal == site), None)


def _cautions(kit: Kit, record: Record, act: ProposedAct) -> Iterable[Warning]:
    prepared = Rack(record.standing).preparation(act.syringe)
    if prepared is not None and prepared.use_by_ms is not None and act.at_ms > prepared.use_by_ms:
        yield Warning(rule="use_by_passed", level="caution", about=prepared.syringe)
    canal = _canal(record, act.site)
    if canal is not None and prepared is not None and act.tip_um is not None:
        if _binds(kit, canal, prepared.needle_gauge, act.tip_um):
            yield Warning(rule="needle_would_bind", level="caution", sites=(canal.canal,))
    if _isolation_open(record):
        yield Warning(rule="isolation_after_stop", level="caution")
    reactions = Reactions(kit.catalogue)
    for limit in () if kit.protocol is None else kit.protocol.limits:
        past = _past_limit(record, limit, act.at_ms)
        if past and reactions.kind(limit.irrigant) == "chelator":
            yield Warning(
                rule="chelator_past_limit", level="caution", about=limit.irrigant, sites=past
            )


def _binds(kit: Kit, canal: Canal, needle_gauge: int | None, tip_um: int) -> bool:
    """
    Whether the needle is wider than the canal leaves room for at its tip.

        OD + c > D0 + T (WL - tip)

    Source:
        Truncated cone of ISO 3630-1 size and taper; clearance c is a choice of the catalogue.
    """
    needle = next((n for n in kit.catalogue.needles if n.needle_gauge == needle_gauge), None)
    wl = canal.working_length_um
    if needle is None or wl is None or canal.apical_size is None or canal.taper_um_per_mm is None:
        return False
    if tip_um > wl:
        return True
    play = canal.apical_size * 10 * 1000 + canal.taper_um_per_mm * (wl - tip_um)
    return (needle.outer_max_um + kit.catalogue.reach.clearance_um) * 1000 > play


def _isolation_open(record: Record) -> bool:
    """Whether isolation was confirmed, work was stopped, and it has not been confirmed again."""
    confirmed = stopped = False
    for event in record.standing:
        match event:
            case TreatmentStopped() | TreatmentResumed():
                stopped = confirmed
            case CheckDone(what="isolation"):
                confirmed, stopped = True, False
            case _:
                pass
    return stopped


def _past_limit(record: Record, limit: Limit, at_ms: int) -> tuple[str, ...]:
    """Canals in which an irrigant stands, unbroken and at any strength, longer than the limit."""
    return tuple(
        dict.fromkeys(
            s.site
            for s in record.slices
            if _run_ms(s, limit.irrigant, at_ms) > limit.longest_run_ms
        )
    )


def _run_ms(where: Slice, irrigant: str, at_ms: int) -> int:
    """How long the contact that still lasts has gone unbroken; 0 if none lasts. [ms]"""
    stays = [
        stay
        for stay in where.stays
        if not stay.dressing and any(c.irrigant == irrigant for c in stay.contents)
    ]
    if all(stay.end_ms is not None for stay in stays):
        return 0
    runs = merged((y.start_ms, at_ms if y.end_ms is None else y.end_ms) for y in stays)
    return runs[-1][1] - runs[-1][0] if runs else 0


def _notes(record: Record, act: ProposedAct) -> Iterable[Warning]:
    canal = _canal(record, act.site)
    if (
        act.site is not None
        and act.site != CHAMBER
        and (canal is None or canal.working_length_um is None)
    ):
        yield Warning(rule="working_length_unknown", level="note", sites=(act.site,))
