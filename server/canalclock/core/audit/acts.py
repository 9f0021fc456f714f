"""Rules on single acts: a tip past the working length, a step left out, an incident, amounts."""

from collections.abc import Iterator

from canalclock.core.audit.meta import Found, Meta
from canalclock.core.kit import Kit
from canalclock.core.record.events import (
    ActivationStarted,
    CanalSet,
    IncidentDeclared,
    IrrigantDelivered,
    ProtocolChanged,
    StepSkipped,
)
from canalclock.core.record.values import Record

MOSTLY_PCT = 50
"""Below this measured share of the volume, amounts are mostly not measured. [%]  A choice."""


def act_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """Every finding of this family."""
    yield from _tips(record)
    for event in record.standing:
        match event:
            case StepSkipped() if not (event.reason or "").strip():
                yield Found(
                    rule="step_skipped_without_reason",
                    severity="notice",
                    sites=(event.canal,),
                    events=(event.id,),
                    about=event.step,
                )
            case IncidentDeclared():
                yield Found(
                    rule="incident_open",
                    severity="serious",
                    sites=(event.site,) if event.site is not None else (),
                    events=(event.id,),
                    about=event.what,
                )
            case ProtocolChanged():
                yield Found(
                    rule="protocol_changed",
                    severity="info",
                    events=(event.id,),
                    says=event.reason,
                )
            case _:
                pass
    share = meta.totals.measured_share_pct
    if share is not None and share < MOSTLY_PCT:
        yield Found(
            rule="amounts_mostly_not_measured",
            severity="info",
            measure="pct",
            asked=MOSTLY_PCT,
            had=share,
        )


def _tips(record: Record) -> Iterator[Found]:
    """Tips deeper than the working length known then; at the working length is no finding."""
    lengths: dict[str, int] = {}
    for event in record.standing:
        match event:
            case CanalSet():
                if event.working_length_um is not None:
                    lengths[event.canal] = event.working_length_um
            case IrrigantDelivered() if event.by is None:
                yield from _tip(event, event.site, event.tip_um, lengths)
            case ActivationStarted():
                yield from _tip(event, event.canal, event.tip_um, lengths)
            case _:
                pass


def _tip(
    event: IrrigantDelivered | ActivationStarted,
    canal: str,
    tip_um: int | None,
    lengths: dict[str, int],
) -> Iterator[Found]:
    length = lengths.get(canal)
    if length is not None and tip_um is not None and tip_um > length:
        yield Found(
            rule="tip_past_working_length",
            severity="serious",
            sites=(canal,),
            events=(event.id,),
            measure="um",
            asked=length,
            had=tip_um,
        )
