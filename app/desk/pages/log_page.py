"""The logbook: the journal as a timeline. What was told once is not told again: only what is new is read and made."""

from typing import TYPE_CHECKING

from msgspec.structs import replace

from app.assembly.lines import Line
from app.assembly.said.deeds import EventName
from app.assembly.standing.entry_places import HIDDEN, hides_first
from app.desk.pages.list_page import ListPage, ListRow
from app.desk.pages.rows import day_row, told_row
from app.desk.registry import Page
from app.desk.theme import PageTheme
from app.desk.work import Work
from app.words.journal import Told, marked_together

if TYPE_CHECKING:
    from app.desk.desk import Desk


# What tells a value that was written.
_READS = (EventName.READ, EventName.RUB_OUT, EventName.BOLT)


class LogRows:
    """The rows of one build's logbook, grown with its journal."""

    def __init__(self) -> None:
        self._key = 0
        self._lines: tuple[Line, ...] = ()
        self._number = 0
        self._hidden: frozenset[str] = frozenset()
        self._at: list[int] = []
        self._together: frozenset[int] = frozenset()
        self.entries: list[Told] = []
        self.rows: list[ListRow] = []

    def follow(self, work: Work) -> None:
        """Tell what was written since; from the start where the build or its lines are others."""
        build = work.build
        hidden = frozenset(line.number for line in build.lines if hides_first(work.survey, line))
        if hidden != self._hidden:
            self._hidden, self._key = hidden, 0  # told anew: what was seen is not, or what was not is
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
        self.rows.append(told_row(work.build, self._shown(one), together=number in self._together))

    def _shown(self, one: Told) -> Told:
        """An entry without the first reading that a second look is still to read anew."""
        if one.line not in self._hidden or one.event not in _READS:
            return one
        return replace(one, old=HIDDEN if one.old else "", new=HIDDEN if one.new else "")


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
