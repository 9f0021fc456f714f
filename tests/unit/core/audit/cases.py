"""A visit judged by the audit, as the rules' tests need it."""

from collections.abc import Mapping
from typing import Any

import msgspec

from canalclock.core.audit.meta import Found, Gap, Meta
from canalclock.core.audit.rules import audit
from canalclock.core.kit import Kit
from canalclock.core.protocol.definition import Protocol
from canalclock.core.record.fold import fold
from canalclock.core.record.totals import totals
from canalclock.core.record.values import Finding
from canalclock.core.spoken import spoken
from tests.builders import Chair, a_kit

HOUR_MS = 3_600_000


def a_protocol_kit(**fields: Any) -> Kit:
    """The bench kit with a protocol of one irrigating step, hypochlorite 3 %; fields replace."""
    written = {
        "protocol": "small",
        "version": 1,
        "title": "Small",
        "purpose": "For tests.",
        "source": {"kind": "common_practice"},
        "solutions": [
            {
                "solution": "n",
                "contents": [{"irrigant": "sodium_hypochlorite", "concentration_mg_per_l": 30_000}],
            }
        ],
        "stages": [
            {
                "stage": "close",
                "kind": "close",
                "title": "Close",
                "steps": [{"step": "irrigate", "act": "irrigate", "solution": "n"}],
            }
        ],
    }
    protocol = msgspec.convert(written | fields, Protocol)
    return msgspec.structs.replace(a_kit(), protocol=protocol)


def found(
    chair: Chair,
    kit: Kit | None = None,
    *,
    as_of_ms: int = HOUR_MS,
    recorded: Mapping[str, int] | None = None,
    gaps: tuple[Gap, ...] = (),
) -> tuple[Finding, ...]:
    """What the audit finds in a chair's visit."""
    read_by = kit or a_kit()
    events = tuple(chair.read())
    record = fold(read_by, events)
    meta = Meta(
        totals=totals(record, as_of_ms),
        spoken=spoken(read_by, events),
        events=events,
        recorded=recorded or {},
        gaps=gaps,
    )
    findings = audit(read_by, record, meta)
    known = {e.id for e in events}
    assert all(cited in known for f in findings for cited in f.events)
    return findings


def rules(findings: tuple[Finding, ...], *, without: tuple[str, ...] = ()) -> list[str]:
    """The rules alone, in order."""
    return [f.rule for f in findings if f.rule not in without]


def the(findings: tuple[Finding, ...], rule: str) -> Found:
    """The one finding of a rule."""
    (one,) = [f for f in findings if f.rule == rule]
    assert isinstance(one, Found)
    return one
