"""Collects the pages: every section of answers is a test that a clinician can read."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.spec.answers import guard_cases, record_cases
from tests.spec.pages import read_page
from tests.vectors.cases import FoldCase, GuardCase
from tests.vectors.judging import differences


class PageFile(pytest.File):
    """One page of visits."""

    def collect(self) -> Iterator[pytest.Item]:
        """Every answer of the page."""
        page = read_page(self.path)
        found: list[FoldCase | GuardCase] = [*record_cases(page), *guard_cases(page)]
        for case in found:
            yield Answer.from_parent(self, name=case.case, case=case)


class Answer(pytest.Item):
    """One answer: what the record or the guard must say."""

    def __init__(self, *, case: FoldCase | GuardCase, **kwargs: object) -> None:
        super().__init__(**kwargs)  # type: ignore[arg-type]
        self.case = case
        if isinstance(case.awaits, str):
            self.add_marker(pytest.mark.xfail(reason=f"awaits {case.awaits}", strict=True))

    def runtest(self) -> None:
        """Judge the answer as the shared vectors are judged."""
        told = differences(self.case)
        assert not told, "\n".join(told)

    def repr_failure(
        self, excinfo: pytest.ExceptionInfo[BaseException], style: object = None
    ) -> str:
        """The differences alone, then the working."""
        return f"{excinfo.value}\nworking: {self.case.source.working}"


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> PageFile | None:
    """Take the pages `visit-*.md` of this folder."""
    if file_path.suffix == ".md" and file_path.name.startswith("visit-"):
        return PageFile.from_parent(parent, path=file_path)
    return None
