"""Teeth by ISO 3950 code, two older notations, and the canals each tooth may have.

Canals and lengths are defaults for planning: they never forbid another canal or another length.
Not here: shapes and volumes of canals (dosing/).
"""

from typing import Final

from msgspec import Struct

_QUADRANTS: Final = {1: "UR", 2: "UL", 3: "LL", 4: "LR"}
_SYMBOLS: Final = {1: "\u23cc", 2: "\u23bf", 3: "\u23be", 4: "\u23cb"}
"""The corner of the quadrant as the examiner sees it: vertical and horizontal line."""

WORKING_LENGTH_LEAST_UM: Final = 5_000
WORKING_LENGTH_MOST_UM: Final = 35_000
"""Working lengths outside these are taken for slips. [µm]  A choice, primary teeth included."""


class ToothForm(Struct, frozen=True, kw_only=True):
    """What is usual for a tooth; a typical tooth, not this one."""

    canals: tuple[str, ...]
    """Default canals."""
    also: tuple[str, ...] = ()
    """Further canals to suggest by name; any other name is free."""
    fewest: int
    most: int
    """Range of canals seen. [canals]"""
    length_um: int | None = None
    """Crown and root together. [µm]"""
    palatal_length_um: int | None = None
    """The same along the palatal root, where it differs. [µm]"""


def tooth_of(text: str) -> tuple[int, int]:
    """
    Quadrant and position of an ISO 3950 code.

    Args:
        text: Two digits: quadrant 1 to 4 with position 1 to 8 (permanent), quadrant 5 to 8 with
            position 1 to 5 (primary).

    Returns:
        Quadrant and position.

    Raises:
        ValueError: No such tooth.

    Examples:
        >>> tooth_of("16"), tooth_of("85")
        ((1, 6), (8, 5))

    Source:
        ISO 3950, Dentistry - Designation system for teeth and areas of the oral cavity.
    """
    if len(text) == 2 and text.isascii() and text.isdigit():
        q, n = int(text[0]), int(text[1])
        if (1 <= q <= 4 and 1 <= n <= 8) or (5 <= q <= 8 and 1 <= n <= 5):
            return q, n
    raise ValueError(
        f"found tooth {text!r}, expected an ISO 3950 code: 11 to 48 (second digit 1 to 8) or "
        "51 to 85 (second digit 1 to 5)"
    )


def all_teeth() -> tuple[str, ...]:
    """The 52 codes: permanent, then primary."""
    permanent = [f"{q}{n}" for q in range(1, 5) for n in range(1, 9)]
    return (*permanent, *(f"{q}{n}" for q in range(5, 9) for n in range(1, 6)))


def is_primary(tooth: str) -> bool:
    """Whether a tooth is of the primary dentition."""
    return tooth_of(tooth)[0] >= 5


def universal(tooth: str) -> str:
    """
    A tooth in Universal notation: 1 to 32, primary A to T.

        q=1: 9-n   q=2: 8+n   q=3: 25-n   q=4: 24+n
        q=5: chr(70-n)   q=6: chr(69+n)   q=7: chr(80-n)   q=8: chr(79+n)

    Args:
        tooth: ISO 3950 code.

    Raises:
        ValueError: No such tooth.

    Examples:
        >>> universal("11"), universal("48"), universal("55")
        ('8', '32', 'A')

    Source:
        Crosswalk of all teeth in the HL7 dental data exchange guide; the last row (85 = T) was
        recalled. Formulas are ours, checked against every row.
    """
    q, n = tooth_of(tooth)
    match q:
        case 1:
            return str(9 - n)
        case 2:
            return str(8 + n)
        case 3:
            return str(25 - n)
        case 4:
            return str(24 + n)
        case 5:
            return chr(70 - n)
        case 6:
            return chr(69 + n)
        case 7:
            return chr(80 - n)
        case _:
            return chr(79 + n)


def from_universal(text: str) -> str:
    """
    The ISO 3950 code of a Universal number or letter.

    Raises:
        ValueError: Neither 1 to 32 nor A to T.

    Examples:
        >>> from_universal("8"), from_universal("T")
        ('11', '85')
    """
    tooth = _BY_UNIVERSAL.get(text)
    if tooth is None:
        raise ValueError(f"found {text!r}, expected 1 to 32, or A to T in upper case")
    return tooth


def symbol(tooth: str) -> str:
    """
    A tooth in quadrant-symbol notation: position within the corner of its quadrant.

    The digit 1 to 8 (primary A to E) stands toward the midline side: right quadrants before the
    corner, left quadrants after it.

    Raises:
        ValueError: No such tooth.

    Examples:
        >>> symbol("16") == "6\\u23cc", symbol("26") == "\\u23bf6"
        (True, True)

    Source:
        Unicode Standard, Miscellaneous Technical, dentistry notation symbols U+23BE to U+23CC.
    """
    q, n = tooth_of(tooth)
    place = str(n) if q <= 4 else chr(64 + n)
    corner = _SYMBOLS[_mouth(q)]
    return place + corner if _mouth(q) in (1, 4) else corner + place


def from_symbol(text: str) -> str:
    """
    The ISO 3950 code of a tooth in quadrant-symbol notation.

    Raises:
        ValueError: Not a position 1 to 8 or A to E within a corner, on the side it belongs.
    """
    tooth = _BY_SYMBOL.get(text)
    if tooth is None:
        raise ValueError(
            f"found {text!r}, expected 1 to 8 or A to E with the corner of its quadrant"
        )
    return tooth


def quadrant_name(tooth: str) -> str:
    """
    The same without symbols: UR6, UL6, LL6, LR6; primary URE and so on.

    Examples:
        >>> quadrant_name("36"), quadrant_name("55")
        ('LL6', 'URE')
    """
    q, n = tooth_of(tooth)
    return _QUADRANTS[_mouth(q)] + (str(n) if q <= 4 else chr(64 + n))


def form_of(tooth: str) -> ToothForm:
    """
    What is usual for a tooth.

    Raises:
        ValueError: No such tooth.

    Source:
        Lengths: crown and root of a dental-anatomy table; lower molars by the classical tables
        (recalled). Canals: usual counts (recalled) and reviews: second mesiobuccal canal of the
        upper first molar 64 to 77 %, of the second 34 %; lower first premolar one canal 70 %;
        lower first molar two roots and three canals commonest; primary molars by the review of
        Wen et al., Eur Arch Paediatr Dent 2025. Sources disagree: suggestions, not findings.
    """
    q, n = tooth_of(tooth)
    upper = _mouth(q) in (1, 2)
    if q >= 5:
        return (_PRIMARY_UPPER if upper else _PRIMARY_LOWER)[n - 1]
    return (_UPPER if upper else _LOWER)[n - 1]


def default_canals(tooth: str) -> tuple[str, ...]:
    """The canals to offer for a tooth, before anybody has looked."""
    return form_of(tooth).canals


def is_plausible(tooth: str, canal: str) -> bool:
    """Whether a canal's name is usual for a tooth; free names are allowed all the same."""
    form = form_of(tooth)
    return canal in (*form.canals, *form.also)


def _mouth(q: int) -> int:
    """Quadrant 1 to 4 of either dentition."""
    return q if q <= 4 else q - 4


def _form(
    canals: str,
    also: str,
    seen: tuple[int, int],
    length_mm: float | None = None,
    palatal_mm: float | None = None,
) -> ToothForm:
    return ToothForm(
        canals=tuple(canals.split()),
        also=tuple(also.split()),
        fewest=seen[0],
        most=seen[1],
        length_um=None if length_mm is None else round(length_mm * 1000),
        palatal_length_um=None if palatal_mm is None else round(palatal_mm * 1000),
    )


_UPPER: Final = (
    _form("single", "", (1, 2), 23.5),
    _form("single", "", (1, 2), 22.0),
    _form("single", "", (1, 2), 27.0),
    _form("b p", "single mb db", (1, 3), 22.5),
    _form("single", "b p mb db", (1, 3), 22.5),
    _form("mb1 mb2 db p", "mb3 db2 p2", (3, 5), 19.5, 20.5),
    _form("mb1 db p", "mb2 b", (2, 4), 18.0, 19.0),
    _form("mb1 db p", "mb2 b single", (1, 4), 17.5),
)
_LOWER: Final = (
    _form("single", "b l", (1, 2), 21.5),
    _form("single", "b l", (1, 2), 23.5),
    _form("single", "b l", (1, 2), 27.0),
    _form("single", "b l mb db", (1, 3), 22.5),
    _form("single", "b l mb db", (1, 3), 22.5),
    _form("mb ml d", "db dl mm m", (2, 5), 21.5),
    _form("mb ml d", "db dl mm m c", (1, 4), 20.0),
    _form("m d", "mb ml db dl c single", (1, 4), 18.0),
)
_PRIMARY_FRONT: Final = _form("single", "", (1, 2))
_PRIMARY_UPPER: Final = (
    _PRIMARY_FRONT,
    _PRIMARY_FRONT,
    _PRIMARY_FRONT,
    _form("mb db p", "mb2", (2, 4)),
    _form("mb db p", "mb2", (3, 4)),
)
_PRIMARY_LOWER: Final = (
    _PRIMARY_FRONT,
    _PRIMARY_FRONT,
    _PRIMARY_FRONT,
    _form("mb ml db dl", "d m", (2, 4)),
    _form("mb ml db dl", "d m", (2, 5)),
)

_BY_UNIVERSAL: Final = {universal(t): t for t in all_teeth()}
_BY_SYMBOL: Final = {symbol(t): t for t in all_teeth()}
