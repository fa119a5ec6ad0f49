"""Going to a line by its number, or to the next one with some words in it."""

from PySide6.QtCore import QObject

from app.assembly.build import Build
from app.assembly.lines import Line
from app.desk.sheet.page import SheetPage
from app.desk.widgets.ask import AskPanel, Field
from app.desk.work import AtHand


def find_line(build: Build, words: str, after: Line | None) -> Line | None:
    """The line with this number, else the next one after a line, and round again, that has these words in it."""
    stage, dot, row = words.partition(".")
    number = f"{stage}.{row:0>2}" if dot else words
    if number in build.by_number:
        return build.by_number[number]
    here = after.position if after is not None else -1
    order = [*build.lines[here + 1 :], *build.lines[: here + 1]]
    low = words.casefold()
    return next((one for one in order if low and low in f"{one.step.do} {one.step.note}".casefold()), None)


class Finder(QObject):
    """Asks for a line and goes there."""

    def __init__(self, page: SheetPage, ask: AskPanel, at_hand: AtHand, parent: QObject) -> None:
        super().__init__(parent)
        self._page = page
        self._ask = ask
        self._at_hand = at_hand

    def ask_line(self) -> None:
        """Ask for a line number, or for words to find from here on."""
        if self._at_hand.work is None:
            return
        field = Field("line", "Line, or words", hint="4.07, or for example: thrust")
        self._ask.ask("Go to", (field,), lambda answers: self._found(answers["line"].strip()), button="Go")

    def _found(self, words: str) -> bool:
        assert self._at_hand.work is not None  # asked for with a build only
        line = find_line(self._at_hand.work.build, words, self._page.line)
        if line is None:
            self._ask.refuse(f"There is no line with “{words}” in it.")
            return False
        self._page.go_to_step(line.id)
        return True
