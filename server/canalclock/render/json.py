"""A document as JSON: compact, UTF-8, fields in the order of their definition."""

import msgspec

from canalclock.core.record.values import Made


def json_bytes(document: Made) -> bytes:
    """
    A document's one spelling as JSON, with a final line feed.

    A file that was cut off is no JSON any more, so a half download is recognised.
    """
    return msgspec.json.encode(document) + b"\n"
