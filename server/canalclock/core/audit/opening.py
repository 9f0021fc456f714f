"""Rules on the opening of a visit: its questions, isolation, the tooth's canals, training."""

from collections.abc import Iterator

from canalclock.core.anatomy import is_plausible
from canalclock.core.audit.meta import Found, Meta
from canalclock.core.kit import Kit
from canalclock.core.plan import visit_number
from canalclock.core.record.events import AnyEvent, CheckDone, QuestionAnswered
from canalclock.core.record.values import Record


def opening_findings(kit: Kit, record: Record, meta: Meta) -> Iterator[Found]:
    """Every finding of this family."""
    answers = {e.question: e for e in record.standing if isinstance(e, QuestionAnswered)}
    if kit.protocol is not None:
        for question in kit.protocol.questions:
            if question not in answers:
                yield Found(rule="question_not_answered", severity="notice", about=question)
    for question, event in answers.items():
        if event.answer == "unknown":
            yield Found(
                rule="answered_unknown", severity="notice", events=(event.id,), about=question
            )
    yield from _isolation(kit, record)
    yield from _canals(record)
    if record.opened is not None and record.opened.training:
        yield Found(rule="training", severity="info", events=(record.opened.id,))


def _isolation(kit: Kit, record: Record) -> Iterator[Found]:
    if kit.protocol is None:
        return
    visit = visit_number(kit.protocol, record)
    wanted = any(
        step.act == "check" and step.check == "isolation"
        for stage in kit.protocol.stages
        if stage.visit == visit
        for step in stage.steps
    )
    done = any(isinstance(e, CheckDone) and e.what == "isolation" for e in record.standing)
    if wanted and not done:
        yield Found(rule="isolation_not_recorded", severity="notice")


def _canals(record: Record) -> Iterator[Found]:
    """Canals whose names are not usual for the tooth; a free name is allowed all the same."""
    if record.opened is None:
        return
    tooth = record.opened.tooth
    unusual = [c.canal for c in record.canals if not is_plausible(tooth, c.canal)]
    if unusual:
        first = (_first_naming(record, canal) for canal in unusual)
        yield Found(
            rule="canal_unusual_for_tooth",
            severity="info",
            sites=tuple(unusual),
            events=tuple(dict.fromkeys(e for e in first if e is not None)),
            about=tooth,
        )


def _first_naming(record: Record, canal: str) -> str | None:
    return next((e.id for e in record.standing if _names(e, canal)), None)


def _names(event: AnyEvent, canal: str) -> bool:
    return (
        getattr(event, "site", None) == canal
        or getattr(event, "canal", None) == canal
        or canal in getattr(event, "canals", ())
    )
