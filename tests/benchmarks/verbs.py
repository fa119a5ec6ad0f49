"""Verbs as whole processes, against processes that only load the libraries below them."""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks import worked
from tests.benchmarks.figure import Figure, against

RUNS = 7
ROOT = Path(__file__).parents[2]
CLICK = ("-c", "import click")
LIBRARIES = ("-c", "import sqlalchemy, click")
NAME = "1"


def measure() -> Iterator[Figure]:
    """The median of several runs of each, taken in turn so that all meet the same machine."""
    with tempfile.TemporaryDirectory() as room:
        folder = str(shutil.copytree(worked.worked(), Path(room) / "workshop"))
        program = ("-m", "app")
        runs = {
            "click": CLICK,
            "libraries": LIBRARIES,
            "--version": (*program, "--version"),
            "--help": (*program, "--help"),
            "sheet": (*program, "sheet", folder, NAME),
            "ready": (*program, "ready", folder, NAME),
            "loose-ends": (*program, "loose-ends", folder, NAME),
            "mark": (*program, "mark", folder, NAME, "1.01", "started", "--why", "gone over", "--by", "AB"),
            "undo": (*program, "undo", folder, NAME, "--by", "AB"),
        }
        spent = _spent(runs, room)
    for verb in ("--version", "--help"):
        yield against(f"firstcrank {verb} to import click", spent[verb], spent["click"], 1.5)
    for verb in ("sheet", "ready", "loose-ends", "mark", "undo"):
        yield against(f"firstcrank {verb} to import sqlalchemy, click", spent[verb], spent["libraries"], 1.4)


def _spent(runs: dict[str, tuple[str, ...]], room: str) -> dict[str, float]:
    environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": str(Path(room) / "compiled")}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    times: dict[str, list[float]] = {name: [] for name in runs}
    for turn in range(RUNS + 1):
        for name, words in runs.items():
            begun = time.perf_counter()
            subprocess.run([sys.executable, *words], check=True, env=environment, stdout=subprocess.DEVNULL)
            if turn:  # the first compiles
                times[name].append((time.perf_counter() - begun) * 1000)
    return {name: statistics.median(found) for name, found in times.items()}
