"""Runs parts of the tests one after another and says how many seconds each took.

    python tests/parts.py lint types unit …

A part is a task of pyproject.toml: `unit` runs `test-unit` if there is one, else `unit`. The first
part that fails ends the run. The last line counts the tests that passed, over both languages.
"""

import os
import re
import subprocess
import sys
import time
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
COLOUR = re.compile(r"\x1b\[[0-9;]*m")
PYTEST = re.compile(r"(?:^|[ =,])(\d+) (passed|failed|xfailed|skipped|error|errors)\b")
VITEST = re.compile(r"^\s+Tests\s+(.*)\(\d+\)")


@dataclass(frozen=True)
class Part:
    """One part that ran: seconds of wall time, the task's exit code, tests by outcome."""

    name: str
    seconds: float
    code: int
    counts: dict[str, int]


def counts_in(output: str) -> dict[str, int]:
    """Tests by outcome, from the summary lines of pytest and of vitest."""
    counts: dict[str, int] = {}
    for line in COLOUR.sub("", output).splitlines():
        is_pytest = re.search(r"\bin \d+\.\d+s\b", line) is not None
        vitest = VITEST.match(line)
        summary = vitest.group(1).replace("|", ",") if vitest else line if is_pytest else ""
        for number, outcome in PYTEST.findall(summary):
            counts[outcome] = counts.get(outcome, 0) + int(number)
    return counts


def task_of(part: str) -> str:
    """The task of pyproject.toml that runs this part."""
    tasks = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["poe"]["tasks"]
    for name in (f"test-{part}", part):
        if name in tasks:
            return name
    raise SystemExit(f"found the part {part!r}, expected a task of pyproject.toml")


def surroundings() -> dict[str, str]:
    """This environment's programs first on PATH; no colour, since the output is read here."""
    first = str(Path(sys.executable).parent)
    return {**os.environ, "PATH": f"{first}{os.pathsep}{os.environ['PATH']}", "NO_COLOR": "1"}


def run(part: str) -> Part:
    """Run one part, its output shown as it comes."""
    began = time.monotonic()
    lines: list[str] = []
    with subprocess.Popen(
        [sys.executable, "-m", "poethepoet", task_of(part)],
        cwd=ROOT,
        env=surroundings(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            print(line, end="", flush=True)
            lines.append(line)
    return Part(part, time.monotonic() - began, process.returncode, counts_in("".join(lines)))


def closing(parts: Sequence[Part], asked: Sequence[str]) -> list[str]:
    """The table of seconds and the one line that counts."""
    table = [
        f"{part.name:<10}{part.seconds:7.1f} s  {'ok' if part.code == 0 else 'FAILED'}"
        for part in parts
    ]
    left_out = [name for name in asked if name not in {part.name for part in parts}]
    if left_out:
        table.append(f"not run: {', '.join(left_out)}")
    total: dict[str, int] = {}
    for part in parts:
        for outcome, number in part.counts.items():
            total[outcome] = total.get(outcome, 0) + number
    shown = ", ".join(f"{number} {outcome}" for outcome, number in total.items()) or "no tests"
    return [*table, f"{shown} in {sum(part.seconds for part in parts):.1f}s"]


def main(asked: Sequence[str]) -> int:
    """Exit code of the first part that failed, else 0."""
    parts: list[Part] = []
    for name in asked:
        print(f"--- {name}", flush=True)
        parts.append(run(name))
        if parts[-1].code != 0:
            break
    print()
    print("\n".join(closing(parts, asked)))
    return parts[-1].code if parts else 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
