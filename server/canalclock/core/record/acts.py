"""The first reading, in the order of keys: what each act reached, and when it took effect.

Depths and known canals hold by key; the sweep then puts the acts into columns by instant.
"""

from collections.abc import Mapping, Sequence

from canalclock.core.protocol.definition import Reach
from canalclock.core.record.contents import mixed
from canalclock.core.record.depth import Known, activation_reach_um, tip_reach_um
from canalclock.core.record.events import (
    CHAMBER,
    ActivationStarted,
    ActivationStopped,
    AnyEvent,
    CanalFilled,
    CanalRecapitulated,
    CanalSet,
    Component,
    DressingPlaced,
    InstrumentUsed,
    IrrigantDelivered,
    IrrigantRemoved,
    SyringePrepared,
    VisitOpened,
)
from canalclock.core.record.residue import Residues
from canalclock.core.record.sweep import Carry, Chamber, Empty, Fill, Op, Start, Stop
from canalclock.core.record.syringes import Rack, brought
from canalclock.core.record.values import Clearing, Delivered, Finding, Mix


class Reading:
    """Everything the first reading gathers; private to the fold."""

    def __init__(self, reach: Reach, rack: Rack, volumes: Mapping[str, int | None]) -> None:
        """Nothing read yet."""
        self.reach = reach
        self.rack = rack
        self.volumes = volumes
        self.canals: dict[str, Known] = {}
        self.ops: list[Op] = []
        self.deliveries: list[Delivered] = []
        self.residues = Residues()
        self.findings: list[Finding] = []
        self.opened: VisitOpened | None = None
        self._nth = 0
        """Place of the event that is being read."""
        self._touched: dict[str, int] = {}
        """Instant of the last delivery or removal that touched a site. [ms]"""

    def read(self, standing: Sequence[AnyEvent]) -> None:
        """Take in events in the order of their keys."""
        for self._nth, event in enumerate(standing):
            match event:
                case VisitOpened():
                    self._opened(event)
                case CanalSet():
                    self._known(event.canal).told(event)
                case IrrigantDelivered():
                    self._delivered(event)
                case IrrigantRemoved():
                    self._removed(event)
                case ActivationStarted():
                    self._started(event)
                case ActivationStopped():
                    self._named(event.canal, event)
                    self.ops.append(
                        Stop(
                            at_ms=event.occurred_at_ms,
                            nth=self._nth,
                            canal=event.canal,
                            event=event.id,
                        )
                    )
                case InstrumentUsed() | CanalRecapitulated():
                    self._filed(event)
                case DressingPlaced() | CanalFilled():
                    self._ended(event)
                case _:
                    pass

    def after_close(self, event: AnyEvent) -> None:
        """What came after the close: amounts and lengths count, contact does not begin."""
        match event:
            case IrrigantDelivered():
                if event.site != CHAMBER:
                    self._known(event.site)
                contents = self.rack.contents(event)
                self._note(event, contents, event.occurred_at_ms, after_close=True)
            case CanalSet():
                self._known(event.canal).told(event)
            case _:
                pass

    def _known(self, canal: str) -> Known:
        if canal not in self.canals:
            self.canals[canal] = Known(canal)
        return self.canals[canal]

    def _named(self, canal: str, event: AnyEvent) -> Known:
        """The canal that an act names; a finding if nobody had declared it."""
        known = self.canals.get(canal)
        if known is None:
            self.findings.append(
                Finding(
                    rule="canal_not_declared", severity="notice", sites=(canal,), events=(event.id,)
                )
            )
            known = self._known(canal)
        return known

    def _filed(self, event: InstrumentUsed | CanalRecapitulated) -> None:
        known = self._named(event.canal, event)
        known.filed(event.length_um)
        self.residues.filed(event.canal)
        if event.length_um is not None:
            self.ops.append(
                Carry(
                    at_ms=event.occurred_at_ms,
                    nth=self._nth,
                    canal=event.canal,
                    top_um=known.top_um,
                    bottom_um=known.within_bounds(event.length_um),
                )
            )

    def _opened(self, event: VisitOpened) -> None:
        self.opened = self.opened or event
        for canal in event.canals:
            self._known(canal)
        for left in event.present_at_start:
            contents = mixed(left.contents)
            if left.site != CHAMBER:
                known = self._known(left.site)
                self.ops.append(
                    Fill(
                        at_ms=event.occurred_at_ms,
                        nth=self._nth,
                        canal=left.site,
                        top_um=known.top_um,
                        bottom_um=known.working_length_um,
                        contents=contents,
                        fresh=None,
                        dressing=left.dressing,
                    )
                )
            elif not left.dressing:
                self._chamber_holds(event, event.occurred_at_ms, contents)
            self.residues.soil(
                left.site,
                (left.site,),
                contents,
                event.id,
                event.occurred_at_ms,
                dressing=left.dressing,
            )

    def _chamber_holds(self, event: AnyEvent, at_ms: int, contents: Mix | None) -> None:
        self.ops.append(Chamber(at_ms=at_ms, nth=self._nth, contents=contents))

    def _start_ms(self, event: IrrigantDelivered, site: str) -> int:
        """When a delivery took effect at a site. [ms]"""
        start = event.occurred_at_ms - (event.duration_ms or 0)
        touched = self._touched.get(site)
        if touched is None:
            opened = 0 if self.opened is None else self.opened.occurred_at_ms
            touched = min(opened, event.occurred_at_ms)
        return max(start, touched)

    def _delivered(self, event: IrrigantDelivered) -> None:
        prepared = self.rack.preparation(event.syringe, event)
        contents = brought(event, prepared)
        if event.site == CHAMBER:
            reached = self._from_chamber(event, contents)
            start = self._start_ms(event, CHAMBER)
            self._chamber_holds(event, start, contents)
            carried = False
        else:
            known = self._named(event.site, event)
            start = self._start_ms(event, event.site)
            if event.by == "on_file":
                known.filed(event.tip_um)
                self.residues.filed(event.site)
            bottom = self._bottom_um(event, known, prepared)
            if bottom > known.top_um:
                self._fill(event, known, bottom, contents, start)
            else:
                self._chamber_holds(event, start, contents)
            self._touched[event.site] = event.occurred_at_ms
            reached = (event.site,)
            carried = event.by == "on_file"
        self._touched[CHAMBER] = event.occurred_at_ms
        delivered = self._note(event, contents, start, after_close=False)
        rinse = Clearing(
            event=event.id,
            contents=contents,
            volume_ul=delivered.volume_ul,
            rinses=True,
            removes=False,
        )
        self.residues.clear(CHAMBER, rinse)
        if event.site != CHAMBER:
            self.residues.clear(event.site, rinse)
        self.residues.soil(
            event.site, reached, contents, event.id, event.occurred_at_ms, carried=carried
        )

    def _from_chamber(self, event: IrrigantDelivered, contents: Mix) -> tuple[str, ...]:
        """Canals that a chamber delivery runs into."""
        reached = []
        for canal, known in self.canals.items():
            bottom = known.within_bounds(known.top_um + self.reach.chamber_reach_um)
            if not known.open_to_chamber or bottom <= known.top_um:
                continue
            start = self._start_ms(event, canal)
            self._fill(event, known, bottom, contents, start, from_chamber=True)
            self._touched[canal] = event.occurred_at_ms
            reached.append(canal)
        return tuple(reached)

    def _bottom_um(
        self, event: IrrigantDelivered, known: Known, prepared: SyringePrepared | None
    ) -> int:
        if event.tip_um is None:
            return known.within_bounds(known.top_um + self.reach.chamber_reach_um)
        beyond = 0
        if event.by not in ("on_file", "point"):
            needle_tip = None if prepared is None else prepared.needle_tip
            beyond = tip_reach_um(self.reach, needle_tip)
        return known.within_bounds(event.tip_um + beyond)

    def _fill(
        self,
        event: IrrigantDelivered,
        known: Known,
        bottom_um: int,
        contents: Mix,
        start_ms: int,
        *,
        from_chamber: bool = False,
    ) -> None:
        self.ops.append(
            Fill(
                at_ms=start_ms,
                nth=self._nth,
                canal=known.canal,
                top_um=known.top_um,
                bottom_um=bottom_um,
                contents=contents,
                fresh=(start_ms, event.occurred_at_ms + self.reach.renew_within_ms),
                from_chamber=from_chamber,
                chamber_too=not from_chamber,
            )
        )

    def _note(
        self, event: IrrigantDelivered, contents: Mix, start_ms: int, *, after_close: bool
    ) -> Delivered:
        delivered = Delivered(
            id=event.id,
            site=event.site,
            contents=contents,
            start_ms=start_ms,
            end_ms=event.occurred_at_ms,
            volume_ul=self.volumes.get(event.id),
            recorded_ul=event.volume_ul,
            how=event.how,
            tip_um=event.tip_um,
            syringe=event.syringe,
            on_file=event.by == "on_file",
            after_close=after_close,
        )
        self.deliveries.append(delivered)
        return delivered

    def _removed(self, event: IrrigantRemoved) -> None:
        removal = Clearing(
            event=event.id, contents=None, volume_ul=None, rinses=False, removes=True
        )
        if event.site == CHAMBER:
            self._chamber_holds(event, event.occurred_at_ms, None)
            self.residues.clear(CHAMBER, removal)
        else:
            known = self._named(event.site, event)
            bottom = event.to_um
            if bottom is None and event.by == "aspiration":
                bottom = known.top_um + self.reach.chamber_reach_um
            self._empty(event, event.site, 0, bottom)
            if event.by == "points":
                self.residues.clear(event.site, removal)
        self._touched[event.site] = event.occurred_at_ms

    def _empty(self, event: AnyEvent, canal: str, top_um: int, bottom_um: int | None) -> None:
        self.ops.append(
            Empty(
                at_ms=event.occurred_at_ms,
                nth=self._nth,
                canal=canal,
                top_um=top_um,
                bottom_um=bottom_um,
            )
        )

    def _started(self, event: ActivationStarted) -> None:
        known = self._named(event.canal, event)
        draws = any(
            a.draws_chamber for a in self.reach.activations if a.activation == event.activation
        )
        if event.tip_um is None:
            bottom = known.top_um + self.reach.chamber_reach_um
        else:
            bottom = event.tip_um + activation_reach_um(self.reach, event.activation)
        self.ops.append(
            Start(
                at_ms=event.occurred_at_ms,
                nth=self._nth,
                canal=event.canal,
                activation=event.activation,
                top_um=known.top_um,
                bottom_um=known.within_bounds(bottom),
                draws_chamber=draws,
                event=event.id,
            )
        )

    def _ended(self, event: DressingPlaced | CanalFilled) -> None:
        """A dressing or a filling takes the canal's place of whatever was in it."""
        if event.site != CHAMBER:
            known = self._named(event.site, event)
            self._empty(event, event.site, 0, None)
            self._touched[event.site] = event.occurred_at_ms
            if isinstance(event, CanalFilled):
                known.state = "filled"
                self.residues.forget(event.site)
        if isinstance(event, DressingPlaced):
            self.residues.soil(
                event.site,
                (event.site,),
                (Component(irrigant=event.material),),
                event.id,
                event.occurred_at_ms,
            )
