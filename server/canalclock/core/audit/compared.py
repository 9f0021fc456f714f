"""What the protocol asked of each irrigant in each canal, beside what the canal had.

A figure that is reached is no end point, and one that is not reached is no failure: both are
reported. Not here: findings (asked.py).
"""

from canalclock.core.kit import Kit
from canalclock.core.plan import visit_number
from canalclock.core.protocol.definition import Ask, Protocol
from canalclock.core.protocol.visits import asks_of_visit
from canalclock.core.record.totals import Headline, Totals, VolumeRow
from canalclock.core.record.values import Canal, Made, Record

_NO_ASK = Ask(irrigant="any")


class Asked(Made, frozen=True, kw_only=True):
    """What the protocol asks; nulls = it asks nothing."""

    contact_ms: int | None
    last_3mm_ms: int | None
    fresh_ms: int | None
    activated_ms: int | None
    volume_ul: int | None


class Had(Made, frozen=True, kw_only=True):
    """What the record has; nulls = it cannot be told, as the working length is unknown."""

    anywhere_ms: int
    orifice_ms: int
    last_3mm_least_ms: int | None
    last_3mm_mean_ms: int | None
    longest_run_ms: int
    fresh_ms: int
    activated_ms: int
    volume_ul: int
    volume_at_least: bool
    volume_about: bool


class Compared(Made, frozen=True, kw_only=True):
    """One irrigant in one canal."""

    site: str
    irrigant: str
    asks: bool
    """Whether the protocol asks for this irrigant in this visit."""
    asked: Asked
    had: Had


def compared(kit: Kit, record: Record, totals: Totals) -> tuple[Compared, ...]:
    """
    Each canal's irrigants: those the protocol asks for, then the others it had.

    Canals that are only suspected, were left alone, or had been filled before are not asked
    anything. Of a protocol over several visits, only what this visit's stages use is asked.
    """
    asks = _asks(kit.protocol, record)
    rows = []
    for canal in record.canals:
        headlines = {h.irrigant: h for h in totals.headlines if h.site == canal.canal}
        volumes = [v for v in totals.volumes if v.site == canal.canal]
        here = asks if _treated(canal, volumes) else {}
        for irrigant in dict.fromkeys((*here, *headlines, *(v.irrigant for v in volumes))):
            ask = here.get(irrigant)
            rows.append(
                Compared(
                    site=canal.canal,
                    irrigant=irrigant,
                    asks=ask is not None,
                    asked=_asked(ask or _NO_ASK),
                    had=_had(
                        canal,
                        headlines.get(irrigant),
                        [v for v in volumes if v.irrigant == irrigant],
                    ),
                )
            )
    return tuple(rows)


def _asks(protocol: Protocol | None, record: Record) -> dict[str, Ask]:
    """The protocol's asks, by irrigant, that this visit's stages work toward."""
    if protocol is None:
        return {}
    asks = asks_of_visit(protocol, visit_number(protocol, record))
    return {ask.irrigant: ask for ask in asks}


def _treated(canal: Canal, volumes: list[VolumeRow]) -> bool:
    if canal.state in ("suspected", "left"):
        return False
    return canal.state != "filled" or bool(volumes)


def _asked(ask: Ask) -> Asked:
    return Asked(
        contact_ms=ask.contact_ms,
        last_3mm_ms=ask.last_3mm_ms,
        fresh_ms=ask.fresh_ms,
        activated_ms=ask.activated_ms,
        volume_ul=ask.volume_ul,
    )


def _had(canal: Canal, headline: Headline | None, volumes: list[VolumeRow]) -> Had:
    unknown = canal.working_length_um is None
    nothing = None if unknown else 0
    return Had(
        anywhere_ms=headline.anywhere_ms if headline else 0,
        orifice_ms=headline.orifice_ms if headline else 0,
        last_3mm_least_ms=headline.last_3mm_least_ms if headline else nothing,
        last_3mm_mean_ms=headline.last_3mm_mean_ms if headline else nothing,
        longest_run_ms=headline.longest_run_ms if headline else 0,
        fresh_ms=headline.fresh_ms if headline else 0,
        activated_ms=headline.activated_ms if headline else 0,
        volume_ul=sum(v.volume_ul for v in volumes),
        volume_at_least=any(v.at_least for v in volumes),
        volume_about=any(v.about for v in volumes),
    )
