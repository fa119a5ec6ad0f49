"""The list pages: loose ends, what is ready, the builds of the workshop."""

from typing import TYPE_CHECKING

from app.desk.pages.list_page import ListPage
from app.desk.pages.rows import build_rows, loose_end_rows, ready_rows
from app.desk.registry import Page
from app.desk.theme import PageTheme

if TYPE_CHECKING:
    from app.desk.desk import Desk


def make_ends(desk: "Desk", _key: str) -> Page:
    """Everything open that will bite."""
    theme = PageTheme(desk.theme)
    page = ListPage(theme, middle_px=170, right_px=330)
    page.wanted.connect(desk.home.go_to_step)

    def refill() -> None:
        work = desk.at_hand.work
        if work is None:
            return
        count = len(work.ends)
        page.show_page(
            "Loose ends",
            f"{work.build.name}. What is open and will bite, at the gate where it does",
            f"{count} open" if count else "",
            loose_end_rows(work),
            "No loose end. What is merely still to do is not one.",
        )

    return Page(page, theme, refill=refill, focus=page.list.setFocus)


def make_ready(desk: "Desk", _key: str) -> Page:
    """What can be started now, and what the rest waits for."""
    theme = PageTheme(desk.theme)
    page = ListPage(theme, middle_px=90, right_px=150)
    page.wanted.connect(desk.home.go_to_step)

    def refill() -> None:
        work = desk.at_hand.work
        if work is not None:
            page.show_page("Ready now", work.build.name, "", ready_rows(work))

    return Page(page, theme, refill=refill, focus=page.list.setFocus)


def make_builds(desk: "Desk", _key: str) -> Page:
    """The builds of the workshop, as they are when the page is opened."""
    theme = PageTheme(desk.theme)
    page = ListPage(theme, middle_px=260, right_px=220)
    page.add_button("New build …", first=True).clicked.connect(desk.show_new)

    def open_build(key: str) -> None:
        desk.workshops.open_build(int(key))

    def begin(_about: str) -> bool:
        workshop = desk.at_hand.workshop
        if workshop is None:
            return False
        page.show_page("Builds", str(workshop.folder), "", build_rows(workshop.builds()), "No build yet.")
        return True

    page.wanted.connect(open_build)
    return Page(page, theme, begin, focus=page.list.setFocus)
