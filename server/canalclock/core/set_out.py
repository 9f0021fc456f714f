"""The set-out sheet: what to lay ready before a visit, from a kit and the canals as known.

Amounts and syringes, where a needle sits loosely and what it is not expected to reach, what
separates agents that react, how long it may take. Figures are expected, not measured; nulls are
unknown and nothing is guessed. It advises no dose, and never to go deeper.
"""

from collections.abc import Iterable, Sequence
from typing import Final

from canalclock.core.canal_shape import shape_of
from canalclock.core.dosing import canal as cone
from canalclock.core.dosing import needle, rinse
from canalclock.core.dosing.ranges import within
from canalclock.core.kit import Kit
from canalclock.core.plan import INSTRUMENTS, SYRINGE_UL, draw_up
from canalclock.core.protocol.definition import Basis, Protocol, SolutionComponent, Step
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.protocol.visits import asks_of_visit
from canalclock.core.quantities import MG_PER_L_PER_PCT_WV, MS_PER_S, UL_PER_ML, UM_PER_MM
from canalclock.core.record.depth import tip_reach_um
from canalclock.core.record.events import NeedleTip
from canalclock.core.record.values import Canal, Made
from canalclock.core.residual_words import Expected, expected, residual_text
from canalclock.core.separations import Separation, separations

FLOW_ML_PER_MIN: Final = 5.4
"""Mean of five endodontists with a 30 G needle in 50 canals, 0.09 mL/s. [mL/min] (found:
Gopikrishna et al., J Conserv Dent 2016;19:189-193)"""
LEAST_SHORT_MM: Final = {False: 1.0, True: 2.0}
"""How far short of working length a stop is set at least, whatever the protocol asks, by whether
the tip is open-ended. [mm] (found and memory: recommendations for the two kinds)"""
STOP_STEP_MM: Final = 0.5
"""Stops are set to this step, away from the apex. [mm] (choice: what a rule shows)"""
SMALL_SIZE: Final = 30
"""Below this size exchange at working length is not to be expected. [] (found)"""


class NeedleHad(Made, frozen=True, kw_only=True):
    """A needle that the clinic has."""

    needle_gauge: int
    needle_tip: NeedleTip


NEEDLES: Final = (
    NeedleHad(needle_gauge=27, needle_tip="side_vented"),
    NeedleHad(needle_gauge=30, needle_tip="side_vented"),
)
"""What is looked at where nobody says which needles there are. (choice)"""


class SolutionOut(Made, frozen=True, kw_only=True):
    """A solution to draw up."""

    solution: str
    contents: tuple[SolutionComponent, ...]
    volume_ul: int
    syringes: int
    """Fillings to load and label."""


class NeedleOut(Made, frozen=True, kw_only=True):
    """A needle in a canal: a best case for a straight canal. It must never bind."""

    needle_gauge: int
    needle_tip: NeedleTip
    shortest_of_wl_mm: float | None
    """Nearest loose position; null = it is loose nowhere in the canal."""
    short_of_wl_mm: float | None
    """Where it is set: loose, nearer neither than the protocol asks nor than `LEAST_SHORT_MM`."""
    stop_mm: float | None
    """Stop from the tip for that."""
    not_reached_mm: float | None
    """Next to working length, not expected to be reached from there."""
    not_reached_ul: float | None


class CanalOut(Made, frozen=True, kw_only=True):
    """A canal as known; figures are null while something they need is missing."""

    canal: str
    missing: tuple[str, ...]
    working_length_um: int | None
    orifice_um: int | None
    """Null: the length is counted from the reference point, so that volume is too large."""
    volume_ul: float | None
    exchanges_per_ml: float | None
    exchange_at_wl_expected: bool | None
    """False below size 30, whatever the needle."""
    needles: tuple[NeedleOut, ...]


class SeparationInCanal(Made, frozen=True, kw_only=True):
    """What the model expects the planned rinse to leave in a canal with a needle."""

    canal: str
    needle_gauge: int
    needle_tip: NeedleTip
    not_reached_mm: float
    expected: Expected
    text: str


class SeparationOut(Made, frozen=True, kw_only=True):
    """A reacting pair; `canals` only for hypochlorite before chlorhexidine."""

    pair: Separation
    drying_cycles: int | None
    """Dry and refill, so many times, down to the colour threshold: a model (derived)."""
    canals: tuple[SeparationInCanal, ...]


class TimeOut(Made, frozen=True, kw_only=True):
    """How long the written steps take, estimated. [s]  Shaping and checks are not in it."""

    flow_ml_per_min: float
    delivery_s: float
    contact_s: float
    """Waiting asked by steps, each canal for itself."""
    activation_s: float
    asked_contact_s: float
    """What is asked of all irrigants in one canal, one after another."""
    least_s: float
    """If canals wait together."""
    most_s: float
    """If each waits alone."""
    at_least: bool
    """A delivery has no volume in the protocol."""


class SourceLine(Made, frozen=True, kw_only=True):
    """Where a figure comes from."""

    of: str
    basis: Basis
    text: str


class SetOut(Made, frozen=True, kw_only=True):
    """The sheet."""

    protocol: str
    version: int
    title: str
    visit: int
    syringe_ul: int
    instruments: int
    solutions: tuple[SolutionOut, ...]
    canals: tuple[CanalOut, ...]
    separations: tuple[SeparationOut, ...]
    time: TimeOut
    sources: tuple[SourceLine, ...]
    cautions: tuple[str, ...]


CAUTIONS: Final = (
    "Expected, not measured: a straight canal of round section, fully shaped, without debris.",
    "A needle never binds, and this is never an instruction to go deeper.",
    "Residuals are a model; they add words to a warning and never take one away.",
    "This computes; it does not replace licensed judgement or local codes.",
)

SOURCES: Final = (
    SourceLine(of="volumes and syringes", basis="choice",
               text="Sums over the protocol's steps; instruments and filling are choices."),
    SourceLine(of="canal volume", basis="found",
               text="Truncated cone of ISO 3630-1 size and taper; working part of 16 mm from "
               "memory, cap of 1.2 mm a choice."),
    SourceLine(of="loose position", basis="derived",
               text="ISO 9626 outer diameters (memory, high) and the kit's clearance (choice)."),
    SourceLine(of="least distance of the stop", basis="found",
               text="Side-vented 1 mm: Boutsioukis et al., Int Endod J 2009;42:144-155; "
               "open-ended 2 mm: reviews (memory, high)."),
    SourceLine(of="not expected to be reached", basis="found",
               text="Reach beyond the tip, cautious ends: Boutsioukis et al., Int Endod J "
               "2009;42:144-155 and J Endod 2010;36:1664-1668."),
    SourceLine(of="residual after a rinse", basis="derived",
               text="Two-zone model; mixing 0.05, band 0.02 to 0.1, blotting 0.2 are choices."),
    SourceLine(of="thresholds with chlorhexidine", basis="found",
               text="Basrani et al., J Endod 2007;33:966-969: colour 0.023 %, precipitate 0.19 %."),
    SourceLine(of="delivery time", basis="found",
               text="0.09 mL/s with 30 G: Gopikrishna et al., J Conserv Dent 2016;19:189-193."),
)  # fmt: skip
"""Where each figure of the sheet comes from."""


def set_out(
    kit: Kit,
    canals: Sequence[Canal],
    syringe_ul: int = SYRINGE_UL,
    instruments: int = INSTRUMENTS,
    *,
    visit: int = 1,
    needles: Sequence[NeedleHad] = NEEDLES,
    flow_ml_per_min: float = FLOW_ML_PER_MIN,
) -> SetOut:
    """
    What to lay ready before a visit.

    Args:
        kit: Protocol and catalogue.
        canals: The canals as known; nulls are unknown.
        syringe_ul: Filling of one syringe. [µL], > 0.
        instruments: Rounds of a stage per instrument. [], >= 0.
        visit: Which of the protocol's visits, from 1.
        needles: Needles that the clinic has.
        flow_ml_per_min: Flow that the time is estimated with. [mL/min], > 0 to 60.

    Returns:
        The sheet.

    Raises:
        ValueError: A kit without a protocol, a visit it has not, a gauge the catalogue has not, or
            a figure out of range.
    """
    protocol = kit.protocol
    if protocol is None:
        raise ValueError("kit: found one without a protocol, expected one with a protocol")
    if not 1 <= visit <= protocol.case.visits:
        raise ValueError(f"visit: found {visit}, expected 1 to {protocol.case.visits}")
    flow = within("flow_ml_per_min", flow_ml_per_min, "mL/min", 0, 60, above_low=True)
    drawn = draw_up(protocol, len(canals), visit, instruments, syringe_ul)
    bench = _Bench(kit, needles, _asked_short_mm(protocol, visit))
    out = tuple(bench.canal(c) for c in canals)
    return SetOut(
        protocol=protocol.protocol,
        version=protocol.version,
        title=protocol.title,
        visit=visit,
        syringe_ul=syringe_ul,
        instruments=instruments,
        solutions=tuple(
            SolutionOut(
                solution=d.solution.solution,
                contents=d.solution.contents,
                volume_ul=d.volume_ul,
                syringes=d.syringes,
            )
            for d in drawn
        ),
        canals=out,
        separations=tuple(
            _separation(kit, pair, canals, out, flow) for pair in separations(kit, visit)
        ),
        time=_time(protocol, len(canals), visit, instruments, flow),
        sources=SOURCES,
        cautions=CAUTIONS,
    )


def _steps(protocol: Protocol, visit: int, instruments: int) -> Iterable[tuple[Step, int]]:
    """Each step of a visit with how often it comes."""
    for stage in protocol.stages:
        if stage.visit == visit:
            rounds = instruments if stage.repeats == "per_instrument" else stage.cycles
            for step in stage.steps:
                yield step, rounds


def _asked_short_mm(protocol: Protocol, visit: int) -> float | None:
    """Nearest to working length that a delivery of the visit is asked to be. [mm]"""
    asked = [
        step.tip_short_of_wl_um / UM_PER_MM
        for step, _ in _steps(protocol, visit, 1)
        if step.act == "irrigate" and step.tip_short_of_wl_um is not None
    ]
    return min(asked, default=None)


class _Bench:
    """The needles at hand, ready to be held against canals."""

    def __init__(
        self, kit: Kit, needles: Sequence[NeedleHad], asked_short_mm: float | None
    ) -> None:
        reach = kit.catalogue.reach
        outer = {n.needle_gauge: n.outer_max_um / UM_PER_MM for n in kit.catalogue.needles}
        is_open = {t.needle_tip: t.open_ended for t in reach.tips}
        self._clearance_mm = reach.clearance_um / UM_PER_MM
        self._needles: list[tuple[NeedleHad, float, float, float]] = []
        for had in dict.fromkeys(needles):
            if had.needle_gauge not in outer:
                raise ValueError(
                    f"needle_gauge: found {had.needle_gauge}, expected one of the kit's "
                    f"{', '.join(map(str, sorted(outer)))}"
                )
            least = LEAST_SHORT_MM[is_open.get(had.needle_tip, False)]
            self._needles.append(
                (
                    had,
                    outer[had.needle_gauge],
                    tip_reach_um(reach, had.needle_tip) / UM_PER_MM,
                    max(least, asked_short_mm or 0.0),
                )
            )

    def canal(self, canal: Canal) -> CanalOut:
        """One canal with each needle."""
        shape = shape_of(canal)
        size = canal.apical_size
        return CanalOut(
            canal=canal.canal,
            missing=shape.missing,
            working_length_um=canal.working_length_um,
            orifice_um=canal.orifice_um,
            volume_ul=None if shape.cone is None else cone.volume_ul(shape.cone),
            exchanges_per_ml=None if shape.cone is None else cone.exchanges(shape.cone, 1),
            exchange_at_wl_expected=None if size is None else size >= SMALL_SIZE,
            needles=() if shape.cone is None else tuple(self._fits(canal, shape.cone)),
        )

    def _fits(self, canal: Canal, shape: cone.Canal) -> Iterable[NeedleOut]:
        wl_mm = (canal.working_length_um or 0) / UM_PER_MM
        for had, outer_mm, reach_mm, least_mm in self._needles:
            nearest = needle.shortest_of_wl_mm(shape, outer_mm, self._clearance_mm)
            if nearest is None:
                yield NeedleOut(
                    needle_gauge=had.needle_gauge, needle_tip=had.needle_tip,
                    shortest_of_wl_mm=None, short_of_wl_mm=None, stop_mm=None,
                    not_reached_mm=None, not_reached_ul=None,
                )  # fmt: skip
                continue
            short = needle.rounded_up_mm(max(nearest, least_mm), STOP_STEP_MM)
            bare = max(0.0, short - reach_mm)
            yield NeedleOut(
                needle_gauge=had.needle_gauge,
                needle_tip=had.needle_tip,
                shortest_of_wl_mm=nearest,
                short_of_wl_mm=short,
                stop_mm=max(0.0, wl_mm - short),
                not_reached_mm=bare,
                not_reached_ul=cone.volume_ul(shape, 0, min(bare, shape.length_mm)),
            )


def _separation(
    kit: Kit, pair: Separation, canals: Sequence[Canal], out: Sequence[CanalOut], flow: float
) -> SeparationOut:
    reactions = Reactions(kit.catalogue)
    modelled = (
        reactions.kind(pair.first) == "hypochlorite"
        and reactions.agent(pair.second) == "chlorhexidine"
        and pair.first_mg_per_l is not None
        and pair.first_mg_per_l > 0
    )
    if not modelled:
        return SeparationOut(pair=pair, drying_cycles=None, canals=())
    strength = (pair.first_mg_per_l or 0) / MG_PER_L_PER_PCT_WV
    return SeparationOut(
        pair=pair,
        drying_cycles=rinse.blotting_cycles(strength, rinse.COLOUR_PCT_WV),
        canals=tuple(_modelled(pair, strength, canals, out, flow)),
    )


def _modelled(
    pair: Separation,
    strength_pct_wv: float,
    canals: Sequence[Canal],
    out: Sequence[CanalOut],
    flow: float,
) -> Iterable[SeparationInCanal]:
    rinse_ml = pair.planned_rinse_ul / UL_PER_ML
    for canal, beside in zip(canals, out, strict=True):
        shape = shape_of(canal).cone
        for fit in beside.needles:
            if shape is None or fit.not_reached_mm is None:
                continue
            left = expected(
                shape,
                strength_pct_wv,
                rinse_ml,
                60 * rinse_ml / flow,
                fit.not_reached_mm,
                thresholds=True,
            )
            yield SeparationInCanal(
                canal=canal.canal,
                needle_gauge=fit.needle_gauge,
                needle_tip=fit.needle_tip,
                not_reached_mm=fit.not_reached_mm,
                expected=left,
                text=residual_text(left, fit.not_reached_mm),
            )


def _time(protocol: Protocol, canals: int, visit: int, instruments: int, flow: float) -> TimeOut:
    volume_ul = contact_ms = once_ms = activation_ms = 0
    at_least = False
    for step, rounds in _steps(protocol, visit, instruments):
        times = rounds * (canals if step.site == "canal" else 1)
        waits = step.contact_ms or 0
        match step.act:
            case "irrigate":
                volume_ul += times * (step.volume_ul or 0)
                at_least = at_least or (step.volume_ul is None and not step.on_file)
            case "activate":
                activation_ms += times * (step.duration_ms or 0)
            case "wait":
                waits += step.duration_ms or 0
            case _:
                pass
        contact_ms += times * waits
        once_ms += rounds * waits
    delivery_s = 60 * (volume_ul / UL_PER_ML) / flow
    asked_ms = sum(a.contact_ms or 0 for a in asks_of_visit(protocol, visit))
    asked_s = asked_ms / MS_PER_S if canals else 0.0
    busy_s = delivery_s + activation_ms / MS_PER_S
    return TimeOut(
        flow_ml_per_min=flow,
        delivery_s=delivery_s,
        contact_s=contact_ms / MS_PER_S,
        activation_s=activation_ms / MS_PER_S,
        asked_contact_s=asked_s,
        least_s=max(busy_s + once_ms / MS_PER_S, asked_s),
        most_s=max(busy_s + contact_ms / MS_PER_S, asked_s),
        at_least=at_least,
    )
