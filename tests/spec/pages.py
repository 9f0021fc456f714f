"""A spec page in Markdown as sections with prose and tables; nothing about their meaning."""

from dataclasses import dataclass, field
from pathlib import Path

from tests.spec.words import NotReadable

Row = dict[str, str]


@dataclass(frozen=True)
class Section:
    """One heading, the prose under it, and its tables by their first column's title."""

    heading: str
    prose: str
    tables: dict[str, list[Row]] = field(default_factory=dict)


@dataclass(frozen=True)
class Page:
    """A page: its title and its sections in order."""

    name: str
    title: str
    sections: tuple[Section, ...]

    def section(self, heading: str) -> Section:
        """The section of exactly that heading; an empty one if the page has none."""
        return next((s for s in self.sections if s.heading == heading), Section(heading, ""))


def read_page(path: Path) -> Page:
    """A page from its file; a torn table is an error that names the file."""
    blocks = path.read_text(encoding="utf-8").split("\n## ")
    title = blocks[0].partition("\n")[0].removeprefix("# ").strip()
    try:
        return Page(path.stem, title, tuple(_section(block) for block in blocks[1:]))
    except NotReadable as error:
        raise NotReadable(f"{path.name}: {error}") from error


def _section(block: str) -> Section:
    heading, _, body = block.partition("\n")
    prose: list[str] = []
    tables: list[list[str]] = []
    inside = False
    for line in body.splitlines():
        if line.startswith("|"):
            if not inside:
                tables.append([])
            tables[-1].append(line)
        elif line.strip():
            prose.append(line.strip())
        inside = line.startswith("|")
    return Section(heading.strip(), " ".join(prose), dict(_table(lines) for lines in tables))


def _table(lines: list[str]) -> tuple[str, list[Row]]:
    titles, _, *rows = [_cells(line) for line in lines]
    for row in rows:
        if len(row) != len(titles):
            raise NotReadable(f"found {len(row)} cells in {row}, expected {len(titles)}")
    return titles[0], [dict(zip(titles, row, strict=True)) for row in rows]


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]
