"""The pages read strictly, and what was exported from them is up to date."""

from pathlib import Path

import pytest

from tests.spec.export import exported, pages
from tests.spec.pages import Page, Section, read_page
from tests.spec.story import Teller
from tests.spec.words import NotReadable, amount, clock_ms


def test_the_vectors_of_the_visits_are_those_of_the_pages() -> None:
    for path, text in exported().items():
        assert path.read_text(encoding="utf-8") == text, "run: python -m tests.spec.export"


def test_every_visit_of_one_to_ten_has_a_page() -> None:
    names = {page.name for page in pages()}
    assert {f"visit-{number:02}" for number in range(1, 11)} <= names


def test_every_answer_of_a_page_has_its_working() -> None:
    for page in pages():
        for section in page.sections:
            if section.heading.startswith(("The record", "The guard")):
                assert len(section.prose) > 20, f"{page.name}: {section.heading}"


@pytest.mark.parametrize(
    ("written", "unit"), [("1,5 mL", "mL"), ("2 ml", "mL"), ("-1 mL", "mL"), ("0.0001 mL", "mL")]
)
def test_an_amount_that_is_not_exact_or_lacks_its_unit_is_refused(written: str, unit: str) -> None:
    with pytest.raises(ValueError, match="found"):
        amount(written, unit)


def test_a_time_past_59_seconds_is_refused() -> None:
    with pytest.raises(NotReadable, match="seconds below 60"):
        clock_ms("5:60")


def test_an_act_nobody_knows_is_refused_by_name() -> None:
    tooth = Section("The tooth", "", {"canal": []})
    act = {"at": "5:00", "what": "irigated", "where": "b", "details": ""}
    happened = Section("What happened", "", {"at": [act]})
    with pytest.raises(NotReadable, match="irigated"):
        Teller(Page("torn", "Torn", (tooth, happened))).tell()


def test_a_torn_table_is_refused_with_its_file(tmp_path: Path) -> None:
    path = tmp_path / "visit-torn.md"
    path.write_text("# Torn\n\n## The tooth\n\n| canal | orifice |\n| --- | --- |\n| b |\n")
    with pytest.raises(NotReadable, match=r"visit-torn\.md: found 1 cells"):
        read_page(path)
