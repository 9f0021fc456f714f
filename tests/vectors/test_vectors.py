"""Every vector in Python, and the form of the files themselves."""

from collections import Counter

import pytest

from tests.vectors.cases import VECTORS, FoldCase, GuardCase, cases, kit_of, schema_text
from tests.vectors.judging import differences

CASES = list(cases())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.case)
def test_the_code_gives_the_answer_worked_by_hand(
    case: FoldCase | GuardCase, request: pytest.FixtureRequest
) -> None:
    """An answer that awaits a later issue must fail until that issue lands."""
    if isinstance(case.awaits, str):
        request.applymarker(pytest.mark.xfail(reason=f"awaits {case.awaits}", strict=True))
    told = differences(case)
    working = case.source.working
    assert not told, "\n".join([case.case, *told, f"working: {working}"])


def test_case_names_are_unique_over_all_files() -> None:
    names = Counter(case.case for case in CASES)
    assert [name for name, count in names.items() if count > 1] == []


def test_the_schema_file_is_that_of_the_types() -> None:
    assert (VECTORS / "vector.schema.json").read_text(encoding="utf-8") == schema_text()


def test_every_case_names_a_kit_that_reads() -> None:
    kits = {case.given.kit_ref for case in CASES}
    assert len(kits) >= 3
    for case in CASES:
        kit_of(case.given)


def test_there_are_vectors_of_both_functions() -> None:
    assert Counter(type(case) for case in CASES)[FoldCase] >= 100
    assert Counter(type(case) for case in CASES)[GuardCase] >= 80
