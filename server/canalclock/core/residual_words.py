"""Words beside a pair's warning: what stays unreached, and what a model expects to be left there.

They never make a level, nor take one away: no wash-out curve of a real canal is published. What
is not on record is said to be unknown. Not here: the levels (guard.py), the model (dosing/rinse).
"""

from collections.abc import Iterable, Sequence
from typing import Final, Literal

from canalclock.core.canal_shape import shape_of
from canalclock.core.dosing import canal as cone
from canalclock.core.dosing import rinse
from canalclock.core.figures import ml, mm
from canalclock.core.guard import ProposedAct, Warning
from canalclock.core.kit import Kit
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.quantities import MG_PER_L_PER_PCT_WV, MS_PER_S, UL_PER_ML, UM_PER_MM
from canalclock.core.record.depth import tip_reach_um
from canalclock.core.record.events import CHAMBER, IrrigantDelivered
from canalclock.core.record.syringes import Rack
from canalclock.core.record.values import Canal, Delivered, Made, Record, Residue

Against = Literal["below_colour", "at_or_above_colour", "at_or_above_precipitate"]

MODEL: Final = "Model, not measured:"
_THRESHOLDS_AFTER: Final = "chlorhexidine"
"""The one agent for which thresholds of hypochlorite are published (Basrani 2007, found)."""


class Expected(Made, frozen=True, kw_only=True):
    """What the two-zone model expects a rinse to leave of the agent before. [% w/v]"""

    mean_pct_wv: float
    low_mean_pct_wv: float
    high_mean_pct_wv: float
    apex_pct_wv: float
    against: Against | None
    """Beside the published thresholds; null where none are published."""


class ResidualWords(Made, frozen=True, kw_only=True):
    """What is to be said of one canal; nulls are unknown."""

    canal: str
    irrigant: str
    rinse_ul: int
    """Of rinses that both tolerate, since it was last there. [µL]"""
    tip_um: int | None
    """Deepest tip of those rinses; without one of whatever was last delivered. [µm]"""
    not_reached_um: int | None
    """Next to working length, beyond that tip and its expected reach. [µm]"""
    expected: Expected | None
    text: str


def expected(
    shape: cone.Canal,
    concentration_pct_wv: float,
    rinse_ml: float,
    seconds: float,
    not_reached_mm: float,
    *,
    thresholds: bool,
) -> Expected:
    """
    What a rinse is expected to leave in a canal.

    Args:
        shape: The canal.
        concentration_pct_wv: Strength of the agent before. [% w/v], 0 to 100.
        rinse_ml: Rinse. [mL], >= 0.
        seconds: Time of the rinse. [s], >= 0.
        not_reached_mm: Length beyond the needle's reach. [mm], >= 0; cut to the canal's length.
        thresholds: Whether the next agent is the one that thresholds are published for.

    Returns:
        Mean with its band, apex, and where they lie against the thresholds.

    Raises:
        ValueError: Out of range.

    Source:
        `dosing.rinse.residual` (derived; its mixing is a choice); thresholds Basrani et al.,
        J Endod 2007;33:966-969 (found).
    """
    bare = min(not_reached_mm, shape.length_mm)
    left = rinse.residual(
        concentration_pct_wv,
        rinse_ml,
        cone.volume_ul(shape),
        bare,
        cone.share_below(shape, bare),
        seconds,
    )
    worst = max(left.high_mean_pct_wv, left.residual_apex_pct_wv)
    return Expected(
        mean_pct_wv=left.residual_mean_pct_wv,
        low_mean_pct_wv=left.low_mean_pct_wv,
        high_mean_pct_wv=left.high_mean_pct_wv,
        apex_pct_wv=left.residual_apex_pct_wv,
        against=_against(worst) if thresholds else None,
    )


def _against(pct_wv: float) -> Against:
    if pct_wv >= rinse.PRECIPITATE_PCT_WV:
        return "at_or_above_precipitate"
    return "at_or_above_colour" if pct_wv >= rinse.COLOUR_PCT_WV else "below_colour"


def residual_text(found: Expected, not_reached_mm: float) -> str:
    """One sentence or two of what the model expects, its band and the thresholds."""
    mean, low, high = (
        _pct(p) for p in (found.mean_pct_wv, found.low_mean_pct_wv, found.high_mean_pct_wv)
    )
    band = "" if low == mean == high else f" ({low} to {high})"
    apex = (
        f", {_pct(found.apex_pct_wv)} % w/v in the last {not_reached_mm:g} mm that are not reached"
        if not_reached_mm > 0
        else ""
    )
    return (
        f"{MODEL} {mean}{band} % w/v left on average{apex}.{_BESIDE.get(found.against or '', '')}"
    )


_BESIDE: Final = {
    "below_colour": (
        f" Under the {rinse.COLOUR_PCT_WV:g} % at which 2 % chlorhexidine changed colour (found);"
        " what tubules and fins hold is not in the model."
    ),
    "at_or_above_colour": (
        f" Its upper end is at or above the {rinse.COLOUR_PCT_WV:g} % at which 2 % chlorhexidine"
        " changed colour (found)."
    ),
    "at_or_above_precipitate": (
        f" Its upper end is at or above the {rinse.PRECIPITATE_PCT_WV:g} % at which 2 %"
        " chlorhexidine gave a precipitate (found)."
    ),
}


def _pct(value: float) -> str:
    return "under 0.001" if value < 0.001 else f"{value:.2g}"


def residual_words(
    kit: Kit, record: Record, act: ProposedAct, warning: Warning
) -> tuple[ResidualWords, ...]:
    """
    What is to be said beside a pair's hold or caution that names a hypochlorite left behind.

    Args:
        kit: The visit's kit.
        record: The record before the act.
        act: What is about to happen.
        warning: What the guard says; its level is left as it is.

    Returns:
        One for each canal that the warning names and where hypochlorite is the one left behind;
        nothing for notes and for other warnings.
    """
    if warning.rule != "pair" or warning.level == "note":
        return ()
    reactions = Reactions(kit.catalogue)
    comes = [c.irrigant for c in act.contents]
    found: dict[str, ResidualWords] = {}
    for residue in record.residues:
        if residue.site == CHAMBER or residue.site not in warning.sites:
            continue
        if reactions.kind(residue.irrigant) != "hypochlorite":
            continue
        for irrigant in comes:
            pair = "+".join(sorted((reactions.agent(residue.irrigant), reactions.agent(irrigant))))
            if pair == warning.about and residue.site not in found:
                found[residue.site] = _words(kit, record, reactions, residue, irrigant)
    return tuple(found[site] for site in warning.sites if site in found)


def _words(
    kit: Kit, record: Record, reactions: Reactions, residue: Residue, comes: str
) -> ResidualWords:
    canal = next((c for c in record.canals if c.canal == residue.site), None)
    there = [d for d in record.deliveries if d.site == residue.site and not d.on_file]
    rinses = _rinses(there, residue, reactions.rinses(residue.irrigant, comes))
    tip_um, reached_um = _deepest(kit, record, [d.id for d in rinses or there[-1:]])
    rinse_ul = sum(d.volume_ul or 0 for d in rinses)
    known = None if canal is None else canal.working_length_um
    bare_um = None if known is None or reached_um is None else max(0, known - reached_um)
    model = None
    if canal is not None and bare_um is not None:
        model = _modelled(record, canal, residue, rinses, bare_um, reactions.agent(comes))
    return ResidualWords(
        canal=residue.site,
        irrigant=residue.irrigant,
        rinse_ul=rinse_ul,
        tip_um=tip_um,
        not_reached_um=bare_um,
        expected=model,
        text=_text(canal, residue, rinses, tip_um, bare_um, model),
    )


def _rinses(
    there: Iterable[Delivered], residue: Residue, tolerated: frozenset[str]
) -> list[Delivered]:
    """Deliveries in the canal since the residue, of nothing but what both agents tolerate."""
    since = {c.event for c in residue.clearing if c.rinses}
    return [d for d in there if d.id in since and all(c.irrigant in tolerated for c in d.contents)]


def _deepest(kit: Kit, record: Record, ids: Iterable[str]) -> tuple[int | None, int | None]:
    """The deepest tip of some deliveries, and how deep it is expected to reach. [µm, µm]"""
    rack, wanted, reach = Rack(record.standing), frozenset(ids), kit.catalogue.reach
    tip_um: int | None = None
    reached_um: int | None = None
    for event in record.standing:
        if not isinstance(event, IrrigantDelivered) or event.id not in wanted:
            continue
        if event.tip_um is None:
            continue
        beyond = 0 if event.by == "point" else tip_reach_um(reach, rack.needle_tip(event))
        if reached_um is None or event.tip_um + beyond > reached_um:
            tip_um, reached_um = event.tip_um, event.tip_um + beyond
    return tip_um, reached_um


def _modelled(
    record: Record,
    canal: Canal,
    residue: Residue,
    rinses: Iterable[Delivered],
    bare_um: int,
    comes: str,
) -> Expected | None:
    """What the model expects; None while the canal's shape or the strength is unknown."""
    shape, strength = shape_of(canal).cone, _strength(record, residue)
    if shape is None or strength is None:
        return None
    rinses = tuple(rinses)
    return expected(
        shape,
        strength / MG_PER_L_PER_PCT_WV,
        sum(d.volume_ul or 0 for d in rinses) / UL_PER_ML,
        sum(d.end_ms - d.start_ms for d in rinses) / MS_PER_S,
        bare_um / UM_PER_MM,
        thresholds=comes == _THRESHOLDS_AFTER,
    )


def _strength(record: Record, residue: Residue) -> int | None:
    """Strength of what was put there last; None if it is unknown. [mg/L]"""
    for delivered in record.deliveries:
        if delivered.id == residue.soil:
            for component in delivered.contents:
                if component.irrigant == residue.irrigant:
                    return component.concentration_mg_per_l
    return None


def _text(
    canal: Canal | None,
    residue: Residue,
    rinses: Sequence[Delivered],
    tip_um: int | None,
    bare_um: int | None,
    model: Expected | None,
) -> str:
    said = [f"{residue.site}: {residue.irrigant.replace('_', ' ')}, {_rinsed(rinses)}."]
    if bare_um is None:
        lacks = "working length" if canal is None or canal.working_length_um is None else "depth"
        said.append(f"Which part stays unreached is not known: {lacks} not on record.")
    else:
        part = f"the last {mm(bare_um)} mm are not" if bare_um else "working length is"
        said.append(f"With the tip at {mm(tip_um or 0)} mm {part} expected to be reached.")
    if model is not None and bare_um is not None:
        said.append(residual_text(model, bare_um / UM_PER_MM))
    elif bare_um is not None:
        said.append("What is left there is not computed: size, taper or strength not on record.")
    return " ".join(said)


def _rinsed(rinses: Sequence[Delivered]) -> str:
    if not rinses:
        return "no rinse on record since"
    at_least = "at least " if any(d.volume_ul is None for d in rinses) else ""
    return f"{at_least}{ml(sum(d.volume_ul or 0 for d in rinses))} mL of rinse on record since"
