"""One way to check that bad input is refused in one sentence."""

from collections.abc import Callable

import pytest


def refuses(make: Callable[[], object], words: str) -> None:
    """Check that a call raises ValueError with one sentence that holds the words (a pattern)."""
    with pytest.raises(ValueError, match=words) as caught:
        make()
    said = str(caught.value)
    assert said.endswith((".", "?"))
    assert "\n" not in said
