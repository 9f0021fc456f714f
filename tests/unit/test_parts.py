"""Counting what the parts of the tests say."""

import pytest

from tests.parts import Part, closing, counts_in, task_of


def test_pytests_last_line_is_counted() -> None:
    assert counts_in("....\n3 passed, 1 xfailed in 0.12s\n") == {"passed": 3, "xfailed": 1}


def test_a_failed_run_counts_both() -> None:
    assert counts_in("=== 1 failed, 2 passed in 10.00s ===") == {"failed": 1, "passed": 2}


def test_vitests_line_is_counted_whatever_its_colour() -> None:
    line = (
        "\x1b[2m      Tests \x1b[22m \x1b[1m\x1b[32m36 passed\x1b[39m\x1b[22m\x1b[90m (36)\x1b[39m"
    )
    assert counts_in(line) == {"passed": 36}
    assert counts_in("      Tests  2 failed | 4 passed (6)") == {"failed": 2, "passed": 4}


def test_a_sentence_that_talks_of_passing_is_not_counted() -> None:
    assert counts_in("12 passed the door\nTest Files  2 passed (2)") == {}


def test_the_closing_line_sums_over_the_parts_and_names_what_did_not_run() -> None:
    parts = [Part("unit", 1.25, 0, {"passed": 4}), Part("web", 2.0, 1, {"failed": 1, "passed": 3})]
    assert closing(parts, ["unit", "web", "wheel"]) == [
        "unit          1.2 s  ok",
        "web           2.0 s  FAILED",
        "not run: wheel",
        "7 passed, 1 failed in 3.2s",
    ]


def test_a_part_without_a_task_is_refused() -> None:
    assert task_of("unit") == "test-unit"
    assert task_of("lint") == "lint"
    with pytest.raises(SystemExit, match="found the part 'nothing'"):
        task_of("nothing")
