"""Writes the pages' answers as shared vectors, so that the other language is held to them too.

`python -m tests.spec.export` after a page has changed; a test notices when it was forgotten.
Of the guard only what a page lists is exported, not every silent delivery.
"""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec

from tests.spec.answers import guard_cases, record_cases
from tests.spec.pages import Page, read_page
from tests.vectors.cases import VECTORS, FoldCase, GuardCase

PAGES = Path(__file__).parent


def pages() -> list[Page]:
    """Every page of visits, by name."""
    return [read_page(path) for path in sorted(PAGES.glob("visit-*.md"))]


def exported() -> dict[Path, str]:
    """What each exported file of vectors must read."""
    records = [case for page in pages() for case in record_cases(page)]
    guards = [case for page in pages() for case in guard_cases(page) if _is_listed(page, case)]
    return {
        VECTORS / "fold" / "visits.json": _file_text(records),
        VECTORS / "guard" / "visits.json": _file_text(guards),
    }


def _is_listed(page: Page, case: GuardCase) -> bool:
    rows = page.section("The guard").tables["at"]
    names = {f"{page.name}-guard-{row['at'].replace(':', '-')}-{row['where']}" for row in rows}
    return case.case in names


def _file_text(cases: Iterable[FoldCase | GuardCase]) -> str:
    about = "The visits of tests/spec, exported from its pages: change the page, not this file."
    body = ",\n".join(_case_text(msgspec.to_builtins(case)) for case in cases)
    return f'{{"about": {json.dumps(about)},\n "cases": [\n{body}\n ]}}\n'


def _case_text(case: dict[str, Any]) -> str:
    given, expect = dict(case["given"]), case["expect"]
    events = ",\n".join(f"     {_line(event)}" for event in given.pop("events"))
    parts = ",\n".join(f"     {json.dumps(name)}: {_rows(value)}" for name, value in expect.items())
    head = {k: v for k, v in case.items() if k in ("case", "function", "awaits")}
    return (
        f"  {_line(head)[:-1]},\n"
        f'   "given": {_line(given)[:-1]}, "events": [\n{events}\n   ]}},\n'
        f'   "expect": {{\n{parts}}},\n'
        f'   "source": {_line(case["source"])}}}'
    )


def _rows(value: Any) -> str:
    if not isinstance(value, list | tuple) or not value or not isinstance(value[0], dict):
        return _line(value)
    return "[\n" + ",\n".join(f"       {_line(row)}" for row in value) + "]"


def _line(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def main() -> None:
    """Write the files."""
    for path, text in exported().items():
        path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
