"""Laws of replay, audit and report: they rest on what exists, and on the set of events alone."""

from hypothesis import given
from hypothesis import strategies as st

from canalclock.core.kit import Kit
from canalclock.core.record.events import Unread
from canalclock.core.report import Document, Entry, report
from canalclock.core.spoken import spoken
from canalclock.render.json import json_bytes
from canalclock.render.report_csv import report_csv
from canalclock.render.times import zone_of
from tests import builders as b
from tests.property.visits import Raw, instants, visits
from tests.unit.core.audit.cases import a_protocol_kit

KIT: Kit = a_protocol_kit(
    asks=[{"irrigant": "sodium_hypochlorite", "contact_ms": 60_000, "last_3mm_ms": 30_000,
           "fresh_ms": 60_000, "activated_ms": 20_000, "volume_ul": 2_000}],
    limits=[{"irrigant": "edta", "longest_run_ms": 60_000}],
    questions=["open_apex"],
)  # fmt: skip


def of(events: list[Raw], as_of_ms: int | None = None) -> Document:
    return report(KIT, [Entry(event=b.read(e), line=e) for e in events], as_of_ms)


@given(visits(), st.none() | instants)
def test_findings_and_warnings_cite_only_events_that_exist(
    events: list[Raw], as_of_ms: int | None
) -> None:
    known = {e["id"] for e in events}
    told = of(events, as_of_ms)
    assert {cited for f in told.findings for cited in f.events} <= known
    assert {cited for w in told.warnings for cited in w.events} <= known
    assert {w.delivery for w in told.warnings if w.delivery} <= known
    for finding in told.findings:
        assert finding.text.endswith((".", "”"))
        assert finding.site == (finding.sites[0] if finding.sites else None)


@given(visits())
def test_the_order_of_arrival_changes_no_figure_finding_or_warning(events: list[Raw]) -> None:
    one, other = of(events), of(events[::-1])
    assert one.totals == other.totals
    assert one.warnings == other.warnings
    assert one.findings == other.findings


@given(visits())
def test_what_the_guard_had_said_changes_nothing_of_what_it_should_have_said_gravely(
    events: list[Raw],
) -> None:
    read = [b.read(e) for e in events]
    quiet = [e for e in read if isinstance(e, Unread) or e.__struct_config__.tag != "guard_spoke"]

    def grave(rows: object) -> set[tuple[str, str, str]]:
        assert isinstance(rows, tuple)
        return {(r.act, r.rule, r.about) for r in rows if r.should and r.level != "note"}

    assert grave(spoken(KIT, read)) == grave(spoken(KIT, quiet))


@given(visits())
def test_every_entry_is_in_the_report_as_it_came(events: list[Raw]) -> None:
    told = of(events)
    assert [row.event for row in told.events] == events
    assert told.foot.entries == len(events)


@given(visits(), st.none() | instants)
def test_any_visit_can_be_written(events: list[Raw], as_of_ms: int | None) -> None:
    told = of(events, as_of_ms)
    assert json_bytes(told) == json_bytes(of(events, as_of_ms))
    assert report_csv(told, zone_of("UTC")).count(b"\r\nend,") == 1


@given(visits())
def test_what_was_had_is_what_the_totals_say(events: list[Raw]) -> None:
    told = of(events)
    headlines = {(h.site, h.irrigant): h for h in told.totals.headlines}
    for row in told.asked:
        headline = headlines.get((row.site, row.irrigant))
        assert row.had.anywhere_ms == (headline.anywhere_ms if headline else 0)
        volumes = [
            v.volume_ul
            for v in told.totals.volumes
            if (v.site, v.irrigant) == (row.site, row.irrigant)
        ]
        assert row.had.volume_ul == sum(volumes)
