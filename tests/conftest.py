"""What every test gets: no real display, and a failure on any warning nobody expected."""

import logging
import os
from collections.abc import Iterator

os.environ["QT_QPA_PLATFORM"] = "offscreen"

import pytest

from tests.length import go_the_long_way


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="walk whole plans, not a seeded sample of them")


def pytest_configure(config: pytest.Config) -> None:
    go_the_long_way(bool(config.getoption("--long")))


class _Kept(logging.Handler):
    """Keeps every record that reaches it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.records: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.records.append(record)


@pytest.fixture
def expected_log() -> list[str]:
    """Words a test expects in log lines at WARNING or above; such lines do not fail it."""
    return []


@pytest.fixture(autouse=True)
def _no_unexpected_log(expected_log: list[str]) -> Iterator[None]:
    kept = _Kept()
    root = logging.getLogger()
    root.addHandler(kept)
    yield
    root.removeHandler(kept)
    lines = [record.getMessage() for record in kept.records]
    unexpected = [line for line in lines if not any(words in line for words in expected_log)]
    if unexpected:
        pytest.fail("Unexpected log lines:\n" + "\n".join(unexpected))
