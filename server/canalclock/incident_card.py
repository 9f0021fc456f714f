"""The accident card: general published first steps in our words, until a clinic has approved its
own. It advises no dose, and says who decides.

Beside each step stand its sources and how we know: `found` in what we read, `memory` where the
cited work was recalled and the wording has to be checked against it. Not here: the record of an
incident (events), and what it has to hold.
"""

from typing import Final, Literal

from msgspec import Struct


class Step(Struct, frozen=True, kw_only=True):
    """One step, the numbers of its sources (from 1), and how it is known."""

    text: str
    sources: tuple[int, ...]
    basis: Literal["found", "memory"]


class Card(Struct, frozen=True, kw_only=True):
    """A card of steps; `approved` = by this clinic."""

    title: str
    approved: bool
    notice: str
    steps: tuple[str, ...]
    grounds: tuple[Step, ...]
    """The same steps with what each rests on."""
    record: tuple[str, ...]
    """What the record of an incident should hold, once there is time."""
    sources: tuple[str, ...]


_SOURCES: Final = (
    "Farook SA, Shah V, Lenouvel D, et al. Guidelines for management of sodium hypochlorite "
    "extrusion injuries. British Dental Journal 2014;217:679-684.",
    "Spencer HR, Ike V, Brennan PA. Review: the use of sodium hypochlorite in endodontics: "
    "potential complications and their management. British Dental Journal 2007;202:555-559.",
    "Hülsmann M, Hahn W. Complications during root canal irrigation: literature review and "
    "case reports. International Endodontic Journal 2000;33:186-193.",
    "Published case reports, among them Bowden et al. 2006 and Al-Sebaei et al. 2015 (airway), "
    "and Witton et al. 2005 (nerves).",
    "Optometry guidance on hypochlorite in the eye; national poisons information services.",
    "Standard operating procedure for hypochlorite harm and near misses. Primary Dental Journal "
    "2023;12(1):97-109.",
)

_STEPS: Final = (
    Step(
        text="Stop irrigating. Stay calm, and note the time of the first sign.",
        sources=(2,),
        basis="memory",
    ),
    Step(
        text="Tell the patient at once what has happened and what comes next.",
        sources=(2, 6),
        basis="found",
    ),
    Step(
        text="Let bleeding from the canal run; flush gently with saline and aspirate. Do not "
        "close the tooth under pressure.",
        sources=(3, 4),
        basis="memory",
    ),
    Step(
        text="Pain control, a regional block included, is the clinician's to decide.",
        sources=(1, 2),
        basis="memory",
    ),
    Step(
        text="Cold compresses on the first day, warm ones after that.",
        sources=(3, 4),
        basis="memory",
    ),
    Step(
        text="Medicines only as the clinician judges; severe cases are treated in hospital.",
        sources=(1, 4),
        basis="found",
    ),
    Step(
        text="Severe or spreading swelling, trouble breathing or swallowing, signs of the eye or "
        "of a nerve: refer to a hospital urgently.",
        sources=(1, 4),
        basis="found",
    ),
    Step(
        text="In an eye: flush at once with much water or saline, then have the eye examined.",
        sources=(5,),
        basis="found",
    ),
    Step(
        text="On skin, swallowed or breathed in: follow the national poisons guidance.",
        sources=(1, 5),
        basis="found",
    ),
    Step(
        text="Record what was seen and done, with times. Report it where the national body asks; "
        "report near misses too.",
        sources=(6,),
        basis="found",
    ),
)

_RECORD: Final = (
    "Who was present, by role; tooth and canal",
    "Working length and how it was measured; apical size and taper; how the tip stood to it",
    "Open apex, resorption, perforation, sinus, nerve, earlier incident; isolation",
    "Needle: gauge, tip, depth; solution, strength, lot, use-by",
    "Volume in that canal up to then, and in that step; how long the delivery took; activation",
    "First sign, with its time; further signs and pain, each with its time",
    "What was done, with times; who was called; what the patient was told",
    "Follow-up: appointments, what was found at each, when it was closed; report number",
)

INCIDENT: Final = Card(
    title="Irrigant beyond the root canal",
    approved=False,
    notice="General published first steps in our words, not approved by this clinic. They do not "
    "replace licensed judgement or local codes.",
    steps=tuple(step.text for step in _STEPS),
    grounds=_STEPS,
    record=_RECORD,
    sources=_SOURCES,
)
