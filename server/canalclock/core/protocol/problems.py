"""What is wrong with an authored file, as a value: where, what was found, what was expected."""

from collections.abc import Sequence

from msgspec import Struct

Path = tuple[str | int, ...]
"""Keys and places from the root of a document: ("stages", 1, "steps", 0, "volume_ml")."""


class Problem(Struct, frozen=True, kw_only=True, order=True):
    """One thing wrong with a file; all problems of a file are told at once."""

    file: str
    line: int
    """Line of the file, from 1."""
    path: str
    """`$` is the whole file; `$.stages[1].steps[0].volume_ml` one key."""
    code: str
    """One of a closed set, see the format's page (`protocols/README.md`)."""
    message: str
    """What was found and what was expected."""


class NotRead(ValueError):
    """A file whose problems forbid using any of it."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        """Carry all problems; the text is their lines."""
        self.problems = tuple(problems)
        super().__init__("\n".join(problem_line(p) for p in self.problems))


def path_text(path: Path) -> str:
    """
    A path as people write it.

    Examples:
        >>> path_text(("stages", 1, "steps", 0, "volume_ml"))
        '$.stages[1].steps[0].volume_ml'
    """
    return "$" + "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in path)


def problem_line(problem: Problem) -> str:
    """A problem as one line of text: file:line: path: message."""
    return f"{problem.file}:{problem.line}: {problem.path}: {problem.message}"
