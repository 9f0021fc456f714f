"""The forms of the words that protocols, events and doors name things with, as patterns.

Not here: whether the thing named exists.
"""

from typing import Final

END: Final = r"$(?!\n)"
"""The very end of a text. `$` alone lets a line break follow in Python, not in JavaScript."""

ID: Final = r"^[\x21-\x7e]{1,64}" + END
SLUG: Final = r"^[a-z0-9][a-z0-9_-]{0,63}" + END
DOTTED_SLUG: Final = r"^[a-z0-9][a-z0-9_.-]{0,63}" + END
SITE: Final = r"^[a-z0-9][a-z0-9_-]{0,23}" + END
KIND: Final = r"^[a-z][a-z0-9_]{0,63}" + END
TOOTH: Final = r"^[1-8][1-8]" + END
DIGEST: Final = r"^[0-9a-f]{64}" + END
COLOUR: Final = r"^#[0-9a-f]{6}" + END
UUID7: Final = r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}" + END

_WORD: Final = "{} lower-case letters, digits, {}, beginning with a letter or digit"
IN_WORDS: Final[dict[str, str]] = {
    ID: "1 to 64 visible ASCII characters without spaces",
    SLUG: _WORD.format("1 to 64", "'-' and '_'"),
    DOTTED_SLUG: _WORD.format("1 to 64", "'-', '_' and '.'"),
    SITE: "`chamber` or a canal: " + _WORD.format("1 to 24", "'-' and '_'"),
    KIND: "1 to 64 lower-case letters, digits and '_', beginning with a letter",
    TOOTH: "an ISO 3950 code of two digits, such as 16",
    DIGEST: "a digest of 64 hexadecimal digits in lower case",
    COLOUR: "a colour such as #0a7f5c",
    UUID7: "a UUID of version 7 in lower case",
}
"""Each form for a message."""
