"""The words of the rules."""

import re
from pathlib import Path

import pytest

import canalclock.core.audit
import canalclock.core.record
from canalclock.core.audit.meta import Found
from canalclock.core.audit.texts import TEXTS, finding_text
from canalclock.core.record.values import Finding
from tests.builders import a_kit

RULE = re.compile(r'(?:rule=|finding\(\s*)"([a-z0-9_]+)"|\(\s*"([a-z0-9_]+_below_asked)"')


def rules_in_the_code() -> set[str]:
    folders = [Path(p) for m in (canalclock.core.record, canalclock.core.audit) for p in m.__path__]
    found = {
        name
        for folder in folders
        for file in folder.glob("*.py")
        for pair in RULE.findall(file.read_text())
        for name in pair
        if name
    }
    return found | {"activation_never_stopped", "activation_stop_alone", "strength_unknown",
                    "strength_other_than_protocol"}  # fmt: skip


def test_every_rule_has_words_and_no_words_are_left_over() -> None:
    assert rules_in_the_code() == set(TEXTS)


def test_no_rule_says_what_the_tool_must_not_say() -> None:
    for text in TEXTS.values():
        assert not re.search(r"\b(safe|safely|complete|success|should have used)\b", text, re.I)


@pytest.mark.parametrize("rule", sorted(TEXTS))
def test_every_text_is_whole_sentences_with_nothing_left_to_fill_in(rule: str) -> None:
    finding = Found(
        rule=rule, severity="notice", sites=("mb1",), about="edta", ms=61_000, measure="ms",
        asked=60_000, had=59_500, says="Said so.",
    )  # fmt: skip
    text = finding_text(a_kit(), finding)
    assert text[0].isupper() and text.endswith(".")
    assert "{" not in text and "  " not in text


def test_figures_come_in_the_trades_units_and_irrigants_by_their_titles() -> None:
    finding = Found(
        rule="contact_below_asked", severity="notice", sites=("mb1",), measure="ms",
        about="sodium_hypochlorite", asked=1_200_000, had=245_500,
    )  # fmt: skip
    assert finding_text(a_kit(), finding) == (
        "MB1: sodium hypochlorite in contact for 4 min 5.5 s; the protocol asks for 20 min."
    )


def test_braces_in_what_people_typed_stay_as_they_are() -> None:
    finding = Finding(rule="unread", severity="notice", about="{sites} %s {0.__class__}")
    assert "{sites} %s {0.__class__}" in finding_text(a_kit(), finding)


def test_a_rule_of_a_later_version_is_told_by_its_name() -> None:
    assert finding_text(a_kit(), Finding(rule="from_later", severity="info")) == "from_later"


def test_every_rule_is_named_for_developers() -> None:
    developers = (Path(__file__).parents[4] / "DEVELOPERS.md").read_text()
    assert [rule for rule in TEXTS if f"`{rule}`" not in developers] == []
