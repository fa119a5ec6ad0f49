"""A page of what is kept beside the sheet."""

from typing import TYPE_CHECKING

from app.desk.pages.list_page import ListPage
from app.desk.registry import Page
from app.desk.theme import PageTheme

if TYPE_CHECKING:
    from app.desk.desk import Desk


def make_page(desk: "Desk", key: str) -> Page:
    """The page with this key: its rows, what Enter does, and its buttons."""
    record = desk.records.pages()[key]
    theme = PageTheme(desk.theme)
    page = ListPage(theme, middle_px=190, right_px=240)
    page.wanted.connect(record.wanted)
    for number, (text, slot) in enumerate(record.buttons):
        page.add_button(text, first=number == 0).clicked.connect(slot)

    def refill() -> None:
        if desk.at_hand.work is not None:
            about = f"{desk.at_hand.work.build.name}. {record.about}"
            page.show_page(record.title, about, "", record.rows(), record.empty)

    return Page(page, theme, refill=refill, focus=page.list.setFocus)
