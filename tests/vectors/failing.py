"""Prints the names of the vectors that fail in Python, as a JSON list; used on planted copies."""

import json

from tests.vectors.cases import FoldCase, GuardCase, cases
from tests.vectors.judging import differences


def fails(case: FoldCase | GuardCase) -> bool:
    """Whether the code answers otherwise, or breaks; what awaits a later issue does not count."""
    if isinstance(case.awaits, str):
        return False
    try:
        return bool(differences(case))
    except Exception:
        return True


if __name__ == "__main__":
    print(json.dumps([case.case for case in cases() if fails(case)]))
