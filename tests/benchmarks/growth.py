"""What must not grow: list and open with the builds of a workshop, open and undo with the deeds of a build."""

import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from app.store.workshop import Workshop
from tests.benchmarks import worked
from tests.benchmarks.figure import Figure, against

RUNS = 15
NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
NAME = "Hill-climb special, sprint engine"
Job = Callable[[Workshop], object]


def measure(*, many: bool = False) -> Iterator[Figure]:
    """The median of several runs on the large one and on the small one, in turn; a thousand builds if `many`."""
    builds = 1_000 if many else 100
    with tempfile.TemporaryDirectory() as room:
        one, several, long = (
            shutil.copytree(source, Path(room) / name)
            for name, source in (("one", worked.worked()), ("many", worked.many(builds)), ("long", worked.long()))
        )
        yield _grown(f"list of {builds:,} builds to a list of 1", several, one, lambda shop: shop.builds(), 3)
        yield _grown(f"open by name among {builds:,} builds to 1", several, one, _open, 1.5)
        yield _grown(f"open at {worked.LONG:,} deeds to {worked.DEEDS:,}", long, one, _open, 1.3)
        yield _grown(f"undo and redo at {worked.LONG:,} deeds to {worked.DEEDS:,}", long, one, _undo, 1.3)


def _open(shop: Workshop) -> object:
    return shop.load(shop.find(NAME))


def _undo(shop: Workshop) -> object:
    build, _ = shop.undo(shop.load(1), by="AB", now=NOW)
    return shop.redo(build, by="AB", now=NOW)


def _grown(name: str, large: Path, small: Path, job: Job, limit: float) -> Figure:
    times: dict[Path, list[float]] = {large: [], small: []}
    for turn in range(RUNS + 1):
        for folder, found in times.items():
            begun = time.perf_counter()
            with Workshop.open_at(folder, now=NOW) as shop:
                job(shop)
            if turn:  # the first warms the disk
                found.append((time.perf_counter() - begun) * 1000)
    return against(name, statistics.median(times[large]), statistics.median(times[small]), limit)
