"""The accident card: general published first steps, until the clinic has approved its own.

The steps are in our own words and advise no dose. Not here: the record of an incident (events).
"""

from typing import Final

from litestar import get
from msgspec import Struct


class Card(Struct, frozen=True, kw_only=True):
    """A card of steps; `approved` = by this clinic."""

    title: str
    approved: bool
    notice: str
    steps: tuple[str, ...]
    sources: tuple[str, ...]


INCIDENT: Final = Card(
    title="Irrigant beyond the root canal",
    approved=False,
    notice="General published first steps, not approved by this clinic. They do not replace "
    "licensed judgement or local codes.",
    steps=(
        "Stop irrigating. Stay calm, and note the time of the first sign.",
        "Tell the patient at once what has happened and what comes next.",
        "Let bleeding from the canal run; flush gently with saline and aspirate. Do not close "
        "the tooth under pressure.",
        "The clinician sees to pain control, a regional block included.",
        "Cold compresses on the first day, warm ones after that.",
        "Medicines only as the clinician judges.",
        "Severe, spreading, breathing, eye or nerve signs: urgent referral to a hospital.",
        "In an eye: flush at once with much water or saline, then have the eye examined.",
        "On skin, swallowed or breathed in: follow the national poisons guidance.",
        "Record what was seen and done, with times. Report it where the national body asks; "
        "report near misses too.",
    ),
    sources=(
        "Farook SA, Shah V, Lenouvel D, et al. Guidelines for management of sodium hypochlorite "
        "extrusion injuries. British Dental Journal 2014;217:679-684.",
        "Spencer HR, Ike V, Brennan PA. Review: the use of sodium hypochlorite in endodontics: "
        "potential complications and their management. British Dental Journal 2007;202:555-559.",
        "Hülsmann M, Hahn W. Complications during root canal irrigation: literature review and "
        "case reports. International Endodontic Journal 2000;33:186-193.",
    ),
)


@get("/api/cards/incident")
async def incident_card() -> Card:
    """What to do first when an irrigant went beyond the root canal."""
    return INCIDENT
