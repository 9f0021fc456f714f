"""The questions of the opening gate, and which of them an irrigant makes necessary.

What the questions guard against: accidents with hypochlorite beyond the root, and allergy. An
answer "unknown" is not "no".

Source: Guivarc'h et al., J Endod 2017;43(1):16-24, doi 10.1016/j.joen.2016.09.023; Pemberton and
Gibson, Br Dent J 2012, doi 10.1038/sj.bdj.2012.1086; the choice of questions is ours.
"""

from collections.abc import Iterable
from typing import Final

from canalclock.core.protocol.definition import Catalogue

QUESTIONS: Final[dict[str, tuple[str, ...]]] = {
    "confirm": ("label_confirmed", "tooth_confirmed"),
    "allergy": (
        "allergy_sodium_hypochlorite", "allergy_chlorhexidine", "allergy_latex", "allergy_other",
    ),
    "tooth": (
        "open_apex", "resorption", "perforation", "fenestration", "sinus", "nerve",
        "earlier_incident",
    ),
    "set_up": (
        "isolation", "eyewear_bib", "needle_checked", "syringe_read_aloud", "suction",
        "incident_card",
    ),
}  # fmt: skip
"""Questions by group; beside them `allergy_` and any irrigant of the catalogue."""

_BEYOND_THE_ROOT: Final = ("open_apex", "resorption", "perforation", "earlier_incident")


def known_questions(catalogue: Catalogue) -> tuple[str, ...]:
    """Every question that a protocol may ask."""
    listed = tuple(q for group in QUESTIONS.values() for q in group)
    allergies = tuple(f"allergy_{i.irrigant}" for i in catalogue.irrigants)
    return tuple(dict.fromkeys((*listed, *allergies)))


def needed_questions(irrigants: Iterable[str], catalogue: Catalogue) -> dict[str, str]:
    """
    The questions that a protocol with these irrigants has to ask, each with the irrigant why.

    Hypochlorites ask for allergy and for ways beyond the root; antiseptics ask for allergy.
    """
    entries = {i.irrigant: i for i in catalogue.irrigants}
    needed: dict[str, str] = {}
    for irrigant in irrigants:
        entry = entries.get(irrigant)
        if entry is None:
            continue
        if entry.kind in ("hypochlorite", "antiseptic"):
            needed.setdefault(f"allergy_{entry.reacts_as}", irrigant)
        if entry.kind == "hypochlorite":
            for question in _BEYOND_THE_ROOT:
                needed.setdefault(question, irrigant)
    return needed
