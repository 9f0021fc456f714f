"""What an author is likely to have meant by a key that the format does not have."""

import difflib
import re
from collections.abc import Sequence
from typing import Final

from canalclock.core.protocol.problems import Path

_STRENGTHS: Final = frozenset(
    {
        "strength", "concentration", "concentration_pct", "concentration_percent", "percent",
        "pct", "percentage", "conc", "strength_pct", "concentration_pct_ww", "pct_wv", "ppm",
        "concentration_ppm", "available_chlorine", "available_chlorine_pct", "concentration_mg_ml",
    }
)  # fmt: skip
_UNIT_ENDINGS: Final = {
    "volume_ml": r"volume(_?(ML|Ml|mL|cc|ul|uL|l|L|cl|litres?|liters?))?|ml|mL|ML|amount(_ml)?",
    "contact_s": r"contact(_?(sec|secs|seconds?|min|mins|minutes?|ms|S))?",
    "duration_s": r"duration(_?(sec|secs|seconds?|min|mins|minutes?|ms|S))?",
    "taper_pct": r"taper(_?(percent|mm_per_mm|mm|PCT|ratio))?",
    "tip_short_of_wl_mm": r"tip(_?(short|short_mm|mm|depth_mm|depth))?|short_of_wl(_mm)?",
    "size": r"apical_size|file_size|iso_size|size_mm",
    "by": r"removed_by|with",
    "check": r"what",
}


def unknown_key(key: str, known: Sequence[str]) -> tuple[str, str]:
    """
    The code and message for a key that is not among the known ones.

    Returns:
        `strength_without_basis` for a strength that does not say per cent of what;
        `unknown_key` with the nearest known key otherwise.
    """
    if key.lower() in _STRENGTHS and "concentration_pct_wv" in known:
        return (
            "strength_without_basis",
            f"found {key!r}, a strength without its basis; expected 'concentration_pct_wv' "
            "(grams per 100 mL). 5 % can also mean by weight, by volume or available chlorine: "
            "read the label, convert, and write per cent w/v",
        )
    for meant, pattern in _UNIT_ENDINGS.items():
        if meant in known and re.fullmatch(pattern, key):
            return (
                "unknown_key",
                f"found {key!r}, expected {meant!r}: the name carries the unit, "
                "upper and lower case matter",
            )
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.6)
    if near:
        return "unknown_key", f"found {key!r}, did you mean {near[0]!r}?"
    return "unknown_key", f"found {key!r}, expected one of: {', '.join(known)}"


def nearest(value: str, known: Sequence[str]) -> str:
    """A phrase that names the nearest of several known words, or all of a few, or nothing."""
    near = difflib.get_close_matches(value, known, n=1, cutoff=0.6)
    if near:
        return f"; did you mean {near[0]!r}?"
    return f"; expected one of: {', '.join(known)}" if 0 < len(known) <= 16 else ""


def where(path: Path) -> str:
    """The last key of a path, for a message."""
    return str(path[-1]) if path else "the file"
