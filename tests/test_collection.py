"""No folder of tests may be passed over without a word."""

from fnmatch import fnmatch
from pathlib import Path

import pytest

TESTS = Path(__file__).parent


def test_every_folder_with_tests_is_collected(pytestconfig: pytest.Config) -> None:
    passed_over = pytestconfig.getini("norecursedirs")
    folders = {path.parent for path in TESTS.rglob("test_*.py")}
    names = {part for folder in folders for part in folder.relative_to(TESTS).parts}
    assert {name for name in names for pattern in passed_over if fnmatch(name, pattern)} == set()
