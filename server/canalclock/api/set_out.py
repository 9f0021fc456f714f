"""The set-out sheet over HTTP: asked before a visit, with the canals as they are known."""

from typing import Annotated

from litestar import post
from litestar.params import JSONBody
from msgspec import Meta, Struct

from canalclock.api.kits import kit_of
from canalclock.api.problems import Refusal
from canalclock.api.service import Given
from canalclock.core.plan import INSTRUMENTS, SYRINGE_UL
from canalclock.core.quantities import Micrometres
from canalclock.core.record.events import Site
from canalclock.core.record.values import Canal
from canalclock.core.set_out import FLOW_ML_PER_MIN, NEEDLES, NeedleHad, SetOut, set_out

MOST_CANALS = 12
MOST_NEEDLES = 12


class CanalKnown(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A canal as known before the start; nulls are unknown."""

    canal: Site
    orifice_um: Micrometres | None = None
    working_length_um: Micrometres | None = None
    apical_size: Annotated[int, Meta(ge=0, le=1000)] | None = None
    taper_um_per_mm: Annotated[int, Meta(ge=0, le=1000)] | None = None


class SetOutAsked(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the sheet is asked for."""

    kit: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$")]
    canals: Annotated[tuple[CanalKnown, ...], Meta(max_length=MOST_CANALS)]
    syringe_ul: Annotated[int, Meta(ge=1, le=1_000_000)] = SYRINGE_UL
    instruments: Annotated[int, Meta(ge=0, le=50)] = INSTRUMENTS
    visit: Annotated[int, Meta(ge=1, le=9)] = 1
    needles: Annotated[tuple[NeedleHad, ...], Meta(min_length=1, max_length=MOST_NEEDLES)] = NEEDLES
    flow_ml_per_min: Annotated[float, Meta(gt=0, le=60)] = FLOW_ML_PER_MIN


@post("/api/set-out", status_code=200)
async def set_out_sheet(data: JSONBody[SetOutAsked], service: Given) -> SetOut:
    """What to lay ready: amounts, needles and stops, what separates, expected time. No advice."""
    kit = await kit_of(service, data.kit)
    if kit is None:
        raise Refusal(
            "kit_unknown",
            "No kit with this digest is on record.",
            found=data.kit,
            expected="a digest from /api/kits",
            where="kit",
        )
    canals = [
        Canal(
            canal=c.canal,
            orifice_um=c.orifice_um,
            working_length_um=c.working_length_um,
            apical_size=c.apical_size,
            taper_um_per_mm=c.taper_um_per_mm,
        )
        for c in data.canals
    ]
    try:
        return set_out(
            kit,
            canals,
            data.syringe_ul,
            data.instruments,
            visit=data.visit,
            needles=data.needles,
            flow_ml_per_min=data.flow_ml_per_min,
        )
    except ValueError as fault:
        raise Refusal("out_of_bounds", str(fault), found=str(fault), where="the body") from fault
