"""All loose ends of a large build, from nothing known to all of them found."""

import statistics
import time
from collections.abc import Iterator
from datetime import timedelta

from app.build.rules import loose_ends
from app.build.survey import Survey
from tests.benchmarks.builds import NOW, large_build
from tests.benchmarks.figure import Figure


def measure() -> Iterator[Figure]:
    """The median of several looks at 300 lines and 3,000 readings."""
    build = large_build(300, 3000)
    times = []
    for _ in range(15):
        build.worked_out.clear()
        begun = time.perf_counter()
        found = loose_ends(Survey(build, NOW + timedelta(days=1)))
        times.append((time.perf_counter() - begun) * 1000)
        assert found
    yield Figure("all loose ends, 300 lines, 3,000 readings", round(statistics.median(times), 2), None, None, 10)
