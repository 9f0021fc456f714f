"""A report as one table: units in the headings, nothing missing, a foot that tells."""

import csv
import io
from decimal import Decimal

from canalclock.core.report import Entry, report
from canalclock.render.report_csv import COLUMNS, report_csv
from canalclock.render.times import zone_of
from tests.builders import HYPOCHLORITE, WATER, Chair, a_kit, a_visit, read
from tests.unit.core.audit.cases import a_protocol_kit

S = 1000
ASKS = [
    {"irrigant": "sodium_hypochlorite", "contact_ms": 90_500, "volume_ul": 2500},
    {"irrigant": "edta", "contact_ms": 60_000},
]


def table(chair: Chair, **protocol: object) -> list[dict[str, str]]:
    kit = a_protocol_kit(**protocol) if protocol else a_kit()
    made = [Entry(event=read(e), line=e, seq=n) for n, e in enumerate(chair.events, start=1)]
    content = report_csv(report(kit, made, 300 * S), zone_of("Europe/Berlin"))
    lines = list(csv.reader(io.StringIO(content.decode(), newline=""), strict=True))
    assert {len(line) for line in lines} == {len(COLUMNS)}
    return [dict(zip(lines[0], line, strict=True)) for line in lines[1:]]


def rinsed(**opened: object) -> Chair:
    chair = a_visit("mb", **({"tooth": "46"} | opened))
    chair.delivered("mb", HYPOCHLORITE, 60_500, volume_ul=1250)
    chair.delivered("mb", WATER, 120 * S, volume_ul=None)
    return chair


def rows(of: list[dict[str, str]], kind: str) -> list[dict[str, str]]:
    return [r for r in of if r["row"] == kind]


def test_figures_are_exact_in_the_trades_units_without_trailing_zeros() -> None:
    found = table(rinsed())
    canal = rows(found, "canal")[0]
    assert (canal["contact_s"], canal["last_3mm_least_s"]) == ("59.5", "59.5")
    volume, unknown = rows(found, "volume")
    assert (volume["volume_ml"], volume["concentration_pct_wv"]) == ("1.25", "3")
    assert Decimal(volume["passed_mg"]) == Decimal("37.5")
    assert (unknown["volume_at_least"], unknown["passed_mg"]) == ("yes", "")
    assert rows(found, "depth")[0]["from_mm"] == "9"
    assert [r["site"] for r in rows(found, "tooth")] == ["tooth", "tooth"]


def test_what_was_asked_stands_beside_it_and_what_had_no_contact_is_not_left_out() -> None:
    canals = {r["irrigant"]: r for r in rows(table(rinsed(), asks=ASKS, stages=EDTA_TOO,
                                                   solutions=SOLUTIONS), "canal")}  # fmt: skip
    assert canals["sodium_hypochlorite"]["asked_contact_s"] == "90.5"
    assert canals["sodium_hypochlorite"]["asked_volume_ml"] == "2.5"
    assert (canals["edta"]["contact_s"], canals["edta"]["asked_contact_s"]) == ("0", "60")


SOLUTIONS = [
    {"solution": "n", "contents": [{"irrigant": "sodium_hypochlorite"}]},
    {"solution": "e", "contents": [{"irrigant": "edta"}]},
]
EDTA_TOO = [
    {
        "stage": "close", "kind": "close", "title": "Close",
        "steps": [{"step": s, "act": "irrigate", "solution": s} for s in ("n", "e")],
    }
]  # fmt: skip


def test_times_are_text_with_a_zone_beside_milliseconds() -> None:
    first = table(rinsed(at_ms=1000))[0]
    assert (first["opened_at"], first["opened_at_ms"]) == ("1970-01-01T01:00:01+01:00", "1000")
    assert first["closed_at"] == ""


def test_a_label_that_looks_like_a_formula_is_text() -> None:
    assert {r["label"] for r in table(rinsed(label='=HYPERLINK("http://x","y")'))} == {
        '\'=HYPERLINK("http://x","y")'
    }


def test_the_last_record_says_how_much_there_was_and_nothing_follows_it() -> None:
    for count in (1, 100, 101):
        chair = a_visit("mb", tooth="46")
        for n in range(count):
            chair.delivered("mb", WATER, (n + 1) * 100)
        found = table(chair)
        assert [r["row"] for r in found].index("end") == len(found) - 1
        assert found[-1]["entries"] == str(count + 2)
        assert rows(found, "tooth")[0]["volume_ml"] == str(count)
