"""The one shape of a refusal (RFC 9457), and the one table of what is refused how.

Every problem says what was found, what was expected and where.
"""

import logging
from typing import Any, Final

import msgspec
from litestar import Request, Response
from litestar.exceptions import (
    HTTPException,
    MethodNotAllowedException,
    NotFoundException,
    ValidationException,
)
from litestar.exceptions.http_exceptions import RequestEntityTooLarge
from litestar.utils.scope.state import ScopeState
from msgspec import Struct

from canalclock.expected import steps, unfit
from canalclock.ledger.port import LedgerError, LedgerUnavailable

TYPE: Final = "urn:canalclock:problem:"
MEDIA: Final = "application/problem+json"

TABLE: Final[dict[str, tuple[int, str]]] = {
    "bad_request": (400, "The request cannot be read"),
    "visit_id": (400, "The visit's id is not of the form that devices make"),
    "out_of_bounds": (400, "A value is outside its bounds"),
    "origin": (403, "Another site asked for this"),
    "role": (403, "This role may not do this"),
    "not_found": (404, "There is nothing here"),
    "visit_unknown": (404, "No such visit"),
    "kit_unknown": (404, "No such kit"),
    "address_unknown": (404, "No such address"),
    "method": (405, "This cannot be done here"),
    "head_moved": (409, "The record has changed since it was shown"),
    "host": (421, "This name is not this service's"),
    "too_large": (413, "The request is too large"),
    "too_many_lines": (413, "The batch has too many lines"),
    "content_type": (415, "The content is of another type"),
    "staff_unknown": (422, "The clinic does not know this member of staff"),
    "room_unknown": (422, "The clinic has no such room"),
    "kit_unread": (500, "The visit's kit cannot be read"),
    "internal": (500, "Something went wrong on our side"),
    "ledger_unavailable": (503, "The ledger cannot be reached; nothing was written"),
}
"""Code of each problem, with its HTTP status and title."""

_log = logging.getLogger("canalclock.api")


class Problem(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """RFC 9457 with `found`, `expected` and `where`, and the head where it moved."""

    type: str
    title: str
    status: int
    detail: str
    found: str | None = None
    expected: str | None = None
    where: str | None = None
    head: Any = None


class Refusal(Exception):
    """A whole request that is not done; the table knows its status."""

    def __init__(
        self,
        code: str,
        detail: str,
        *,
        found: str | None = None,
        expected: str | None = None,
        where: str | None = None,
        head: object = None,
        status: int | None = None,
    ) -> None:
        super().__init__(detail)
        listed, title = TABLE[code]
        self.problem = Problem(
            type=TYPE + code,
            title=title,
            status=status or listed,
            detail=detail,
            found=found,
            expected=expected,
            where=where,
            head=head,
        )


def answer(problem: Problem) -> Response[bytes]:
    """A problem as an HTTP answer."""
    return Response(
        content=msgspec.json.encode(problem), status_code=problem.status, media_type=MEDIA
    )


def on_refusal(request: Request[Any, Any, Any], refusal: Refusal) -> Response[bytes]:
    """Our own refusals."""
    return answer(refusal.problem)


def on_http(request: Request[Any, Any, Any], fault: HTTPException) -> Response[bytes]:
    """What the framework refuses, in our shape."""
    path = request.url.path
    match fault:
        case ValidationException():
            refusal = _validation(request, fault)
        case NotFoundException():
            refusal = Refusal("not_found", f"There is nothing at {path}.", found=path, where=path)
        case MethodNotAllowedException():
            allowed = (fault.headers or {}).get("allow", "another method")
            refusal = Refusal(
                "method",
                f"{request.method} is not answered at {path}.",
                found=request.method,
                expected=allowed,
                where=path,
            )
        case RequestEntityTooLarge():
            refusal = too_large(request)
        case _:
            refusal = Refusal(
                "bad_request",
                fault.detail,
                found=fault.detail,
                expected="a request of the form that /api/openapi.json describes",
                where=path,
                status=fault.status_code,
            )
    return answer(refusal.problem)


def too_large(request: Request[Any, Any, Any]) -> Refusal:
    """A body over the limit of its door; it was not read to its end."""
    limit = request.route_handler.resolve_request_max_body_size()
    said = request.headers.get("content-length")
    return Refusal(
        "too_large",
        "The body is larger than this door takes; nothing was written.",
        found=f"{said} bytes" if said else f"more than {limit} bytes",
        expected=f"at most {limit} bytes",
        where="the body",
    )


def on_ledger(request: Request[Any, Any, Any], fault: LedgerError) -> Response[bytes]:
    """The store is in trouble: said plainly, nothing is half written."""
    _log.error("ledger: %s", fault)
    code = "ledger_unavailable" if isinstance(fault, LedgerUnavailable) else "internal"
    return answer(Refusal(code, "The ledger could not be read or written.").problem)


def on_anything(request: Request[Any, Any, Any], fault: Exception) -> Response[bytes]:
    """Our own mistake: logged with its trace, told without it."""
    _log.exception("%s %s", request.method, request.url.path, exc_info=fault)
    return answer(Refusal("internal", "The request was not done.").problem)


def _validation(request: Request[Any, Any, Any], fault: ValidationException) -> Refusal:
    first = fault.extra[0] if isinstance(fault.extra, list) and fault.extra else None
    if first is None:
        return Refusal("bad_request", fault.detail, where="the request")
    key, said_of = str(first.get("key", "")), first.get("source", "")
    source = str(getattr(said_of, "value", said_of))
    place = f"$.data.{key}" if source == "body" and key != "data" else f"$.{key}"
    model = request.route_handler.signature_model
    wrong = unfit(model, f"{first.get('message', fault.detail)} - at `{place}`")
    if source == "body":
        where = "$" + wrong.where.removeprefix("$.data")
        found = "no such field" if wrong.is_missing else _in_body(request, where)
    else:
        where = _SPELT.get(key, key)
        found = request.query_params.get(where)
    return Refusal(
        "out_of_bounds",
        "A value is missing or outside its bounds.",
        found=found,
        expected=wrong.expected.removesuffix(", or null") if source == "query" else wrong.expected,
        where=where or "the request",
    )


_SPELT: Final = {"which": "state", "sender": "Canalclock-Device"}
"""Parameters that have another name inside than outside."""


def _in_body(request: Request[Any, Any, Any], where: str) -> str | None:
    """The value that was not fit, as it was sent."""
    body = ScopeState.from_scope(request.scope).body
    if not isinstance(body, bytes):
        return None
    value = msgspec.json.decode(body)
    for step in steps(where):
        inside = step in value if isinstance(value, dict) else isinstance(value, list)
        if not inside:
            break
        value = value[step]
    text = msgspec.json.encode(value).decode()
    return text if len(text) <= 80 else text[:77] + "..."
