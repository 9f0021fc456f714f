"""Opening a visit through its screen."""

import re
from collections.abc import Sequence
from typing import Final

from tests.browser.person import CHAIR, Person

YES: Final = (
    "Label is this patient's",
    "Tooth and canals are right",
    "Isolation on, checked for leaks",
    "Eyewear for all, bib on",
    "Needle type right, depth stop set, moves freely",
    "Each syringe read aloud: name and strength",
    "Suction on",
    "Incident card is the current one",
)
NO: Final = (
    "Reaction to hypochlorite",
    "Reaction to chlorhexidine",
    "Reaction to latex",
    "Another allergy that matters here",
    "Open apex",
    "Resorption",
    "Perforation",
    "Root through the bone",
    "Roots close to the sinus",
    "Roots close to a nerve",
    "Earlier incident on this tooth",
)
ORIFICE_UM: Final = 9000
"""What one tap on "more" makes of an unknown orifice. [µm]"""


def open_upper_molar(me: Person, label: str, protocol: str, syringes: Sequence[str]) -> str:
    """
    Open tooth 16 in room 1, every question answered, every orifice 9 mm from its cusp.

    Args:
        me: Who; at the rooms, and known to the device.
        label: The case label, the only thing typed.
        protocol: The protocol's title.
        syringes: Titles of the solutions that get a 30 G side vented needle.

    Returns:
        The visit's id; the chair is on the screen.
    """
    page = me.page
    me.tap(page.get_by_role("link", name="Open a visit in Room 1"))
    me.see(me.button("16"))
    me.press("16")
    me.type("Case label", label)
    me.press("Dentist 1")
    me.tap(page.get_by_role("button", name=re.compile(f"^{protocol}")))
    for canal in ("MB1", "MB2", "DB", "P"):
        me.tap(page.locator("summary", has=page.get_by_text(canal, exact=True)))
        me.press(f"More: {canal} Orifice")
    for question, answer in [*((q, "Yes") for q in YES), *((q, "No") for q in NO)]:
        me.press(answer, page.get_by_role("group", name=question, exact=True))
    for title in syringes:
        named = page.locator("strong", has_text=re.compile(f"^{title}$"))
        syringe = page.locator("li.syringe", has=named)
        me.tap(syringe.locator("summary"))
        me.press("More: Needle", syringe)
        syringe.get_by_label(re.compile("^Tip")).select_option("side_vented")
        me.tap(syringe.locator("summary"))
    me.press("Open the visit")
    me.see(page.get_by_test_id("site-mb1"))
    match = CHAIR.search(page.url)
    assert match is not None
    return match.group(1)
