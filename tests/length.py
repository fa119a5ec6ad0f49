"""How far the tests walk: a seeded sample of a whole plan, or all of it with `pytest --long`."""

from random import Random

_way = {"long": False}


def go_the_long_way(long: bool) -> None:
    """Say before the tests are read whether they walk all the way."""
    _way["long"] = long


def long_way() -> bool:
    """Whether everything is walked."""
    return _way["long"]


def at_most(all_of_it: int, sample: int) -> int:
    """How many examples are tried."""
    return all_of_it if long_way() else sample


class Sample:
    """Picks a share of what comes by, the same in every run; all of it on the long way."""

    def __init__(self, share: float) -> None:
        self._share = share
        self._random = Random(1)

    def takes(self) -> bool:
        """Whether the next one belongs to the sample."""
        return long_way() or self._random.random() < self._share
