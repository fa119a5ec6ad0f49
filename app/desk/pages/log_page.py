"""The logbook: the journal as a timeline. What was told once is not told again: only what is new is read and made."""

from typing import TYPE_CHECKING

from app.assembly.lines import Line
from app.desk.pages.list_page import ListPage, ListRow
from app.desk.pages.rows import day_row, told_row
from app.desk.registry import Page
from app.desk.theme import PageTheme
from app.desk.work import Work
from app.words.journal import Told, marked_together

if TYPE_CHECKING:
    from app.desk.desk import Desk


class LogRows:
    """The rows of one build's logbook, grown with its journal."""

    def __init__(self) -> None:
        self._key = 0
        self._lines: tuple[Line, ...] = ()
        self._number = 0
        self._at: list[int] = []
        self._together: frozenset[int] = frozenset()
        self.entries: list[Told] = []
        self.rows: list[ListRow] = []

    def follow(self, work: Work) -> None:
        """Tell what was written since; from the start where the build or its lines are others."""
        build = work.build
        if (build.key, build.number) == (self._key, self._number) and build.lines is self._lines:
            return
        if build.key != self._key or build.lines is not self._lines:
            self._number, self._at, self.entries, self.rows = 0, [], [], []
            self._together = frozenset()
            self._key, self._lines = build.key, build.lines
        begun = len(self.entries)
        self.entries += work.told_after(self._number)
        self._number = build.number
        together = marked_together(self.entries)
        for number in sorted(together - self._together):  # a burst is known by its third line
            if number < begun:
                self.rows[self._at[number]] = told_row(build, self.entries[number], together=True)
        self._together = together
        for number in range(begun, len(self.entries)):
            self._add(work, number)

    def _add(self, work: Work, number: int) -> None:
        one = self.entries[number]
        day = one.at.astimezone().date()
        if number == 0 or self.entries[number - 1].at.astimezone().date() != day:
            self.rows.append(day_row(one))
        self._at.append(len(self.rows))
        self.rows.append(told_row(work.build, one, together=number in self._together))


def make_page(desk: "Desk", _key: str) -> Page:
    """The logbook, its end in sight."""
    theme = PageTheme(desk.theme)
    page = ListPage(theme, middle_px=120, right_px=90)
    page.wanted.connect(desk.home.go_to_step)
    log = LogRows()

    def refill() -> None:
        work = desk.at_hand.work
        if work is not None:
            log.follow(work)
            page.show_page("Logbook", work.build.name, f"{len(log.entries)} entries", log.rows)

    def focus() -> None:
        page.list.setFocus()
        page.list.scrollToBottom()

    return Page(page, theme, refill=refill, focus=focus)
