"""Sections of plain words, as they stand in a tray or beside a page."""

from msgspec import Struct

from app.sheet.draw.drawing import Drawing
from app.sheet.rows import Run

WORDS_PX, LONG_PX, FIGURE_PX, SETTING_PX = 16, 20, 34, 54


class Item(Struct, frozen=True):
    """One entry of a section: its words, and what stands at the right end (“in”, “on order”). `part` can be pressed."""

    runs: tuple[Run, ...]
    right: str = ""
    part: str = ""
    line: str = ""


class Section(Struct, frozen=True):
    """A heading, what stands under it in letters of so many px, and a drawing; large letters are read from afar."""

    heading: str
    items: tuple[Item, ...]
    px: int = WORDS_PX
    drawing: Drawing | None = None


def plain(text: str) -> Item:
    return Item((Run(text, "text"),))
