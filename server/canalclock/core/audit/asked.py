"""Rules on the protocol's figures: contact, freshness, activation, volume, limits, strengths.

Every figure is the practice's own target. While the visit is open it is what is left to do, and
stands beside what the canal has so far (compared.py); it is a finding once the visit is closed.
"""

from collections.abc import Iterator

from canalclock.core.audit.compared import Compared, compared
from canalclock.core.audit.meta import Found, Measure, Meta
from canalclock.core.kit import Kit
from canalclock.core.protocol.definition import UNKNOWN, Protocol
from canalclock.core.protocol.reactions import Reactions
from canalclock.core.record.values import Delivered, Record


def asked_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """Every finding of this family; none without a protocol."""
    if kit.protocol is None:
        return
    if record.closed_at_ms is not None:
        for row in compared(kit, record, meta.totals):
            if row.asks:
                yield from _below(row, record)
    yield from _limits(kit.protocol, record, meta)
    yield from _strengths(kit.protocol, record)
    yield from _not_in_protocol(kit, kit.protocol, record)


def _below(row: Compared, record: Record) -> Iterator[Found]:
    asked, had = row.asked, row.had
    cited = _deliveries(record, row.irrigant, row.site)

    def finding(rule: str, measure: Measure, most: int, least: int) -> Found:
        return Found(
            rule=rule,
            severity="info" if rule.endswith("_unknown") else "notice",
            sites=(row.site,),
            events=tuple(d.id for d in cited),
            about=row.irrigant,
            measure=measure,
            asked=most,
            had=least,
        )

    figures: tuple[tuple[str, int | None, int | None], ...] = (
        ("contact_below_asked", asked.contact_ms, had.anywhere_ms),
        ("last_3mm_below_asked", asked.last_3mm_ms, had.last_3mm_least_ms),
        ("fresh_below_asked", asked.fresh_ms, had.fresh_ms),
        ("activated_below_asked", asked.activated_ms, had.activated_ms),
    )
    for rule, most, least in figures:
        if most is None:
            continue
        if least is None:
            yield finding("last_3mm_unknown", "ms", most, 0)
        elif least < most:
            yield finding(rule, "ms", most, least)
    if asked.volume_ul is not None and had.volume_ul < asked.volume_ul:
        if had.volume_at_least:
            yield finding("volume_unknown", "ul", asked.volume_ul, had.volume_ul)
        else:
            yield finding("volume_below_asked", "ul", asked.volume_ul, had.volume_ul)


def _deliveries(record: Record, irrigant: str, site: str | None = None) -> list[Delivered]:
    return [
        d
        for d in record.deliveries
        if (site is None or d.site == site) and any(c.irrigant == irrigant for c in d.contents)
    ]


def _limits(protocol: Protocol, record: Record, meta: Meta) -> Iterator[Found]:
    limits = {limit.irrigant: limit.longest_run_ms for limit in protocol.limits}
    for h in meta.totals.headlines:
        limit = limits.get(h.irrigant)
        if limit is not None and h.longest_run_ms > limit:
            yield Found(
                rule="limit_passed",
                severity="notice",
                sites=(h.site,),
                events=tuple(d.id for d in _deliveries(record, h.irrigant, h.site)),
                about=h.irrigant,
                measure="ms",
                asked=limit,
                had=h.longest_run_ms,
            )


def _written(protocol: Protocol) -> dict[str, set[int | None]]:
    """Strengths that the protocol writes of each irrigant."""
    written: dict[str, set[int | None]] = {}
    for solution in protocol.solutions:
        for c in solution.contents:
            written.setdefault(c.irrigant, set()).add(c.concentration_mg_per_l)
    return written


def _strengths(protocol: Protocol, record: Record) -> Iterator[Found]:
    written = _written(protocol)
    other: dict[tuple[str, int | None], list[Delivered]] = {}
    for d in record.deliveries:
        for c in d.contents:
            expected = written.get(c.irrigant, {None})
            if None not in expected and c.concentration_mg_per_l not in expected:
                other.setdefault((c.irrigant, c.concentration_mg_per_l), []).append(d)
    for (irrigant, strength), deliveries in other.items():
        nearest = [s for s in written[irrigant] if s is not None]
        yield Found(
            rule="strength_unknown" if strength is None else "strength_other_than_protocol",
            severity="notice",
            sites=tuple(dict.fromkeys(d.site for d in deliveries)),
            events=tuple(d.id for d in deliveries),
            about=irrigant,
            measure="mg_per_l",
            asked=max(nearest),
            had=strength,
        )


def _not_in_protocol(kit: Kit, protocol: Protocol, record: Record) -> Iterator[Found]:
    written = set(_written(protocol))
    reactions = Reactions(kit.catalogue)
    other: dict[str, list[Delivered]] = {}
    for d in record.deliveries:
        for c in d.contents:
            if c.irrigant not in written:
                other.setdefault(c.irrigant, []).append(d)
    for irrigant, deliveries in other.items():
        harmless = irrigant != UNKNOWN and reactions.kind(irrigant) == "rinse"
        yield Found(
            rule="irrigant_not_in_protocol",
            severity="info" if harmless else "notice",
            sites=tuple(dict.fromkeys(d.site for d in deliveries)),
            events=tuple(d.id for d in deliveries),
            about=irrigant,
        )
