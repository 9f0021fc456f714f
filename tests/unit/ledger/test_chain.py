"""The digest by its definition, worked without the function under test."""

import hashlib

from canalclock.ledger.chain import FIRST_PREV, entry_digest, line_digest


def test_the_digest_is_the_sum_of_its_definition() -> None:
    line = b'{"id":"x"}'
    text = "cc1\n" + "0" * 64 + "\nv\n1\n1790000000000\n" + hashlib.sha256(line).hexdigest() + "\n"
    assert (
        entry_digest(FIRST_PREV, "v", 1, 1_790_000_000_000, line_digest(line))
        == hashlib.sha256(text.encode()).hexdigest()
    )
