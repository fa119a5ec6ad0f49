"""What must be refused, and in which words a person reads it."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from app.assembly.said.refusal import Refused
from app.words.say import refusal


@contextmanager
def refused(match: str = "", kind: type[Refused] = Refused) -> Iterator[pytest.ExceptionInfo[Refused]]:
    """What is done inside must be refused, in a sentence where this pattern is found."""
    with pytest.raises(kind) as caught:
        yield caught
    sentence = refusal(caught.value)
    assert re.search(match, sentence), sentence
