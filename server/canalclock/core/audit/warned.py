"""Rules on what the guard said: holds released, holds that nobody released, cautions unsaid.

Everything the guard said and should have said is listed as warnings; only what a reader has to
act on becomes a finding here, and nothing twice.
"""

from collections.abc import Iterator

from canalclock.core.audit.meta import Found, Meta
from canalclock.core.kit import Kit
from canalclock.core.record.events import AnyEvent, HoldReleased
from canalclock.core.record.values import Record
from canalclock.core.spoken import Spoken


def warned_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """Every finding of this family."""
    yield from _released(record, meta)
    for row in meta.spoken:
        if row.delivery is None or not row.should or row.released is not None:
            continue
        if row.level == "hold":
            yield _unreleased(row)
        elif row.level == "caution" and not row.said:
            yield _unsaid(row)


def _released(record: Record, meta: Meta) -> Iterator[Found]:
    """One finding for each act that a hold was released for."""
    known = {e.id: e for e in record.standing}
    acts: dict[str, list[HoldReleased]] = {}
    for event in record.standing:
        if isinstance(event, HoldReleased):
            acts.setdefault(event.act, []).append(event)
    for act, releases in acts.items():
        rows = [r for r in meta.spoken if r.released and r.released.event in _ids(releases)]
        named = tuple(dict.fromkeys(s for r in rows for s in r.sites))
        delivered = {r.delivery for r in rows if r.delivery is not None}
        cited = [act, *sorted(delivered - {act})]
        yield Found(
            rule="hold_released",
            severity="notice",
            sites=named or _site(known.get(act)),
            events=(*(e for e in cited if e in known), *_ids(releases)),
            about=", ".join(dict.fromkeys(r.about or r.rule for r in releases)),
            says="; ".join(dict.fromkeys(_said(r) for r in releases)),
        )


def _ids(releases: list[HoldReleased]) -> tuple[str, ...]:
    return tuple(r.id for r in releases)


def _said(release: HoldReleased) -> str:
    return f"ordered by {release.ordered_by}, entered by {release.staff}: {release.reason}"


def _site(event: AnyEvent | None) -> tuple[str, ...]:
    site = getattr(event, "site", None)
    return (site,) if isinstance(site, str) else ()


def _unreleased(row: Spoken) -> Found:
    return Found(
        rule="hold_not_released",
        severity="serious",
        sites=row.sites,
        events=_cited(row),
        about=row.about or row.rule,
        says="The guard had said so." if row.said else "The guard had not said so.",
    )


def _unsaid(row: Spoken) -> Found:
    return Found(
        rule="caution_not_said",
        severity="notice",
        sites=row.sites,
        events=_cited(row),
        about=f"{row.rule}: {row.about}" if row.about else row.rule,
    )


def _cited(row: Spoken) -> tuple[str, ...]:
    acts = (row.act,) if row.delivery is None else (row.act, row.delivery)
    return tuple(dict.fromkeys((*acts, *row.events)))
