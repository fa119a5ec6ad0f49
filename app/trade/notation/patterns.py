"""Patterns that are made when they are first wanted: most belong to words that few figures have."""

import re
from collections.abc import Iterator
from functools import cached_property


class LatePattern:
    """A pattern of `re` by its text and flags, made at its first use."""

    def __init__(self, pattern: str, flags: int = 0) -> None:
        self._pattern, self._flags = pattern, flags

    @cached_property
    def _made(self) -> re.Pattern[str]:
        return re.compile(self._pattern, self._flags)

    def search(self, text: str) -> re.Match[str] | None:
        """Where the pattern stands in a text first."""
        return self._made.search(text)

    def match(self, text: str) -> re.Match[str] | None:
        """Whether a text begins with the pattern."""
        return self._made.match(text)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Whether a text is the pattern."""
        return self._made.fullmatch(text)

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """Everywhere the pattern stands in a text."""
        return self._made.finditer(text)

    def sub(self, by: str, text: str, count: int = 0) -> str:
        """A text with the pattern replaced."""
        return self._made.sub(by, text, count=count)
