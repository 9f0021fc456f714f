"""The one write: a batch of lines for one visit. Appending folds nothing."""

from typing import Annotated, Any, Final, Literal

from litestar import Request, post
from litestar.params import FromPath, HeaderParameter
from msgspec import Struct

from canalclock.api.problems import Refusal
from canalclock.api.service import Given
from canalclock.api.visits import checked_visit_id
from canalclock.intake import Code, Refused, Taken, device_of, id_reused, is_uuid7, read_line
from canalclock.ledger.port import Head, IdReused, Recorded

LINES_MAX: Final = 500
BATCH_MAX: Final = 1_048_576
"""Largest batch. [bytes]"""
MEDIA: Final = "application/x-ndjson"


class LineAnswer(Struct, frozen=True, kw_only=True):
    """What became of one line; `line` counts from 1."""

    line: int
    id: str | None
    answer: Literal["recorded", "already_recorded", "refused"]
    seq: int | None = None
    code: Code | None = None
    message: str | None = None
    found: str | None = None
    expected: str | None = None
    where: str | None = None


class BatchAnswer(Struct, frozen=True, kw_only=True):
    """What became of each line, and the visit's head afterwards."""

    visit: str
    head: Head
    answers: tuple[LineAnswer, ...]


@post("/api/visits/{visit:str}/events", status_code=200, request_max_body_size=BATCH_MAX)
async def append(
    request: Request[Any, Any, Any],
    visit: FromPath[str],
    service: Given,
    sender: Annotated[str | None, HeaderParameter(name="Canalclock-Device")] = None,
) -> BatchAnswer:
    """
    Record lines of events, `application/x-ndjson`, one JSON object a line.

    Each line is judged alone: the good ones land, each refused one says why. Sent again, a line
    keeps its number. What is answered "recorded" is on the disk.
    """
    checked_visit_id(visit)
    _check_media(request.headers.get("content-type", ""))
    _check_sender(sender)
    lines = _lines(await request.body())
    device = sender or next(filter(None, map(device_of, lines)), None)
    staff = await service.accounts.staff_ids()
    judged = [read_line(line, visit, device, staff) for line in lines]
    taken = [line for line in judged if isinstance(line, Taken)]
    if taken:
        appended = await service.ledger.append(visit, taken, service.now_ms())
        head, outcomes = appended.head, iter(appended.answers)
    else:
        head, outcomes = await service.ledger.head(visit), iter(())
    return BatchAnswer(
        visit=visit,
        head=head,
        answers=tuple(
            _refused(number, line)
            if isinstance(line, Refused)
            else _answered(number, line, next(outcomes))
            for number, line in enumerate(judged, start=1)
        ),
    )


def _check_media(said: str) -> None:
    if said.split(";")[0].strip().lower() != MEDIA:
        raise Refusal(
            "content_type",
            "Events are sent as JSON Lines.",
            found=said[:80] or "no content type",
            expected=MEDIA,
            where="the Content-Type header",
        )


def _check_sender(sender: str | None) -> None:
    if sender is not None and not is_uuid7(sender):
        raise Refusal(
            "out_of_bounds",
            "A device's id has one form.",
            found=sender[:80],
            expected="a UUID of version 7 in lower case",
            where="the Canalclock-Device header",
        )


def _lines(body: bytes) -> list[bytes]:
    lines = body.split(b"\n")
    if lines[-1] == b"":
        lines.pop()
    if not lines:
        raise Refusal(
            "bad_request",
            "The batch has no lines.",
            found="0 lines",
            expected=f"1 to {LINES_MAX} lines",
            where="the body",
        )
    if len(lines) > LINES_MAX:
        raise Refusal(
            "too_many_lines",
            "The batch has too many lines; nothing was written.",
            found=f"{len(lines)} lines",
            expected=f"at most {LINES_MAX} lines",
            where="the body",
        )
    return lines


def _refused(number: int, refused: Refused) -> LineAnswer:
    return LineAnswer(
        line=number,
        id=refused.id,
        answer="refused",
        code=refused.code,
        message=refused.message,
        found=refused.found,
        expected=refused.expected,
        where=refused.where,
    )


def _answered(number: int, taken: Taken, outcome: Recorded | IdReused) -> LineAnswer:
    match outcome:
        case Recorded():
            return LineAnswer(
                line=number,
                id=taken.id,
                answer="already_recorded" if outcome.already else "recorded",
                seq=outcome.seq,
            )
        case IdReused():
            return _refused(number, id_reused(taken, outcome.visit, outcome.seq))
