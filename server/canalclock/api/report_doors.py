"""Reports and the audit over HTTP; a file's name never holds a patient's text."""

from typing import Annotated, Any, Final
from zoneinfo import ZoneInfo

from litestar import Response, get
from litestar.params import FromPath, FromQuery, QueryParameter

from canalclock.api.audit_csv import audit_csv
from canalclock.api.problems import Refusal
from canalclock.api.reports import BUDGET_S, AuditView, KitMissing
from canalclock.api.service import Given, Service
from canalclock.api.visit_rows import Asked
from canalclock.api.visits import known_visit
from canalclock.core.quantities import WHOLE_MAX
from canalclock.core.report import Document
from canalclock.render.json import json_bytes
from canalclock.render.report_csv import report_csv
from canalclock.render.times import NoSuchZone, zone_of

CSV: Final = "text/csv; charset=utf-8; header=present"
MaybeInstant = Annotated[int | None, QueryParameter(ge=0, le=WHOLE_MAX)]


@get("/api/visits/{visit:str}/report.json")
async def report_json(
    visit: FromPath[str], service: Given, as_of_ms: MaybeInstant = None
) -> Response[Document]:
    """A visit's report: figures, findings, warnings, every entry with all its versions."""
    found = await _document(service, visit, as_of_ms)
    return _file(json_bytes(found), "application/json", f"canalclock-{visit}.json", "inline")


@get("/api/visits/{visit:str}/report.csv")
async def report_csv_file(
    visit: FromPath[str], service: Given, as_of_ms: MaybeInstant = None
) -> Response[bytes]:
    """A visit's totals as one table."""
    found = await _document(service, visit, as_of_ms)
    content = report_csv(found, await _zone(service))
    return _file(content, CSV, f"canalclock-{visit}.csv", "attachment")


@get("/api/audit")
async def audit(
    service: Given,
    room: FromQuery[str | None] = None,
    protocol: FromQuery[str | None] = None,
    from_ms: MaybeInstant = None,
    to_ms: MaybeInstant = None,
) -> AuditView:
    """Every canal of the visits opened in a period, against what was asked, newest first."""
    return await _audit(service, Asked(room=room, protocol=protocol, from_ms=from_ms, to_ms=to_ms))


@get("/api/audit.csv")
async def audit_csv_file(
    service: Given,
    room: FromQuery[str | None] = None,
    protocol: FromQuery[str | None] = None,
    from_ms: MaybeInstant = None,
    to_ms: MaybeInstant = None,
) -> Response[bytes]:
    """The same as one table; nothing is left out of it, however long it takes."""
    asked = Asked(room=room, protocol=protocol, from_ms=from_ms, to_ms=to_ms)
    view = await service.reports.audit(asked, service.now_ms())
    content = audit_csv(view, await _zone(service))
    return _file(content, CSV, "canalclock-audit.csv", "attachment")


async def _audit(service: Service, asked: Asked) -> AuditView:
    return await service.reports.audit(asked, service.now_ms(), BUDGET_S)


async def _document(service: Service, visit: str, as_of_ms: int | None) -> Document:
    known = await known_visit(service, visit)
    try:
        return await service.reports.document(known, as_of_ms, service.now_ms())
    except KitMissing as fault:
        raise Refusal(
            "kit_unread",
            "A report needs the kit that the visit was opened with.",
            found=f"kit {fault.kit}",
            expected="a kit from /api/kits",
            where="the visit's opening",
            status=409,
        ) from fault


async def _zone(service: Service) -> ZoneInfo:
    try:
        return zone_of((await service.accounts.clinic()).zone)
    except NoSuchZone:
        return zone_of("UTC")


def _file(content: bytes, media: str, name: str, how: str) -> Response[Any]:
    """An answer with a plain ASCII name for whoever keeps it."""
    headers = {"Content-Disposition": f'{how}; filename="{name}"'}
    return Response(content, media_type=media, headers=headers)
