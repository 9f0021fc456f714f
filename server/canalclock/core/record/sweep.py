"""The acts of a visit in the order they took effect, put into each canal's column.

A delivery that ended late may have begun before an act with a smaller key, so what the
first reading (acts.py) found is sorted here by effective instant.
"""

from collections.abc import Iterable

from msgspec import Struct, structs

from canalclock.core.record.events import Activation
from canalclock.core.record.tooth import Tooth
from canalclock.core.record.values import Activated, Finding, Interval, Mix


class Op(Struct, frozen=True, kw_only=True):
    """Something that takes effect at an instant; of several the event read first comes first."""

    at_ms: int
    nth: int
    """Place of its event in the order of keys."""


class Fill(Op, frozen=True, kw_only=True):
    """Contents come to a canal between two depths."""

    canal: str
    top_um: int
    bottom_um: int | None
    contents: Mix
    fresh: Interval | None
    from_chamber: bool = False
    chamber_too: bool = False
    """Whether the chamber holds the same from then on."""
    dressing: bool = False


class Empty(Op, frozen=True, kw_only=True):
    """A canal holds nothing between two depths any more."""

    canal: str
    top_um: int
    bottom_um: int | None


class Chamber(Op, frozen=True, kw_only=True):
    """The chamber holds other contents, or nothing."""

    contents: Mix | None


class Start(Op, frozen=True, kw_only=True):
    """An activation begins."""

    canal: str
    activation: Activation
    top_um: int
    bottom_um: int
    draws_chamber: bool
    event: str


class Stop(Op, frozen=True, kw_only=True):
    """The latest open activation of a canal ends."""

    canal: str
    event: str


class Carry(Op, frozen=True, kw_only=True):
    """A file worked down to a depth and may have taken contents there."""

    canal: str
    top_um: int
    bottom_um: int


class Swept(Struct, frozen=True, kw_only=True):
    """What the columns hold once every act has taken effect."""

    tooth: Tooth
    deeper: Tooth | None
    """The second account, with what files took deeper."""
    chamber: Mix | None
    activations: tuple[Activated, ...]
    findings: tuple[Finding, ...]


def sweep(ops: Iterable[Op], tooth: Tooth, deeper: Tooth | None = None) -> Swept:
    """
    Put every act into its canal's column.

    Args:
        ops: Acts with their effective instants, in any order.
        tooth: Its empty columns, which are filled.
        deeper: The same for the second account, in which files carry (`Carry`).

    Returns:
        The columns, what the chamber holds at the end, the activations by start, findings
        `activation_never_stopped` and `activation_stop_alone`.
    """
    chamber: Mix | None = None
    spans: list[Activated] = []
    draws: dict[str, list[Start]] = {}
    alone: list[Finding] = []
    accounts = (tooth,) if deeper is None else (tooth, deeper)
    for op in sorted(ops, key=_order):
        match op:
            case Fill():
                bottom = op.bottom_um
                if op.from_chamber and bottom is not None and draws.get(op.canal):
                    bottom = max(bottom, draws[op.canal][-1].bottom_um)
                if op.chamber_too:
                    chamber = op.contents
                for account in accounts:
                    account.fill(
                        op.canal, op.top_um, bottom, op.contents, op.at_ms, op.fresh, op.dressing
                    )
            case Empty():
                for account in accounts:
                    account.empty(op.canal, op.top_um, op.bottom_um, op.at_ms)
            case Chamber():
                chamber = op.contents
            case Start():
                for account in accounts:
                    _spread(account, op, chamber)
                if op.draws_chamber:
                    draws.setdefault(op.canal, []).append(op)
                spans.append(_begun(op))
            case Carry():
                if deeper is not None:
                    deeper.carry(op.canal, op.top_um, op.bottom_um, op.at_ms)
            case Stop():
                span = _stop(spans, op)
                if span is not None:
                    drawing = draws.get(op.canal, [])
                    draws[op.canal] = [d for d in drawing if d.event != span.started]
                    for account in accounts:
                        account.activate(
                            op.canal, span.from_um, span.to_um, (span.start_ms, op.at_ms)
                        )
                else:
                    alone.append(
                        Finding(
                            rule="activation_stop_alone",
                            severity="info",
                            sites=(op.canal,),
                            events=(op.event,),
                        )
                    )
            case _:
                pass
    never = [
        Finding(
            rule="activation_never_stopped",
            severity="notice",
            sites=(s.canal,),
            events=(s.started,),
        )
        for s in spans
        if s.end_ms is None
    ]
    return Swept(
        tooth=tooth,
        deeper=deeper,
        chamber=chamber,
        activations=tuple(spans),
        findings=(*alone, *never),
    )


def _order(op: Op) -> tuple[int, int]:
    return op.at_ms, op.nth


def _spread(tooth: Tooth, op: Start, chamber: Mix | None) -> None:
    contents = chamber if op.draws_chamber else tooth.at(op.canal, op.top_um)
    if contents is not None:
        tooth.fill(op.canal, op.top_um, op.bottom_um, contents, op.at_ms)


def _begun(op: Start) -> Activated:
    return Activated(
        canal=op.canal,
        activation=op.activation,
        from_um=op.top_um,
        to_um=op.bottom_um,
        start_ms=op.at_ms,
        end_ms=None,
        started=op.event,
        stopped=None,
    )


def _stop(spans: list[Activated], op: Stop) -> Activated | None:
    """The latest open start of that canal, now ended; None if there is none."""
    for i in range(len(spans) - 1, -1, -1):
        if spans[i].canal == op.canal and spans[i].end_ms is None:
            spans[i] = structs.replace(spans[i], end_ms=op.at_ms, stopped=op.event)
            return spans[i]
    return None
