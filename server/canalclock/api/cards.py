"""Cards that help at once; what they say stands in the modules they are named after."""

from litestar import get

from canalclock.incident_card import INCIDENT, Card


@get("/api/cards/incident")
async def incident_card() -> Card:
    """What to do first when an irrigant went beyond the root canal."""
    return INCIDENT
