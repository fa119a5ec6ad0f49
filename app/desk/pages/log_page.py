"""The logbook: the journal as a timeline."""

from typing import TYPE_CHECKING

from app.desk.pages.list_page import ListPage
from app.desk.pages.rows import journal_rows
from app.desk.registry import Page

if TYPE_CHECKING:
    from app.desk.desk import Desk


def make_page(desk: "Desk", _key: str) -> Page:
    """The logbook, its end in sight."""
    page = ListPage(desk.theme, middle_px=120, right_px=90)
    page.wanted.connect(desk.home.go_to_step)

    def refill() -> None:
        work = desk.at_hand.work
        if work is not None:
            entries = work.told_all()
            page.show_page("Logbook", work.build.name, f"{len(entries)} entries", journal_rows(work.build, entries))

    def focus() -> None:
        page.list.setFocus()
        page.list.scrollToBottom()

    return Page(page, refill=refill, focus=focus)
