"""What each syringe holds, and what a delivery therefore brought."""

from bisect import bisect_left
from collections.abc import Iterable

from canalclock.core.protocol.definition import UNKNOWN
from canalclock.core.record.contents import mixed
from canalclock.core.record.events import (
    AnyEvent,
    Component,
    IrrigantDelivered,
    NeedleTip,
    SyringePrepared,
)
from canalclock.core.record.order import key
from canalclock.core.record.values import Key, Mix

UNKNOWN_MIX: Mix = (Component(irrigant=UNKNOWN),)


def brought(delivery: IrrigantDelivered, prepared: SyringePrepared | None) -> Mix:
    """What a delivery brought, given what its syringe was prepared with."""
    if delivery.contents is not None:
        return mixed(delivery.contents)
    return UNKNOWN_MIX if prepared is None else mixed(prepared.contents)


class Rack:
    """Every preparation on record, to be asked what a syringe held when it was used."""

    def __init__(self, standing: Iterable[AnyEvent]) -> None:
        """Take note of each preparation; `standing` in the order of keys."""
        self._prepared: dict[str, list[SyringePrepared]] = {}
        self._keys: dict[str, list[Key]] = {}
        for event in standing:
            if isinstance(event, SyringePrepared):
                self._prepared.setdefault(event.syringe, []).append(event)
                self._keys.setdefault(event.syringe, []).append(key(event))

    def preparation(
        self, syringe: str | None, before: AnyEvent | None = None
    ) -> SyringePrepared | None:
        """The last preparation before an event, else the first there is; None if there is none."""
        known = self._prepared.get(syringe or "")
        if known is None:
            return None
        if before is None or len(known) == 1:
            return known[-1]
        earlier = bisect_left(self._keys[known[0].syringe], key(before))
        return known[max(0, earlier - 1)]

    def contents(self, delivery: IrrigantDelivered) -> Mix:
        """What a delivery brought: its own word, else its syringe's; `unknown` for want of both."""
        return brought(delivery, self.preparation(delivery.syringe, delivery))

    def needle_tip(self, delivery: IrrigantDelivered) -> NeedleTip | None:
        """The tip of the delivery's needle; None = not on record."""
        prepared = self.preparation(delivery.syringe, delivery)
        return None if prepared is None else prepared.needle_tip

    def refilled_otherwise(self, syringe: str) -> bool:
        """Whether this id was prepared more than once with different contents."""
        return len({mixed(p.contents) for p in self._prepared.get(syringe, [])}) > 1
