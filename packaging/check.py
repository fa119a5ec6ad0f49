"""Check the whole checkout: python3 packaging/check.py. Ends with the test summary; exit code 0 means all is well.

With --long the tests walk whole plans, where they else take a seeded sample of them.
"""

import argparse
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

if sys.version_info < (3, 11):  # noqa: UP036  an older Python is just what this line is for
    sys.exit("Firstcrank needs Python 3.11 or newer; this is Python {}.{}.".format(*sys.version_info[:2]))

import environment
from environment import ROOT, say

# All cores share the tests, each takes the next one when it has none left, and the slowest are named.
TESTS = ["pytest", "-n", "auto", "--dist", "worksteal", "--durations", "10"]


def steps(python: Path, *, long: bool) -> dict[str, list[str]]:
    """Return the commands to run, by name; the tests come last so that their summary is the last line."""
    run = [str(python), "-m"]
    return {
        "layout of the code": [*run, "ruff", "format", "--check", "."],
        "code habits": [*run, "ruff", "check", "."],
        "types": [*run, "mypy"],
        "floors": [str(environment.tool_of(ROOT / ".venv", "lint-imports"))],
        "plan schema": [str(python), str(ROOT / "packaging" / "make_schema.py"), "--check"],
        "tests": [*run, *TESTS, *(["--long"] if long else [])],
    }


def run_step(name: str, command: list[str]) -> bool:
    """Run one step in the checkout, say how long it took unless it is the last, and return whether it passed."""
    say(f"== {name}")
    began = time.monotonic()
    passed = subprocess.run(command, cwd=ROOT, check=False).returncode == 0
    if name != "tests":
        say(f"== {name}: {'passed' if passed else 'FAILED'} in {time.monotonic() - began:.1f} s")
    return passed


def main(arguments: Sequence[str]) -> int:
    """Run every step, also after one has failed; return 1 if any did."""
    parser = argparse.ArgumentParser(description="Check the whole checkout.")
    parser.add_argument("--long", action="store_true", help="walk whole plans, not a seeded sample of them")
    asked = parser.parse_args(arguments)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    python = environment.prepare(environment.CHECK)
    failed: list[str] = []
    for name, command in steps(python, long=asked.long).items():
        if name == "tests" and failed:
            say(f"== FAILED before the tests: {', '.join(failed)}")
        if not run_step(name, command):
            failed.append(name)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
