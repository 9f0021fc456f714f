"""The faults still fit the code; whether the vectors notice them is `poe faults`."""

import pytest

from tests.faults.planting import CORES, ROOT, DoesNotFit, Fault, Patch, patched, planted


def test_there_are_fifteen_faults_or_more() -> None:
    names = [fault.name for fault in planted()]
    assert len(set(names)) == len(names) >= 15


@pytest.mark.parametrize("language", CORES)
@pytest.mark.parametrize("fault", planted(), ids=lambda fault: fault.name)
def test_a_faults_old_line_stands_once_in_its_file(fault: Fault, language: str) -> None:
    patch = fault.patches[language]
    text = (ROOT / CORES[language] / patch.file).read_text(encoding="utf-8")
    assert patched(text, patch) != text


def test_a_patch_that_does_not_fit_is_refused() -> None:
    with pytest.raises(DoesNotFit, match="found 2 times"):
        patched("a\na\n", Patch("x.py", "a", "b"))
    with pytest.raises(DoesNotFit, match="found 0 times"):
        patched("a\n", Patch("x.py", "c", "b"))
