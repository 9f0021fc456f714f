"""A protocol has one spelling, and reading it again gives the same protocol."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from canalclock.core.protocol.definition import Protocol
from canalclock.core.protocol.reading import read_protocol
from canalclock.core.protocol.trade import TRADES, written_amount, written_key
from canalclock.core.protocol.writing import protocol_toml
from canalclock.core.quantities import bound_exactly
from canalclock.protocol_files import shipped_catalogue, shipped_protocols

VALID = sorted((Path(__file__).parents[3] / "protocols" / "valid").glob("*.toml"))


def read(data: bytes) -> Protocol:
    protocol = read_protocol(data, "written", shipped_catalogue())
    assert isinstance(protocol, Protocol), protocol
    return protocol


@pytest.mark.parametrize("protocol", shipped_protocols(), ids=lambda p: p.protocol)
def test_what_is_written_is_read_as_the_same(protocol: Protocol) -> None:
    written = protocol_toml(protocol)
    assert read(written) == protocol
    assert protocol_toml(read(written)) == written


@pytest.mark.parametrize("path", VALID, ids=lambda p: p.stem)
def test_the_authors_spelling_does_not_matter(path: Path) -> None:
    protocol = read(path.read_bytes())
    assert read(protocol_toml(protocol)) == protocol


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40))
def test_every_text_survives(words: str) -> None:
    protocol = structs.replace(shipped_protocols()[0], title=words, cautions=(words, "b"))
    assert read(protocol_toml(protocol)) == protocol


@given(st.integers(0, 2**53 - 1), st.sampled_from(TRADES))
def test_amounts_go_to_the_trades_unit_and_back_exactly(small: int, trade: object) -> None:
    unit = next(t for t in TRADES if t == trade)
    written = written_amount(small, unit)
    assert bound_exactly(Decimal(written), unit.factor, unit.unit, unit.small_unit) == small


def test_names_carry_the_trades_unit() -> None:
    names = ("volume_ul", "contact_limit_ms", "tip_short_of_wl_um", "concentration_mg_per_l",
             "taper_um_per_mm", "last_3mm_ms", "step")  # fmt: skip
    assert [written_key(n) for n in names] == [
        "volume_ml", "contact_limit_s", "tip_short_of_wl_mm", "concentration_pct_wv",
        "taper_pct", "last_3mm_s", "step",
    ]  # fmt: skip
