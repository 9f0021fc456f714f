"""`canalclock plan`: a protocol bound to a tooth before the start: steps, amounts, syringes."""

import re
from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click
import msgspec

from canalclock.cli.options import json_option
from canalclock.cli.protocol_argument import protocol_or_end
from canalclock.core.anatomy import default_canals, tooth_of
from canalclock.core.plan import INSTRUMENTS, DrawUp, Plan, Planned
from canalclock.core.quantities import (
    UL_PER_ML,
    UM_PER_MM,
    UM_PER_MM_PER_TAPER_PCT,
    WHOLE_MAX,
    NotExact,
    bound_exactly,
)

if TYPE_CHECKING:
    from canalclock.core.protocol.definition import Protocol
    from canalclock.core.record.events import CanalSet
    from canalclock.core.set_out import NeedleHad

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9_-]{0,23}")
_UNITS: Final = {
    "wl": ("working_length_um", UM_PER_MM, "mm", "µm", WHOLE_MAX),
    "orifice": ("orifice_um", UM_PER_MM, "mm", "µm", WHOLE_MAX),
    "taper": ("taper_um_per_mm", UM_PER_MM_PER_TAPER_PCT, "per cent of taper", "µm per mm", 1000),
    "size": ("apical_size", 1, "hundredths of mm", "hundredth of mm", 1000),
}
"""Field, factor, units, and the most that an event of `canal_set` takes."""


class CanalGiven(msgspec.Struct, frozen=True, kw_only=True):
    """A canal as written on the command line."""

    canal: str
    values: dict[str, int]


def canal_given(text: str) -> CanalGiven:
    """
    A canal of the command line: `mb1`, or `mb1:wl=20,size=30,taper=6,orifice=9`.

    Raises:
        ValueError: What was found, and what was expected.
    """
    name, _, rest = text.partition(":")
    if not _NAME.fullmatch(name) or name == "chamber":
        raise ValueError(f"found canal {name!r}, expected a name in lower case, such as mb1")
    values: dict[str, int] = {}
    for pair in rest.split(",") if rest else []:
        key, equals, number = pair.partition("=")
        if not equals or key not in _UNITS:
            raise ValueError(
                f"found {pair!r}, expected wl, orifice (mm), size (hundredths of mm) or taper "
                "(per cent), each as name=number"
            )
        field, factor, unit, small, most = _UNITS[key]
        if field in values:
            raise ValueError(f"found {key!r} twice for canal {name!r}")
        values[field] = _bound(key, number, factor, unit, small)
        if values[field] > most:
            raise ValueError(f"found {key}={number}, expected at most {most / factor:g} {unit}")
    return CanalGiven(canal=name, values=values)


def needle_given(text: str) -> "NeedleHad":
    """
    A needle of the command line: `30` (side-vented), or `27:flat`.

    Raises:
        ValueError: What was found, and what was expected.
    """
    from canalclock.core.set_out import NeedleHad

    gauge, _, tip = text.partition(":")
    given = {"needle_gauge": gauge, "needle_tip": tip or "side_vented"}
    try:
        return msgspec.convert(given, NeedleHad, strict=False)
    except msgspec.ValidationError as e:
        raise ValueError(
            f"found {text!r}, expected a gauge, or a gauge and a tip such as 27:flat"
        ) from e


def _bound(key: str, number: str, factor: int, unit: str, small: str) -> int:
    try:
        written = Decimal(number)
    except InvalidOperation as e:
        raise ValueError(f"found {key}={number!r}, expected a number of {unit}") from e
    if key == "taper" and 0 < written < 1:
        raise ValueError(
            f"found taper={number}, expected per cent: did you mean {written * 100:f}?"
        )
    try:
        return bound_exactly(written, factor, unit, small)
    except NotExact as e:
        raise ValueError(f"{key}: {e}") from e


def run_plan(
    file: Path,
    tooth: str,
    canals: Sequence[CanalGiven],
    visit: int,
    instruments: int,
    syringe_ul: int,
    needles: "Sequence[NeedleHad]",
    as_json: bool,
) -> int:
    """Print the plan of a protocol for a tooth; exit code 0."""
    from canalclock.cli.set_out_text import set_out_lines
    from canalclock.core.plan import draw_up
    from canalclock.core.record.values import Canal
    from canalclock.core.set_out import NEEDLES, set_out
    from canalclock.protocol_files import kit_for

    protocol = protocol_or_end(file)
    if visit > protocol.case.visits:
        raise click.BadParameter(
            f"found {visit}, the protocol has {protocol.case.visits}", param_hint="--visit"
        )
    bound = planned(protocol, tooth, canals, visit)
    drawn = draw_up(protocol, len(canals), visit, instruments, syringe_ul)
    known = [msgspec.convert({"canal": c.canal, **c.values}, Canal) for c in canals]
    try:
        sheet = set_out(kit_for(protocol), known, syringe_ul, instruments, visit=visit,
                        needles=needles or NEEDLES)  # fmt: skip
    except ValueError as e:
        raise click.UsageError(str(e)) from e
    if as_json:
        click.echo(
            msgspec.json.encode({"tooth": tooth, "instruments": instruments,
                                 "syringe_ul": syringe_ul, "plan": bound, "draw_up": drawn,
                                 "set_out": sheet})
        )  # fmt: skip
        return 0
    out = [
        *_lines(protocol, bound, drawn, tooth, instruments, syringe_ul),
        *set_out_lines(sheet),
        "",
        "This computes; it does not replace licensed judgement or local codes.",
    ]
    click.echo("\n".join(out))
    return 0


def planned(protocol: "Protocol", tooth: str, canals: Sequence[CanalGiven], visit: int) -> Plan:
    """The plan of a tooth of which only its canals are known."""
    from canalclock.core.plan import plan
    from canalclock.core.record.events import VisitOpened
    from canalclock.core.record.fold import fold
    from canalclock.protocol_files import kit_for

    kit = kit_for(protocol)
    fields: dict[str, object] = {
        **_ENVELOPE, "kind": "visit_opened", "id": "opened", "course": "plan", "tooth": tooth,
        "label": "plan", "room": "plan", "kit": "0" * 64, "canals": [c.canal for c in canals],
    }  # fmt: skip
    opened = msgspec.convert(fields, VisitOpened)
    record = fold(kit, [opened, *(_canal_set(n, c) for n, c in enumerate(canals, 1))])
    return plan(kit, record, visit)


_ENVELOPE: Final[dict[str, object]] = {
    "visit": "plan", "device": "plan", "device_seq": 0, "staff": "plan",
    "occurred_at_ms": 0, "device_clock_ms": 0,
}  # fmt: skip


def _canal_set(n: int, given: CanalGiven) -> "CanalSet":
    from canalclock.core.record.events import CanalSet

    fields = {**_ENVELOPE, "device_seq": n, "id": f"canal-{n}", "canal": given.canal}
    return msgspec.convert({**fields, **given.values, "kind": "canal_set"}, CanalSet)


def _lines(
    protocol: "Protocol",
    bound: Plan,
    drawn: Sequence[DrawUp],
    tooth: str,
    instruments: int,
    syringe_ul: int,
) -> Sequence[str]:
    out = [
        f"{protocol.title} ({protocol.protocol}, version {protocol.version}), tooth {tooth}, "
        f"visit {bound.visit} of {protocol.case.visits}",
        *(f"! {caution}" for caution in protocol.cautions),
    ]
    for line in bound.lines:
        if line.steps:
            out += ["", line.site]
        stage = ""
        for step in line.steps:
            if step.stage != stage:
                stage = step.stage
                out.append(f"  {stage}{_repeats(protocol, stage)}")
            if step.cycle == 1:
                out.append(f"    {_step(step)}")
    out += ["", f"To draw up, with {instruments} instruments in each stage that repeats for them:"]
    for d in drawn:
        contents = " + ".join(
            c.irrigant
            if c.concentration_mg_per_l is None
            else f"{c.irrigant} {c.concentration_mg_per_l / 10_000:g} % w/v"
            for c in d.solution.contents
        )
        amount = f"{d.volume_ul / UL_PER_ML:g} mL" if d.volume_ul else "no amount asked"
        out.append(
            f"  {d.solution.solution}: {contents}: {amount}, "
            f"{d.syringes} syringe{'' if d.syringes == 1 else 's'} "
            f"of {syringe_ul / UL_PER_ML:g} mL"
        )
    return out


def _repeats(protocol: "Protocol", name: str) -> str:
    stage = next(s for s in protocol.stages if s.stage == name)
    match stage.repeats:
        case "per_instrument":
            return ", for each instrument"
        case "cycles":
            return f", {stage.cycles} cycles"
        case "once":
            return ""


def _step(planned_step: Planned) -> str:
    """One step in words: act, what, how much, how long, how deep."""
    s = planned_step.asked
    parts: list[str] = [s.act]
    words = (s.solution, s.activation, s.by, s.check, s.motion, s.material)
    parts += [word for word in words if word]
    if s.on_file:
        parts.append("on the file")
    if s.size is not None:
        parts.append(f"size {s.size}")
    if s.volume_ul is not None:
        parts.append(f"{s.volume_ul / UL_PER_ML:g} mL")
    if s.duration_ms is not None:
        parts.append(f"{s.duration_ms / 1000:g} s")
    if s.contact_ms is not None:
        parts.append(f"at least {s.contact_ms / 1000:g} s in contact")
    if s.contact_limit_ms is not None:
        parts.append(f"limit {s.contact_limit_ms / 1000:g} s")
    if planned_step.tip_um is not None:
        parts.append(f"tip at {planned_step.tip_um / UM_PER_MM:g} mm")
    elif s.tip_short_of_wl_um is not None:
        parts.append(f"tip {s.tip_short_of_wl_um / UM_PER_MM:g} mm short of working length")
    return f"{s.step}: {', '.join(parts)}"


@click.command("plan")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--tooth", required=True, metavar="CODE", help="ISO 3950 code, such as 16.")
@click.option(
    "--canal",
    "canals",
    multiple=True,
    metavar="NAME[:wl=MM,size=N,taper=PCT,orifice=MM]",
    help="A canal with what is known of it; once for each. Without any: the tooth's usual canals.",
)
@click.option("--visit", type=click.IntRange(1, 9), default=1, show_default=True)
@click.option("--instruments", type=click.IntRange(0, 50), default=INSTRUMENTS, show_default=True,
              help="Instruments to draw up for in each stage that repeats for them.")  # fmt: skip
@click.option("--syringe-ml", default="5", show_default=True, metavar="ML",
              help="Filling of one syringe.")  # fmt: skip
@click.option("--needle", "needles", multiple=True, metavar="GAUGE[:TIP]",
              help="A needle that the clinic has, such as 30 or 27:flat; once for each. Without "
              "any: 27 and 30, side-vented.")  # fmt: skip
@json_option
def command(
    file: Path,
    tooth: str,
    canals: tuple[str, ...],
    visit: int,
    instruments: int,
    syringe_ml: str,
    needles: tuple[str, ...],
    as_json: bool,
) -> None:
    """Bind a protocol FILE to a tooth: the steps of each canal, and what to set out.

    Set out are volumes and syringes, needles and stops, what separates agents that react, and
    the time it may take: expected, not measured.

    Exit codes: 0 printed; 1 the protocol has problems; 2 used wrongly; 3 a file cannot be read.

    \b
    Examples:
      canalclock plan protocols/mature-apex-one-visit.toml --tooth 16
      canalclock plan our.toml --tooth 36 --canal mb:wl=20,size=30,taper=6,orifice=9 --canal d
      canalclock plan our.toml --tooth 11 --canal single:wl=22,size=40,taper=4 --needle 30:flat
    """
    try:
        tooth_of(tooth)
    except ValueError as e:
        raise click.BadParameter(str(e), param_hint="--tooth") from e
    try:
        given = [canal_given(c) for c in canals or default_canals(tooth)]
    except ValueError as e:
        raise click.BadParameter(str(e), param_hint="--canal") from e
    names = [c.canal for c in given]
    if len(set(names)) < len(names):
        raise click.BadParameter("found a canal twice", param_hint="--canal")
    try:
        syringe_ul = _bound("syringe-ml", syringe_ml, UL_PER_ML, "mL", "µL")
    except ValueError as e:
        raise click.BadParameter(str(e), param_hint="--syringe-ml") from e
    if syringe_ul == 0:
        raise click.BadParameter("found 0, expected more than 0 mL", param_hint="--syringe-ml")
    try:
        had = [needle_given(n) for n in needles]
    except ValueError as e:
        raise click.BadParameter(str(e), param_hint="--needle") from e
    run_plan(file, tooth, given, visit, instruments, syringe_ul, had, as_json)
