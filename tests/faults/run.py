"""Plants every fault on a copy, runs the vectors in both languages, and says which noticed it.

    python -m tests.faults.run              all faults, both languages
    python -m tests.faults.run python       one language

Exit code 1 if a fault goes unnoticed, or if a vector fails without any fault.
"""

import sys
import tempfile
from pathlib import Path

from tests.faults.planting import CORES, copy_of_the_sources, failing, patched, planted


def main(languages: list[str]) -> int:
    """Print a line a fault and language; 0 if every fault was noticed."""
    missed = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = copy_of_the_sources(Path(folder))
        for language in languages:
            before = failing(language, copy)
            if before:
                print(f"{language}: without any fault these fail: {', '.join(before)}")
                missed += 1
                continue
            for fault in planted():
                patch = fault.patches[language]
                path = copy / CORES[language] / patch.file
                sound = path.read_text(encoding="utf-8")
                path.write_text(patched(sound, patch), encoding="utf-8")
                noticed = failing(language, copy)
                path.write_text(sound, encoding="utf-8")
                missed += not noticed
                told = f"noticed by {len(noticed)}: {noticed[0]}" if noticed else "NOT NOTICED"
                print(f"{language:10} {fault.name:48} {told}", flush=True)
    print("every fault was noticed" if not missed else f"{missed} not as it should be")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or list(CORES)))
