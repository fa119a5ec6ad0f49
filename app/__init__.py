"""Firstcrank: plan an engine build, work it line by line, and leave no loose end behind."""

import gc
from pathlib import Path

# Where plans, tables, fonts and pictures lie.
RESOURCES = Path(__file__).parents[1] / "resources"

# Start-up makes a hundred thousand objects that stay. At Python's own threshold the collector walks them dozens of
# times and finds nothing; looking a hundred times less often saves a tenth of the start (tests/benchmarks/start.py).
gc.set_threshold(70_000, 20, 20)
