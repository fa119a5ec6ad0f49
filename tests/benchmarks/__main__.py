"""`python -m tests.benchmarks [--json]`: how fast the program is against a stated floor, all in one run."""

import json
import os
import sys
from dataclasses import asdict

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from tests.benchmarks import loose_ends, mark, paper, start
from tests.benchmarks.figure import Figure


def main(arguments: list[str]) -> int:
    """Run them all; gives 1 if one misses its limit."""
    figures: list[Figure] = []
    for measure in (start.measure, mark.measure, loose_ends.measure, paper.measure):
        for figure in measure():
            figures.append(figure)
            if "--json" not in arguments:
                print(figure.line(), flush=True)
    if "--json" in arguments:
        print(json.dumps([asdict(figure) | {"ok": figure.ok} for figure in figures], indent=1))
    return 0 if all(figure.ok for figure in figures) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
