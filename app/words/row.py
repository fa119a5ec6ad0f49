"""A row of a list as plain data: what stands in it, without saying how it is drawn."""

from typing import Literal

from msgspec import Struct


class Words(Struct, frozen=True):
    """A piece of text with the token of its ink."""

    text: str
    ink: Literal["quiet", "stop"] = "quiet"
    bold: bool = False


class Row(Struct, frozen=True):
    """One row: a heading, or a title with a second row under it and up to two columns at the right."""

    key: str
    title: str
    heading: bool = False
    number: str = ""
    second: tuple[Words, ...] = ()
    middle: str = ""
    right: str = ""


def group(title: str, rows: list[Row]) -> list[Row]:
    """The rows under a heading that counts them; none where there are none."""
    return [Row("", title, heading=True, right=str(len(rows))), *rows] if rows else []
