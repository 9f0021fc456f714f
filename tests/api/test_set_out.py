"""The door of the set-out sheet."""

import pytest

from canalclock.core.kit import kit_bytes, kit_digest
from canalclock.ledger.port import StoredKit
from canalclock.protocol_files import kit_for, shipped_protocol
from tests.api.conftest import START_MS, Client

KIT = kit_for(shipped_protocol("chlorhexidine-last"))
CANAL = {
    "canal": "mb1", "working_length_um": 20000, "orifice_um": 8000, "apical_size": 35,
    "taper_um_per_mm": 60,
}  # fmt: skip


@pytest.fixture
async def kit(client: Client) -> str:
    """A kit on record."""
    digest = kit_digest(KIT)
    stored = StoredKit(kit=digest, protocol="chlorhexidine-last", version=1, title="last")
    await client.running.service.ledger.store_kit(stored, kit_bytes(KIT), START_MS)
    return digest


async def test_the_sheet_comes_for_the_canals_as_known(client: Client, kit: str) -> None:
    asked = {"kit": kit, "canals": [CANAL, {"canal": "p"}], "syringe_ul": 3000}
    answer = await client.http.post("/api/set-out", json=asked)
    assert answer.status_code == 200
    sheet = answer.json()
    assert [c["canal"] for c in sheet["canals"]] == ["mb1", "p"]
    assert sheet["canals"][0]["volume_ul"] == pytest.approx(5.16, abs=0.005)
    assert sheet["canals"][1]["volume_ul"] is None
    assert sheet["syringe_ul"] == 3000
    assert {s["basis"] for s in sheet["sources"]} >= {"found", "derived", "choice"}


@pytest.mark.parametrize(
    ("change", "code", "says"),
    [
        ({"kit": "0" * 64}, "kit_unknown", "/api/kits"),
        ({"needles": [{"needle_gauge": 12, "needle_tip": "flat"}]}, "out_of_bounds", "12"),
        ({"visit": 2}, "out_of_bounds", "expected 1 to 1"),
        ({"syringe_ml": 5}, "out_of_bounds", "syringe_ml"),
    ],
)
async def test_what_cannot_be_set_out_is_a_problem(
    client: Client, kit: str, change: dict[str, object], code: str, says: str
) -> None:
    answer = await client.http.post("/api/set-out", json={"kit": kit, "canals": [CANAL]} | change)
    assert answer.status_code in (400, 404)
    assert answer.json()["type"].endswith(code)
    assert says in answer.text
