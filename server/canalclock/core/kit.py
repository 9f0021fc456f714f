"""The kit: protocol + irrigants + pairs + reach constants, one immutable document with a digest.

A visit pins its kit by digest, so an old visit is always read by what held when it was made.
Not here: canals and syringes (plan.py), files (protocol/reading.py).
"""

import hashlib

import msgspec

from canalclock.core.protocol.definition import Catalogue, Fixed, Protocol

KIT_FORMAT = 1


class Kit(Fixed, frozen=True, kw_only=True):
    """What a visit is run and read by; `protocol` null = recorded without a protocol."""

    format: int = KIT_FORMAT
    protocol: Protocol | None = None
    catalogue: Catalogue


def make_kit(protocol: Protocol | None, catalogue: Catalogue) -> Kit:
    """
    A kit of a protocol (or of none) and a catalogue.

    The whole catalogue goes in, not only what the protocol names: what happens at the chair may
    be another irrigant, and the guard has to know it.
    """
    return Kit(protocol=protocol, catalogue=catalogue)


def kit_bytes(kit: Kit) -> bytes:
    """The one spelling of a kit: compact JSON, fields in the order of their definition."""
    return msgspec.json.encode(kit)


def kit_digest(kit: Kit) -> str:
    """SHA-256 of the kit's one spelling, lower-case hex."""
    return hashlib.sha256(kit_bytes(kit)).hexdigest()


def read_kit(document: bytes) -> Kit:
    """
    A kit from its JSON document.

    Raises:
        msgspec.DecodeError: Not JSON, or not a kit; the message names the path.
    """
    return msgspec.json.decode(document, type=Kit)
