"""The set-out sheet as lines of text, its figures rounded for reading (`--json` gives all)."""

from collections.abc import Iterator

from canalclock.core.figures import ml, pct_wv, span
from canalclock.core.quantities import MS_PER_S
from canalclock.core.set_out import CanalOut, NeedleOut, SeparationOut, SetOut, TimeOut


def set_out_lines(sheet: SetOut) -> Iterator[str]:
    """Canals with needles, what separates, time, where figures come from; amounts come before."""
    yield ""
    yield "Canals and needles (expected in a straight canal; a needle never binds):"
    for canal in sheet.canals:
        yield from _canal(canal)
    if sheet.separations:
        yield ""
        yield "Between agents that react, in the order they meet:"
        for separation in sheet.separations:
            yield from _separation(separation)
    yield ""
    yield from _time(sheet.time)
    yield ""
    yield "Where this comes from:"
    for source in sheet.sources:
        yield f"  {source.of} ({source.basis}): {source.text}"


def _canal(canal: CanalOut) -> Iterator[str]:
    if canal.volume_ul is None or canal.exchanges_per_ml is None:
        yield f"  {canal.canal}: not known: {', '.join(canal.missing)}"
        return
    at = "" if canal.orifice_um is not None else " from the reference point, orifice unknown"
    yield (
        f"  {canal.canal}: {canal.volume_ul:.1f} µL{at}; 1 mL is {canal.exchanges_per_ml:.0f} "
        "of its volumes"
    )
    if canal.exchange_at_wl_expected is False:
        yield "    below size 30: exchange at working length is not to be expected"
    for fit in canal.needles:
        yield f"    {_needle(fit)}"


def _needle(fit: NeedleOut) -> str:
    name = f"{fit.needle_gauge} G {fit.needle_tip}"
    if fit.shortest_of_wl_mm is None or fit.stop_mm is None:
        return f"{name}: loose nowhere in this canal"
    reached = (
        f"last {fit.not_reached_mm:g} mm ({fit.not_reached_ul:.2f} µL) not expected to be reached"
        if fit.not_reached_mm
        else "working length expected to be reached"
    )
    return (
        f"{name}: loose from {fit.shortest_of_wl_mm:.1f} mm short; stop at {fit.stop_mm:g} mm "
        f"({fit.short_of_wl_mm:g} mm short): {reached}"
    )


def _separation(found: SeparationOut) -> Iterator[str]:
    pair = found.pair
    asked = []
    if pair.rinse_ul:
        asked.append(f"{ml(pair.rinse_ul)} mL rinse")
    if pair.removals:
        asked.append(f"{pair.removals} removal by points in each canal and at the chamber")
    planned = f"{ml(pair.planned_rinse_ul)} mL"
    if pair.removals:
        planned += f", {pair.planned_removals} removal"
    yield (
        f"  {pair.first}, then {pair.second} ({pair.level}): asked "
        f"{' then '.join(asked) or 'nothing'}; the protocol has {planned}"
    )
    for here in found.canals:
        yield f"    {here.canal}, {here.needle_gauge} G {here.needle_tip}: {here.text}"
    if found.drying_cycles is not None and pair.first_mg_per_l is not None:
        yield (
            f"    Model: {found.drying_cycles} times dry and refill bring "
            f"{pct_wv(pair.first_mg_per_l)} % under the colour threshold"
        )


def _time(time: TimeOut) -> Iterator[str]:
    def told(seconds: float) -> str:
        return span(round(seconds) * MS_PER_S)

    at_least = "at least " if time.at_least else ""
    yield (
        f"Time, estimated, without shaping and checks: {at_least}{told(time.least_s)} if canals "
        f"wait together, {at_least}{told(time.most_s)} one after another"
    )
    yield (
        f"  delivery {told(time.delivery_s)} at {time.flow_ml_per_min:g} mL/min, activation "
        f"{told(time.activation_s)}, waiting {told(time.contact_s)}; contact asked in one canal "
        f"{told(time.asked_contact_s)}"
    )
