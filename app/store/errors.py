"""What can go wrong with a workshop, said so that a person can mend it."""


class StoreError(Exception):
    """A workshop that cannot be used or written now; the text says what, where and how to mend it."""


class Busy(StoreError):
    """Another program has the workshop open for writing."""
