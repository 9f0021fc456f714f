"""A kit is one document with one digest."""

import msgspec
import pytest

from canalclock.core.kit import Kit, kit_bytes, kit_digest, make_kit, read_kit
from canalclock.protocol_files import kit_for, shipped_catalogue, shipped_protocol


def test_a_kit_read_again_is_the_same_kit() -> None:
    kit = kit_for(shipped_protocol("chlorhexidine-last"))
    assert read_kit(kit_bytes(kit)) == kit
    assert kit_digest(read_kit(kit_bytes(kit))) == kit_digest(kit)


def test_every_protocol_gives_another_digest_and_so_does_none() -> None:
    kits = [kit_for(None), *(kit_for(shipped_protocol(n)) for n in ("open-apex", "retreatment"))]
    assert len({kit_digest(k) for k in kits}) == 3


def test_a_kit_carries_the_whole_catalogue_even_without_a_protocol() -> None:
    kit = make_kit(None, shipped_catalogue())
    assert kit.protocol is None
    assert kit.catalogue == shipped_catalogue()


@pytest.mark.parametrize(
    "document", [b"{}", b"", b"[]", b'{"format":1,"protocol":null}', b'{"catalogue":3}']
)
def test_what_is_no_kit_is_refused(document: bytes) -> None:
    with pytest.raises(msgspec.DecodeError):
        read_kit(document)


def test_a_kit_with_a_key_nobody_knows_is_refused() -> None:
    written = kit_bytes(kit_for(None)).replace(b'{"format":1,', b'{"format":1,"extra":2,')
    with pytest.raises(msgspec.ValidationError, match="extra"):
        read_kit(written)


def test_a_protocol_that_is_not_shipped_is_told_with_those_that_are() -> None:
    with pytest.raises(KeyError, match="mature-apex-one-visit"):
        shipped_protocol("nope")


def test_a_kit_is_frozen() -> None:
    kit: Kit = kit_for(None)
    with pytest.raises(AttributeError):
        kit.protocol = None  # type: ignore[misc]
