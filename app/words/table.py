"""A table of the record as plain data: its columns and rows of words."""

from msgspec import Struct


class Column(Struct, frozen=True):
    """A column of a table: its heading, its width, and the weight of its words."""

    heading: str
    wide_mm: float
    weight: int = 400


class Table(Struct, frozen=True):
    """A section of the record; `empty` is said where there are no rows, and without it nothing stands there."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str


WHO = Column("Who", 12)
WHEN = Column("When", 34)
