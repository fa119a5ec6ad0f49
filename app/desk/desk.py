"""What lies on the desk: the workshop and build at hand, the sheet, the other pages, the question, the foot."""

from collections.abc import Callable
from functools import cached_property
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QApplication, QWidget

from app.assembly.standing.remembered import to_be_asked
from app.desk.background import Background
from app.desk.page_stack import PageStack
from app.desk.registry import Page, PageKind
from app.desk.settings import Choices
from app.desk.sheet.find import Finder
from app.desk.sheet.page import SheetPage
from app.desk.theme import PageTheme, Theme
from app.desk.widgets.ask import AskPanel
from app.desk.widgets.foot import Foot
from app.desk.work import AtHand
from app.desk.workshop_desk import WorkshopDesk

if TYPE_CHECKING:
    from app.desk.places.gauge import Gauge
    from app.desk.records.records import Records
    from app.desk.sheet.marking import Marking


class FirstTouch(QObject):
    """Tells of the first key or press of all, before it reaches what it is meant for."""

    touched = Signal()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Tell once, and keep nothing back."""
        if event.type() in (QEvent.Type.KeyPress, QEvent.Type.MouseButtonPress, QEvent.Type.ShortcutOverride):
            QApplication.instance().removeEventFilter(self)  # type: ignore[union-attr]
            self.touched.emit()
        return super().eventFilter(watched, event)


class Desk(QObject):
    """Makes what lies on the desk and connects it; `changed` tells that the build at hand is another or has changed."""

    changed = Signal()

    def __init__(self, theme: Theme, choices: Choices, window: QWidget) -> None:
        super().__init__(window)
        self.theme = theme
        self.choices = choices
        self.at_hand = AtHand()
        self.background = Background(self)
        self.ask = AskPanel(theme, window)
        self.foot = Foot(theme, window)
        self._home_theme = PageTheme(theme)
        self.home = SheetPage(self._home_theme, self.at_hand, window)
        self.home.sheet.letters = choices.now.letters
        self.pages = PageStack(theme, self._home_page(), self.at_hand, self.ask, self.foot, self._make, window)
        self.workshops = WorkshopDesk(self.at_hand, self.home.sheet, self.foot, choices, self.background, window)
        self.finder = Finder(self.home, self.ask, self.at_hand, self)
        self._first = FirstTouch(self)
        self._connect()

    def _home_page(self) -> Page:
        home = self.home
        return Page(home, self._home_theme, refill=home.show_work, focus=home.sheet.setFocus, asking=home.keep_in_sight)

    def _make(self, kind: PageKind) -> Page:
        module, _, function = kind.made_in.partition(":")
        make: Callable[[Desk, str], Page] = getattr(import_module(module), function)
        return make(self, kind.key)

    def _connect(self) -> None:
        sheet, foot, pages = self.home.sheet, self.foot, self.pages
        self.home.wanted.connect(pages.show_home)
        self.home.strip.gate_wanted.connect(self.show_gate)
        sheet.gate_wanted.connect(self.show_gate)
        sheet.line_changed.connect(foot.hush)
        sheet.find_wanted.connect(self.finder.ask_line)
        sheet.places_wanted.connect(self.show_places)
        sheet.record_wanted.connect(self._say_beside)
        foot.undo.clicked.connect(self.workshops.undo)
        foot.ends.clicked.connect(self.show_ends)
        foot.ready.clicked.connect(self.show_ready)
        foot.cancel.clicked.connect(self.background.cancel)
        self.background.progress.connect(foot.show_progress)
        self.workshops.opened.connect(self._opened)
        self.workshops.empty.connect(self.show_new)
        self._first.touched.connect(self._make_hands)
        application = QApplication.instance()
        assert application is not None  # there is a window
        application.installEventFilter(self._first)

    # --- what answers the keys, made with the first of them: start-up has no use for it

    @cached_property
    def marking(self) -> "Marking":
        """What keys and presses on the sheet come to."""
        from app.desk.sheet.marking import Marking

        marking = Marking(self.home.sheet, self.ask, self.at_hand, self)
        self.home.tray.part_wanted.connect(marking.say_part)
        marking.line_wanted.connect(self.home.go_to_step)
        return marking

    @cached_property
    def records(self) -> "Records":
        """What is kept beside the sheet."""
        from app.desk.records.records import Records

        return Records(self.ask, self.home, self.marking.with_initials, self.at_hand, self)

    @cached_property
    def gauge(self) -> "Gauge":
        """What readings are taken with."""
        from app.desk.places.gauge import Gauge

        return Gauge(self.ask, self.at_hand)

    def _make_hands(self) -> None:
        assert self.marking.parent() is self  # made by being asked for

    def _say_beside(self, letter: str) -> None:
        self.records.say(letter)

    # --- a build

    def _opened(self) -> None:
        work = self.at_hand.work
        assert work is not None  # it is what was opened
        work.changed.connect(self.show_work)
        work.told.connect(self.foot.say_last)
        work.refused.connect(self._refused)
        self.home.open_at(work.workshop.arrow(work.build))
        self.changed.emit()
        self.foot.show_work(work)
        if to_be_asked(work.survey):
            self.records.come_back()

    def show_work(self) -> None:
        """Show the build at hand as it stands, wherever it is shown."""
        work = self.at_hand.work
        if work is not None:
            self.foot.show_work(work)
            self.pages.refill()
            self.changed.emit()

    def _refused(self, words: str) -> None:
        if self.ask.asking:
            self.ask.refuse(words)
        else:
            self.foot.say(words, trouble=True)

    # --- pages that buttons and presses lead to

    def show_gate(self, gate: str) -> None:
        """A gate's page."""
        self.pages.show_page("gate", gate)

    def show_ends(self) -> None:
        """Everything open that will bite."""
        self.pages.show_page("ends")

    def show_ready(self) -> None:
        """What can be started now, and what the rest waits for."""
        self.pages.show_page("ready")

    def show_new(self) -> None:
        """Make a build."""
        self.pages.show_page("new")

    def show_places(self) -> None:
        """The places of the line in hand, drawn as the part lies: lash by its stops, bolts, or a grid of readings."""
        line = self.home.line
        if line is None or any(self.pages.show_page(key, line.id) for key in ("lash", "bolts", "grid")):
            return
        words = "tightens no bolts and asks for no values"
        self.foot.say(f"{line.number} {words}; its places stand on the sheet.", trouble=True)

    def show_grid(self) -> None:
        """The line in hand as a grid of readings."""
        self.pages.show_page("grid")

    def show_sum_of_line(self) -> None:
        """The sum that goes with the line in hand, with what the line knows filled in; Esc comes back to the line."""
        line = self.home.line
        if line is not None:
            self.pages.show_page("sums", line.id)
