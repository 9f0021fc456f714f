"""Findings on the opening of a visit."""

from tests.builders import a_visit
from tests.unit.core.audit.cases import a_protocol_kit, found, rules, the

S = 1000


def test_a_question_the_protocol_wants_is_answered_or_told() -> None:
    kit = a_protocol_kit(questions=["open_apex", "perforation"])
    chair = a_visit("mb", tooth="46")
    chair.log("question_answered", S, question="open_apex", answer="no")
    finding = the(found(chair, kit), "question_not_answered")
    assert (finding.about, finding.events) == ("perforation", ())


def test_unknown_is_an_answer_that_is_told_and_the_last_answer_counts() -> None:
    chair = a_visit("mb", tooth="46")
    chair.log("question_answered", S, question="open_apex", answer="unknown")
    second = chair.log("question_answered", S, question="nerve", answer="unknown")
    chair.log("question_answered", 2 * S, question="open_apex", answer="no")
    finding = the(found(chair), "answered_unknown")
    assert (finding.about, finding.events) == ("nerve", (second,))


def test_a_protocol_that_checks_isolation_misses_it_when_nobody_recorded_it() -> None:
    stages = [
        {"stage": "open", "kind": "open", "title": "Open", "steps": [
            {"step": "isolate", "act": "check", "check": "isolation", "site": "chamber"}]},
    ]  # fmt: skip
    kit = a_protocol_kit(stages=stages)
    chair = a_visit("mb", tooth="46")
    assert rules(found(chair, kit)) == ["isolation_not_recorded"]
    assert found(chair, a_protocol_kit()) == ()
    chair.log("check_done", S, what="isolation")
    assert found(chair, kit) == ()


def test_a_canal_that_the_tooth_has_not_is_recorded_with_a_finding() -> None:
    chair = a_visit("mb", tooth="46")
    named = chair.log("canal_set", 30 * S, canal="mb7", state="located")
    finding = the(found(chair), "canal_unusual_for_tooth")
    assert (finding.severity, finding.sites) == ("info", ("mb7",))
    assert finding.events == (named,)


def test_a_training_visit_says_so() -> None:
    assert the(found(a_visit("mb", tooth="46", training=True)), "training").severity == "info"
