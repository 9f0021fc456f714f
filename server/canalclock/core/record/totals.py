"""What each canal really had: contact by depth, fresh, activated, volumes, as of an instant.

Counts only what the record holds. A nominal figure (planned, estimated) stays marked "about".
"""

from collections.abc import Iterable, Sequence

from msgspec import structs

from canalclock.core.quantities import UM_PER_MM
from canalclock.core.record.events import CHAMBER
from canalclock.core.record.intervals import common, length_ms, longest_ms, merged
from canalclock.core.record.values import (
    Canal,
    Interval,
    LeftDressing,
    Made,
    Record,
    Slice,
    Stay,
)

APICAL_UM = 3 * UM_PER_MM
"""The part of a canal that `last_3mm` looks at, up from working length. [µm]"""

MEASURED = ("timed", "read")
"""Ways of knowing an amount that count as measured."""

ABOUT = ("planned", "estimated", "recalled")


class DepthRow(Made, frozen=True, kw_only=True):
    """Contact of one irrigant at one strength between two depths of a canal."""

    site: str
    from_um: int
    to_um: int | None
    irrigant: str
    concentration_mg_per_l: int | None
    contact_ms: int
    fresh_ms: int
    activated_ms: int


class CarriedRow(Made, frozen=True, kw_only=True):
    """Contact at a depth if files carried contents down with them: expected, never merged."""

    site: str
    from_um: int
    to_um: int | None
    irrigant: str
    concentration_mg_per_l: int | None
    carried_ms: int


class Headline(Made, frozen=True, kw_only=True):
    """One irrigant in one canal, strengths together."""

    site: str
    irrigant: str
    anywhere_ms: int
    orifice_ms: int
    last_3mm_least_ms: int | None
    last_3mm_mean_ms: int | None
    longest_run_ms: int
    fresh_ms: int
    activated_ms: int


class VolumeRow(Made, frozen=True, kw_only=True):
    """What went through the needle at a site; mostly aspirated again, never "absorbed"."""

    site: str
    irrigant: str
    concentration_mg_per_l: int | None
    volume_ul: int
    at_least: bool
    about: bool
    passed_ng: int | None


class Totals(Made, frozen=True, kw_only=True):
    """The figures of a visit as of an instant."""

    as_of_ms: int
    depths: tuple[DepthRow, ...]
    carried: tuple[CarriedRow, ...]
    headlines: tuple[Headline, ...]
    volumes: tuple[VolumeRow, ...]
    tooth: tuple[VolumeRow, ...]
    measured_share_pct: int | None
    dressings: tuple[LeftDressing, ...]


def totals(record: Record, as_of_ms: int) -> Totals:
    """
    The figures of a visit.

    Args:
        record: The record.
        as_of_ms: Instant to which open contact runs while the visit is open. [ms]

    Returns:
        Depths, headlines, volumes; see the chapter "The record, exactly".
    """
    stop = contact_stop_ms(record, as_of_ms)
    irrigants = _irrigants(record)
    depths: list[DepthRow] = []
    carried: list[CarriedRow] = []
    headlines: list[Headline] = []
    for canal in record.canals:
        for irrigant in irrigants:
            stretches = _stretches(record.slices, canal.canal, irrigant, stop, as_of_ms)
            depths += _depth_rows(canal.canal, irrigant, stretches)
            deeper = _stretches(record.carried, canal.canal, irrigant, stop, as_of_ms)
            carried += _carried_rows(_depth_rows(canal.canal, irrigant, deeper))
            headline = _headline(canal, irrigant, stretches)
            if headline is not None:
                headlines.append(headline)
    volumes = _volumes(record)
    return Totals(
        as_of_ms=as_of_ms,
        depths=tuple(depths),
        carried=tuple(carried),
        headlines=tuple(headlines),
        volumes=tuple(volumes),
        tooth=tuple(_tooth(volumes)),
        measured_share_pct=_measured_share_pct(record),
        dressings=record.dressings,
    )


def contact_stop_ms(record: Record, as_of_ms: int) -> int:
    """Where contact with no recorded end stops: at `as_of_ms`, or the last clinical event."""
    if record.closed_at_ms is not None and record.last_clinical_ms is not None:
        return min(as_of_ms, record.last_clinical_ms)
    return as_of_ms


def _irrigants(record: Record) -> tuple[str, ...]:
    """Every irrigant on record, in the order of first appearance."""
    left_in = record.opened.present_at_start if record.opened is not None else ()
    seen = [c.irrigant for left in left_in for c in left.contents]
    seen += [c.irrigant for d in record.deliveries for c in d.contents]
    return tuple(dict.fromkeys(seen))


class _Stretch:
    """One irrigant in one slice: its spans, by strength and together."""

    def __init__(self, s: Slice, irrigant: str, stop_ms: int, as_of_ms: int) -> None:
        self.from_um = s.from_um
        self.to_um = s.to_um
        self.shared = s.shared_with is not None
        self.active = [(start, min(end, as_of_ms)) for start, end in s.active]
        self.contact: dict[int | None, list[Interval]] = {}
        self.fresh: dict[int | None, list[Interval]] = {}
        for stay in s.stays:
            if stay.dressing:
                continue
            for strength in {
                c.concentration_mg_per_l for c in stay.contents if c.irrigant == irrigant
            }:
                self._take(stay, strength, stop_ms, as_of_ms)

    def _take(self, stay: Stay, strength: int | None, stop_ms: int, as_of_ms: int) -> None:
        end = stop_ms if stay.end_ms is None else min(stay.end_ms, as_of_ms)
        if end <= stay.start_ms:
            return
        whole = (stay.start_ms, end)
        self.contact.setdefault(strength, []).append(whole)
        self.fresh.setdefault(strength, []).extend(common([whole], stay.fresh))

    def all(self) -> list[Interval]:
        return merged(i for spans in self.contact.values() for i in spans)

    def all_fresh(self) -> list[Interval]:
        return merged(i for spans in self.fresh.values() for i in spans)

    def activated(self, spans: Iterable[Interval]) -> list[Interval]:
        return common(spans, self.active)


def _stretches(
    slices: Iterable[Slice], site: str, irrigant: str, stop_ms: int, as_of_ms: int
) -> list[_Stretch]:
    return [_Stretch(s, irrigant, stop_ms, as_of_ms) for s in slices if s.site == site]


def _carried_rows(rows: Iterable[DepthRow]) -> list[CarriedRow]:
    """The rows of the second account; neighbours that differ in freshness alone are one."""
    joined: list[CarriedRow] = []
    for row in map(_carried, rows):
        above = joined[-1] if joined else None
        if above is not None and above.to_um == row.from_um:
            whole = structs.replace(row, from_um=above.from_um)
            if structs.replace(above, to_um=row.to_um) == whole:
                joined[-1] = whole
                continue
        joined.append(row)
    return joined


def _carried(row: DepthRow) -> CarriedRow:
    return CarriedRow(
        site=row.site,
        from_um=row.from_um,
        to_um=row.to_um,
        irrigant=row.irrigant,
        concentration_mg_per_l=row.concentration_mg_per_l,
        carried_ms=row.contact_ms,
    )


def _depth_rows(site: str, irrigant: str, stretches: Sequence[_Stretch]) -> list[DepthRow]:
    strengths = dict.fromkeys(c for s in stretches for c in s.contact)
    rows: list[DepthRow] = []
    for strength in strengths:
        last: DepthRow | None = None
        for s in stretches:
            if s.shared:
                continue
            contact = s.contact.get(strength, [])
            row = DepthRow(
                site=site,
                from_um=s.from_um,
                to_um=s.to_um,
                irrigant=irrigant,
                concentration_mg_per_l=strength,
                contact_ms=length_ms(contact),
                fresh_ms=length_ms(s.fresh.get(strength, [])),
                activated_ms=length_ms(s.activated(contact)),
            )
            if last is not None and _alike(last, row):
                row = structs.replace(row, from_um=last.from_um)
                rows.pop()
            if row.contact_ms:
                rows.append(row)
            last = row if row.contact_ms else None
    return rows


def _alike(upper: DepthRow, lower: DepthRow) -> bool:
    """Whether two neighbouring rows say the same and touch."""
    return upper.to_um == lower.from_um and (
        (upper.contact_ms, upper.fresh_ms, upper.activated_ms)
        == (lower.contact_ms, lower.fresh_ms, lower.activated_ms)
    )


def _headline(canal: Canal, irrigant: str, stretches: Sequence[_Stretch]) -> Headline | None:
    anywhere = merged(i for s in stretches for i in s.all())
    if not anywhere:
        return None
    orifice = canal.orifice_um or 0
    at_orifice = [
        s for s in stretches if s.from_um <= orifice and (s.to_um is None or orifice < s.to_um)
    ]
    least, mean = _apical(canal, stretches)
    return Headline(
        site=canal.canal,
        irrigant=irrigant,
        anywhere_ms=length_ms(anywhere),
        orifice_ms=sum(length_ms(s.all()) for s in at_orifice),
        last_3mm_least_ms=least,
        last_3mm_mean_ms=mean,
        longest_run_ms=max(longest_ms(s.all()) for s in stretches),
        fresh_ms=length_ms(i for s in stretches for i in s.all_fresh()),
        activated_ms=length_ms(i for s in stretches for i in s.activated(s.all())),
    )


def _apical(canal: Canal, stretches: Sequence[_Stretch]) -> tuple[int | None, int | None]:
    """
    Least and mean contact over the last 3 mm.

        mean = sum(contact_i x length_i) / sum(length_i),   rounded down

    Returns:
        Both in ms; null while the working length is unknown or not below the orifice.

    Source:
        Length-weighted mean (definition).
    """
    bottom = canal.working_length_um
    if bottom is None:
        return None, None
    top = max(bottom - APICAL_UM, canal.orifice_um or 0)
    if top >= bottom:
        return None, None
    parts = []
    for s in stretches:
        low = bottom if s.to_um is None else min(s.to_um, bottom)
        length = low - max(s.from_um, top)
        if length > 0:
            parts.append((length, length_ms(s.all())))
    bare = (bottom - top) - sum(length for length, _ in parts)
    if bare > 0:
        parts.append((bare, 0))
    weighted = sum(length * contact for length, contact in parts)
    return min(contact for _, contact in parts), weighted // (bottom - top)


def _volumes(record: Record) -> list[VolumeRow]:
    rows: dict[tuple[str, str, int | None], VolumeRow] = {}
    sites = (*(c.canal for c in record.canals), CHAMBER)
    order = {site: i for i, site in enumerate(sites)}
    for delivery in record.deliveries:
        for component in delivery.contents:
            strength = component.concentration_mg_per_l
            k = (delivery.site, component.irrigant, strength)
            row = VolumeRow(
                site=delivery.site,
                irrigant=component.irrigant,
                concentration_mg_per_l=strength,
                volume_ul=delivery.volume_ul or 0,
                at_least=delivery.volume_ul is None,
                about=delivery.volume_ul is not None and delivery.how in ABOUT,
                passed_ng=_passed_ng(delivery.volume_ul or 0, strength),
            )
            rows[k] = row if k not in rows else _sum(rows[k], row, delivery.site)
    return sorted(rows.values(), key=lambda r: order.get(r.site, len(order)))


def _passed_ng(volume_ul: int, concentration_mg_per_l: int | None) -> int | None:
    """
    Mass of solute that went through the needle.

        ng = µL x mg/L

    Args:
        volume_ul: Volume. [µL], >= 0.
        concentration_mg_per_l: Strength. [mg/L], >= 0; None = unknown.

    Returns:
        Mass [ng], None while the strength is unknown.

    Source:
        Definition of mass concentration.
    """
    return None if concentration_mg_per_l is None else volume_ul * concentration_mg_per_l


def _sum(a: VolumeRow, b: VolumeRow, site: str) -> VolumeRow:
    return VolumeRow(
        site=site,
        irrigant=a.irrigant,
        concentration_mg_per_l=a.concentration_mg_per_l,
        volume_ul=a.volume_ul + b.volume_ul,
        at_least=a.at_least or b.at_least,
        about=a.about or b.about,
        passed_ng=_passed_ng(a.volume_ul + b.volume_ul, a.concentration_mg_per_l),
    )


def _tooth(volumes: Iterable[VolumeRow]) -> list[VolumeRow]:
    rows: dict[tuple[str, int | None], VolumeRow] = {}
    for row in volumes:
        k = (row.irrigant, row.concentration_mg_per_l)
        whole = structs.replace(row, site="tooth")
        rows[k] = whole if k not in rows else _sum(rows[k], whole, "tooth")
    return list(rows.values())


def _measured_share_pct(record: Record) -> int | None:
    known = [(d.volume_ul, d.how) for d in record.deliveries if d.volume_ul is not None]
    whole = sum(volume for volume, _ in known)
    if whole == 0:
        return None
    return 100 * sum(volume for volume, how in known if how in MEASURED) // whole
