"""What keeps https from starting.

TlsFault
├── BadName          a name that no certificate can hold
├── BadFile          a file that cannot be read, or does not hold what it should
├── NotCovered       a certificate or an authority that does not reach to a name
└── OutOfTime        ended, or not begun, by this machine's clock
"""


class TlsFault(Exception):
    """Https cannot start; the text says what was found, what was expected, and where."""


class BadName(TlsFault):
    """A name that no certificate can hold."""


class BadFile(TlsFault):
    """A file that cannot be read or written, or does not hold what it should."""


class NotCovered(TlsFault):
    """A certificate or an authority that does not reach to a name."""


class OutOfTime(TlsFault):
    """Ended, or not begun, by this machine's clock."""
