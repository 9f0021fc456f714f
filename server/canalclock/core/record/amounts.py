"""Amounts as a syringe's readings leave them: what was measured is shared among what was not."""

from collections.abc import Mapping, Sequence

from canalclock.core.record.events import (
    AnyEvent,
    IrrigantDelivered,
    SyringePrepared,
    SyringeRead,
)
from canalclock.core.record.values import Finding

SHARED = ("planned", "estimated")
"""Ways of knowing that give way to a reading."""


def amounts(standing: Sequence[AnyEvent]) -> tuple[Mapping[str, int | None], list[Finding]]:
    """
    Volume of each delivery once the readings of its syringe are taken into account.

    Args:
        standing: Standing events in the order of keys.

    Returns:
        Volume by delivery id. [µL], None = unknown; and findings `reading_conflict`.
    """
    volumes: dict[str, int | None] = {}
    findings: list[Finding] = []
    level: dict[str, int | None] = {}
    since: dict[str, list[IrrigantDelivered]] = {}
    for event in standing:
        match event:
            case SyringePrepared():
                level[event.syringe] = event.volume_ul
                since[event.syringe] = []
            case IrrigantDelivered():
                volumes[event.id] = event.volume_ul
                if event.syringe is not None:
                    since.setdefault(event.syringe, []).append(event)
            case SyringeRead():
                left = 0 if event.emptied else event.left_ul
                before = level.get(event.syringe)
                stretch = since.get(event.syringe, [])
                if left is not None and before is not None:
                    used = before - left
                    shares = shared(stretch, used)
                    if shares is not None:
                        volumes.update(shares)
                    elif _contradicts(stretch, used):
                        findings.append(
                            Finding(
                                rule="reading_conflict",
                                severity="notice",
                                events=(*(d.id for d in stretch), event.id),
                                about=event.syringe,
                            )
                        )
                if left is not None:
                    level[event.syringe] = left
                    since[event.syringe] = []
            case _:
                pass
    return volumes, findings


def shared(stretch: Sequence[IrrigantDelivered], used_ul: int) -> dict[str, int] | None:
    """
    What is left of a measured amount, shared in proportion among planned and estimated deliveries.

        share_i = v_i x (used - measured) / sum(v),   largest remainders first

    Args:
        stretch: Deliveries between two known levels of one syringe, by key.
        used_ul: What the syringe lost between them. [µL]

    Returns:
        Volume by id [µL], summing exactly with the measured ones to `used_ul`; None if it cannot
        be shared.

    Source:
        Largest remainder method (definition).
    """
    if any(d.volume_ul is None for d in stretch):
        return None
    loose = [(d.id, d.volume_ul or 0) for d in stretch if d.how in SHARED]
    whole = sum(volume for _, volume in loose)
    target = used_ul - sum(d.volume_ul or 0 for d in stretch if d.how not in SHARED)
    if whole == 0 or target < 0:
        return None
    shares = {id_: volume * target // whole for id_, volume in loose}
    spare = target - sum(shares.values())
    by_fraction = sorted(range(len(loose)), key=lambda i: (-(loose[i][1] * target % whole), i))
    for i in by_fraction[:spare]:
        shares[loose[i][0]] += 1
    return shares


def _contradicts(stretch: Sequence[IrrigantDelivered], used_ul: int) -> bool:
    known = [d.volume_ul for d in stretch if d.volume_ul is not None]
    return len(known) == len(stretch) and sum(known) != used_ul
