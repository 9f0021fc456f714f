"""A visit in the audit's list: each canal's irrigants against what was asked, with findings.

Small enough to keep one for every visit. Not here: the full account (report.py).
"""

from collections.abc import Iterable

from canalclock.core.audit.compared import Asked, Had, compared
from canalclock.core.audit.meta import Gap
from canalclock.core.record.totals import totals
from canalclock.core.record.values import Finding, Made
from canalclock.core.report import Folded, default_as_of_ms, findings


class SummaryRow(Made, frozen=True, kw_only=True):
    """One irrigant in one canal of a visit."""

    canal: str
    irrigant: str
    asks: bool
    asked: Asked
    had: Had
    findings: int
    """Findings that name this canal, or no site at all."""
    serious: int
    """Of these, the serious ones."""


class Summary(Made, frozen=True, kw_only=True):
    """What the list shows of a visit."""

    as_of_ms: int
    is_open: bool
    rows: tuple[SummaryRow, ...]
    findings: int
    """All findings of the visit."""
    serious: int


def summary(whole: Folded, now_ms: int, gaps: tuple[Gap, ...] = ()) -> Summary:
    """
    A visit in the audit's list.

    Args:
        whole: The visit, folded.
        now_ms: Contact of an open visit runs to this instant. [ms]
        gaps: Numbers of devices that never arrived.
    """
    as_of = default_as_of_ms(whole, now_ms)
    figures = totals(whole.record, as_of)
    found = findings(whole, figures, gaps)
    return Summary(
        as_of_ms=as_of,
        is_open=whole.record.closed_at_ms is None,
        rows=tuple(
            SummaryRow(
                canal=row.site,
                irrigant=row.irrigant,
                asks=row.asks,
                asked=row.asked,
                had=row.had,
                findings=_count(found, row.site),
                serious=_count((f for f in found if f.severity == "serious"), row.site),
            )
            for row in compared(whole.kit, whole.record, figures)
        ),
        findings=len(found),
        serious=sum(f.severity == "serious" for f in found),
    )


def _count(found: Iterable[Finding], canal: str) -> int:
    return sum(not f.sites or canal in f.sites for f in found)
