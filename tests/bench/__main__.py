"""`poe bench`: ours, the other, the ratio, in one run on one machine; it stops by itself.

Only ratios are worth keeping: the machine, its disk and its neighbours change the rest.
"""

import sys
from collections.abc import Callable, Iterator

from tests.bench import append, http, pure
from tests.bench.rounds import Ratio

PARTS: dict[str, Callable[[], Iterator[Ratio]]] = {
    "pure": pure.rows,
    "append": append.rows,
    "http": http.rows,
}


def main(wanted: list[str]) -> None:
    """Print the table, part by part as it comes."""
    unknown = [name for name in wanted if name not in PARTS]
    if unknown:
        sys.exit(f"found {', '.join(unknown)}, expected some of {', '.join(PARTS)}")
    print(f"{'what':<44}{'ours':>20}{'other':>32}{'ratio':>9}  aim")
    for name in wanted or list(PARTS):
        for row in PARTS[name]():
            print(_line(row), flush=True)


def _line(row: Ratio) -> str:
    show = _rate if row.rates else _time
    ours = f"{row.ours} {show(row.ours_s)}"
    other = f"{row.other} {show(row.other_s)}"
    return f"{row.what:<44}{ours:>20}{other:>32}{row.ratio:>9.3g}  {row.aim}"


def _rate(per_s: float) -> str:
    return f"{per_s:,.0f}/s"


def _time(seconds: float) -> str:
    for unit, size in (("s", 1.0), ("ms", 1e-3)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-6:.3g} µs"


if __name__ == "__main__":
    main(sys.argv[1:])
