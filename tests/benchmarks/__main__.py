"""`python -m tests.benchmarks [--json] [--long]`: how fast the program is against a stated floor, all in one run."""

import json
import os
import sys
from dataclasses import asdict
from functools import partial

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from tests.benchmarks import growth, logbook, looks, loose_ends, mark, paper, start, undo, verbs
from tests.benchmarks.figure import Figure

MEASURES = (
    start.measure,
    verbs.measure,
    mark.measure,
    undo.measure,
    looks.measure,
    logbook.measure,
    loose_ends.measure,
    paper.measure,
)


def main(arguments: list[str]) -> int:
    """Run them all; gives 1 if one misses its limit."""
    figures: list[Figure] = []
    grown = partial(growth.measure, many="--long" in arguments)
    for measure in (*MEASURES, grown):
        for figure in measure():
            figures.append(figure)
            if "--json" not in arguments:
                print(figure.line(), flush=True)
    if "--json" in arguments:
        print(json.dumps([asdict(figure) | {"ok": figure.ok} for figure in figures], indent=1))
    return 0 if all(figure.ok for figure in figures) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
