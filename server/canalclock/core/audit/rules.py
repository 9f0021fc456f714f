"""Runs every family of rules over a record, in the order in which a reader needs them."""

from typing import Final

from canalclock.core.audit.acts import act_findings
from canalclock.core.audit.asked import asked_findings
from canalclock.core.audit.clocks import clock_findings
from canalclock.core.audit.meta import Meta
from canalclock.core.audit.opening import opening_findings
from canalclock.core.audit.step_limits import step_limit_findings
from canalclock.core.audit.unread import unread_findings
from canalclock.core.audit.warned import warned_findings
from canalclock.core.kit import Kit
from canalclock.core.record.values import Finding, Record

FAMILIES: Final = (
    warned_findings,
    act_findings,
    opening_findings,
    asked_findings,
    step_limit_findings,
    unread_findings,
    clock_findings,
)
_RANK: Final = {"serious": 0, "notice": 1, "info": 2}


def audit(kit: Kit, record: Record, meta: Meta) -> tuple[Finding, ...]:
    """
    What a record shows when it is read afterwards.

    Args:
        kit: The visit's kit.
        record: The record, with the fold's own findings.
        meta: Totals, warnings, and what only a ledger knows.

    Returns:
        Findings of the fold and of every rule, the serious ones first; else in the order of the
        families. Each cites only events that exist.
    """
    found: list[Finding] = list(record.findings)
    for family in FAMILIES:
        found += family(kit, record, meta)
    return tuple(sorted(found, key=lambda f: _RANK[f.severity]))
