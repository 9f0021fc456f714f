"""How deep an act reaches, by what was known of the canal when it happened."""

from canalclock.core.protocol.definition import Reach
from canalclock.core.record.events import (
    Activation,
    CanalSet,
    CanalState,
    Join,
    NeedleTip,
)
from canalclock.core.record.values import Canal


class Known:
    """What is known of one canal while events are read in order; private to the fold."""

    __slots__ = (
        "apical_size", "canal", "instruments_um", "joins", "name", "orifice_um", "reference_point",
        "state", "taper_um_per_mm", "working_length_um",
    )  # fmt: skip

    def __init__(self, canal: str) -> None:
        """A canal of which nothing is known but its name."""
        self.canal = canal
        self.name: str | None = None
        self.state: CanalState | None = None
        self.orifice_um: int | None = None
        self.working_length_um: int | None = None
        self.apical_size: int | None = None
        self.taper_um_per_mm: int | None = None
        self.reference_point: str | None = None
        self.joins: Join | None = None
        self.instruments_um: int | None = None

    def told(self, event: CanalSet) -> None:
        """Take over what an event says; its nulls leave what was known."""
        for name in (
            "name", "state", "orifice_um", "working_length_um", "apical_size",
            "taper_um_per_mm", "reference_point", "joins",
        ):  # fmt: skip
            value = getattr(event, name)
            if value is not None:
                setattr(self, name, value)

    def filed(self, length_um: int | None) -> None:
        """An instrument has been to a length. [µm]"""
        if length_um is not None:
            self.instruments_um = max(self.instruments_um or 0, length_um)

    @property
    def top_um(self) -> int:
        """The orifice, or the reference point while it is unknown. [µm]"""
        return self.orifice_um or 0

    @property
    def open_to_chamber(self) -> bool:
        """Whether what is in the chamber can run into it."""
        return self.state not in ("filled", "left")

    def within_bounds(self, bottom_um: int) -> int:
        """A depth cut to where instruments had been and to the working length. [µm]"""
        for bound in (self.instruments_um, self.working_length_um):
            if bound is not None and bound < bottom_um:
                bottom_um = bound
        return bottom_um

    def value(self) -> Canal:
        """The canal as now known, frozen."""
        return Canal(**{name: getattr(self, name) for name in self.__slots__})


def tip_reach_um(reach: Reach, needle_tip: NeedleTip | None) -> int:
    """How far beyond a needle's tip fresh solution is expected. [µm]"""
    for tip in reach.tips:
        if tip.needle_tip == needle_tip:
            return tip.reach_um
    return reach.unknown_tip_reach_um


def activation_reach_um(reach: Reach, activation: Activation) -> int:
    """How far beyond its tip an activation is expected to work; 0 if the kit has none. [µm]"""
    for entry in reach.activations:
        if entry.activation == activation:
            return entry.reach_um
    return 0
