"""The replay: what the guard said before each act, beside what it should have said.

Each pick is asked again with the record before it (by key) and the depth unknown, as at the
chair; so is each delivery that no pick announced. A pick announces the next delivery with its
syringe, unless it named another site. A note counts once a visit.

A device may have said less (offline, it had not heard of an act) or more (an entry was corrected
since); both are told apart here. Not here: the rules themselves (guard.py), findings (audit/).

The record is folded once for each act, so the work grows with the square of a visit. Beyond
`REPLAY_MOST` it is not done, and nothing is claimed of what should have been said.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from typing import Final

from canalclock.core.guard import ProposedAct, Warning, guard
from canalclock.core.kit import Kit
from canalclock.core.protocol.definition import Basis
from canalclock.core.record.amend import standing
from canalclock.core.record.contents import mixed
from canalclock.core.record.events import (
    AnyEvent,
    EntryCorrected,
    EntryVoided,
    Event,
    GuardSpoke,
    HoldReleased,
    IrrigantDelivered,
    Level,
    SyringePicked,
    Unread,
)
from canalclock.core.record.fold import fold
from canalclock.core.record.order import key
from canalclock.core.record.syringes import UNKNOWN_MIX, Rack
from canalclock.core.record.values import Key, Made, Record
from canalclock.core.residual_words import ResidualWords, residual_words

REPLAY_MOST: Final = 300_000
"""Most acts times events that are replayed. []  A choice: some seconds; a long visit has 25 000."""

_RANK: Final = {"hold": 0, "caution": 1, "note": 2}


class Released(Made, frozen=True, kw_only=True):
    """A hold that was let go for one act: who entered it, who ordered it, and why."""

    by: str
    ordered_by: str
    reason: str
    event: str
    at_ms: int


class Spoken(Made, frozen=True, kw_only=True):
    """One warning before one act: whether it was said, and whether it should have been."""

    act: str
    """The pick, or the delivery that no pick announced."""
    delivery: str | None
    """The delivery that was made while this still held; null if none was."""
    at_ms: int
    """When it was to be said. [ms]"""
    rule: str
    level: Level
    about: str
    sites: tuple[str, ...]
    basis: Basis | None
    """What a pair's level rests on; null where the guard should have been silent."""
    said: bool
    should: bool | None
    """Null where that was not worked out."""
    released: Released | None
    events: tuple[str, ...]
    """The `guard_spoke` events that say it."""
    words: tuple[ResidualWords, ...] = ()
    """Of a pair with hypochlorite left behind: what stays unreached and what a model expects."""


class Asking(Made, frozen=True, kw_only=True):
    """One time at which the guard is to speak: a pick, a delivery, or both."""

    pick: SyringePicked | None
    delivery: IrrigantDelivered | None

    @property
    def first(self) -> SyringePicked | IrrigantDelivered:
        """The event before which the guard speaks."""
        found = self.pick or self.delivery
        assert found is not None
        return found

    @property
    def ids(self) -> tuple[str, ...]:
        """The events that a `guard_spoke` or a release of it may name."""
        return tuple(e.id for e in (self.pick, self.delivery) if e is not None)


class History:
    """The events of a visit, ready to be cut before any act."""

    def __init__(self, events: Iterable[AnyEvent | Unread]) -> None:
        """Sort events, each with the amendments that made it stand as it does."""
        events = tuple(events)
        amendments: dict[str, list[AnyEvent | Unread]] = {}
        originals: dict[str, AnyEvent | Unread] = {}
        for event in events:
            if isinstance(event, EntryCorrected | EntryVoided):
                amendments.setdefault(event.entry, []).append(event)
            else:
                originals.setdefault(event.id, event)
        self.standing = standing(events).events
        quiet = [e for e in self.standing if not isinstance(e, GuardSpoke)]
        self._keys: list[Key] = [key(e) for e in quiet]
        self._told = [(originals[e.id], *amendments.get(e.id, ())) for e in quiet]

    def before(self, act: Event) -> list[AnyEvent | Unread]:
        """What had happened before an act, without what the guard had said."""
        return [e for told in self._told[: bisect_left(self._keys, key(act))] for e in told]


def askings(standing_events: Sequence[AnyEvent]) -> tuple[Asking, ...]:
    """
    Every time at which the guard is to speak, in the order of keys.

    Args:
        standing_events: Standing events in the order of their keys.
    """
    found: list[Asking] = []
    waiting: dict[str, int] = {}
    for event in standing_events:
        match event:
            case SyringePicked():
                waiting[event.syringe] = len(found)
                found.append(Asking(pick=event, delivery=None))
            case IrrigantDelivered():
                at = waiting.pop(event.syringe, None) if event.syringe is not None else None
                pick = found[at].pick if at is not None else None
                if at is not None and pick is not None and pick.site in (None, event.site):
                    found[at] = Asking(pick=pick, delivery=event)
                else:
                    found.append(Asking(pick=None, delivery=event))
            case _:
                pass
    return tuple(found)


def spoken(kit: Kit, events: Iterable[AnyEvent | Unread]) -> tuple[Spoken, ...]:
    """
    What the guard said and should have said, before every act of a visit.

    Args:
        kit: The visit's kit.
        events: Events of one visit, in any order, repeats allowed.

    Returns:
        Warnings by act, holds first; those that nobody said and those that nothing asked for too.
    """
    history = History(events)
    spokes = [e for e in history.standing if isinstance(e, GuardSpoke)]
    releases = [e for e in history.standing if isinstance(e, HoldReleased)]
    rack = Rack(history.standing)
    noted: set[tuple[str, str]] = set()
    rows: list[Spoken] = []
    paired: set[str] = set()
    if not is_replayed(history.standing):
        return _sorted(_alone(s, releases, should=None) for s in spokes)
    for asking in askings(history.standing):
        act = asking.first
        earlier = {
            (s.rule, s.about)
            for s in spokes
            if s.level == "note" and key(s) < key(act) and s.act not in asking.ids
        }
        record = fold(kit, history.before(act), with_carried=False)
        would = proposed(act, rack)
        should = guard(kit, record, would, frozenset(noted | earlier))
        noted |= {(w.rule, w.about) for w in should if w.level == "note"}
        own = [s for s in spokes if s.act in asking.ids]
        paired |= {s.id for s in own}
        met = _met(kit, history, rack, asking, record, should)
        for warning in _both(should, own):
            said = [s for s in own if _names(s) == _names(warning)]
            rows.append(
                Spoken(
                    act=act.id,
                    delivery=_delivery(asking, warning, met, act.id),
                    at_ms=_at_ms(act),
                    rule=warning.rule,
                    level=warning.level,
                    about=warning.about,
                    sites=warning.sites,
                    basis=warning.basis,
                    said=bool(said),
                    should=warning in should,
                    released=_released(releases, asking.ids, warning),
                    events=tuple(s.id for s in said),
                    words=residual_words(kit, record, would, warning),
                )
            )
    rows += [_alone(s, releases, should=False) for s in spokes if s.id not in paired]
    return _sorted(rows)


def is_replayed(standing_events: Sequence[AnyEvent]) -> bool:
    """Whether a visit is short enough to be replayed."""
    acts = sum(isinstance(e, SyringePicked | IrrigantDelivered) for e in standing_events)
    return acts * len(standing_events) <= REPLAY_MOST


def _sorted(rows: Iterable[Spoken]) -> tuple[Spoken, ...]:
    return tuple(sorted(rows, key=lambda r: (r.at_ms, r.act, _RANK[r.level], r.rule, r.about)))


def proposed(act: SyringePicked | IrrigantDelivered, rack: Rack) -> ProposedAct:
    """A pick or a delivery as the act that the guard is asked about, its depth unknown."""
    if isinstance(act, IrrigantDelivered):
        return ProposedAct(
            contents=rack.contents(act),
            site=act.site,
            syringe=act.syringe,
            by=act.by,
            at_ms=_at_ms(act),
        )
    prepared = rack.preparation(act.syringe, act)
    return ProposedAct(
        contents=UNKNOWN_MIX if prepared is None else mixed(prepared.contents),
        site=act.site,
        syringe=act.syringe,
        at_ms=act.occurred_at_ms,
    )


def _at_ms(act: SyringePicked | IrrigantDelivered) -> int:
    """When the guard is to speak: at the pick, or as the delivery begins. [ms]"""
    if isinstance(act, IrrigantDelivered):
        return max(0, act.occurred_at_ms - (act.duration_ms or 0))
    return act.occurred_at_ms


def _met(
    kit: Kit,
    history: History,
    rack: Rack,
    asking: Asking,
    record: Record,
    should: Iterable[Warning],
) -> frozenset[tuple[str, str, str]]:
    """What still held when the announced delivery was made, at the site it went to."""
    delivery = asking.delivery
    grave = [w for w in should if w.level != "note"]
    if delivery is None or not grave:
        return frozenset()
    if asking.pick is not None:
        record = fold(kit, history.before(delivery), with_carried=False)
    still = guard(kit, record, proposed(delivery, rack))
    return frozenset(_names(w) for w in still)


def _delivery(
    asking: Asking, warning: Warning, met: frozenset[tuple[str, str, str]], act: str
) -> str | None:
    if asking.delivery is None:
        return None
    if asking.delivery.id == act or warning.level == "note" or _names(warning) in met:
        return asking.delivery.id
    return None


def _names(said: Warning | GuardSpoke) -> tuple[str, str, str]:
    return (said.rule, said.level, said.about)


def _both(should: Sequence[Warning], own: Sequence[GuardSpoke]) -> list[Warning]:
    """What should have been said, then what else was said."""
    found = {_names(w): w for w in should}
    for s in own:
        found.setdefault(_names(s), _as_warning(s))
    return list(found.values())


def _as_warning(said: GuardSpoke) -> Warning:
    return Warning(rule=said.rule, level=said.level, about=said.about, sites=said.sites)


def _released(
    releases: Iterable[HoldReleased], acts: tuple[str, ...], warning: Warning | GuardSpoke
) -> Released | None:
    if warning.level != "hold":
        return None
    for release in releases:
        if release.rule == warning.rule and release.act in acts:
            return Released(
                by=release.staff,
                ordered_by=release.ordered_by,
                reason=release.reason,
                event=release.id,
                at_ms=release.occurred_at_ms,
            )
    return None


def _alone(said: GuardSpoke, releases: Iterable[HoldReleased], *, should: bool | None) -> Spoken:
    """What was said, where nothing is known of what should have been."""
    return Spoken(
        act=said.act,
        delivery=None,
        at_ms=said.occurred_at_ms,
        rule=said.rule,
        level=said.level,
        about=said.about,
        sites=said.sites,
        basis=None,
        said=True,
        should=should,
        released=_released(releases, (said.act,), said),
        events=(said.id,),
    )
