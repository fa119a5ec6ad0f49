"""The pages, one shown at a time: the sheet is home, every other is made when it is first wanted."""

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from app.desk.pages import PAGES
from app.desk.places import PAGES as PLACES
from app.desk.records import PAGES as RECORDS
from app.desk.registry import Needs, Page, PageKind
from app.desk.theme import Theme
from app.desk.widgets.ask import AskPanel
from app.desk.widgets.foot import Foot
from app.desk.work import AtHand

KINDS = {kind.key: kind for kind in (*PAGES, *PLACES, *RECORDS)}
W = TypeVar("W", bound=QWidget)


class PageStack(QStackedWidget):
    """Shows pages by their key. `make` makes one; `home` is the sheet's."""

    def __init__(
        self,
        theme: Theme,
        home: Page,
        at_hand: AtHand,
        ask: AskPanel,
        foot: Foot,
        make: Callable[[PageKind], Page],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._home = home
        self._at_hand = at_hand
        self._ask = ask
        self._foot = foot
        self._make = make
        self._made: dict[str, Page] = {}
        self._shown = home
        self._add(home)
        theme.changed.connect(self._restyle)
        ask.opened.connect(self._make_room)
        ask.closed.connect(self._answered)

    def page(self, key: str) -> Page:
        """The page with this key, made if it is not there yet."""
        if key not in self._made:
            made = self._make(KINDS[key])
            self._add(made)
            self._made[key] = made
        return self._made[key]

    def _add(self, page: Page) -> None:
        """Each page lies on a leaf of its own, which carries the style sheet: what the page sets itself stays."""
        leaf = QWidget(self)
        column = QVBoxLayout(leaf)
        column.setContentsMargins(0, 0, 0, 0)
        leaf.setStyleSheet(page.theme.style)
        leaf.resize(self.size())
        column.addWidget(page.widget)
        self.addWidget(leaf)

    def shown(self) -> QWidget:
        """The page that shows."""
        return self._shown.widget

    def _restyle(self) -> None:
        """Bring what shows to the look in force."""
        if self._shown.theme.tell():
            _leaf(self._shown).setStyleSheet(self._shown.theme.style)

    def widget_of(self, key: str, kind: type[W]) -> W:
        """The widget of a page, which must be of this kind."""
        found = self.page(key).widget
        assert isinstance(found, kind)
        return found

    def show_page(self, key: str, about: str = "") -> bool:
        """Show a page about something: a gate, a line, or nothing in particular; say whether it could be."""
        needs = KINDS[key].needs
        if needs is Needs.BUILD and self._at_hand.work is None:
            return False
        if needs is Needs.WORKSHOP and self._at_hand.workshop is None:
            return False
        page = self.page(key)
        if not page.begin(about):
            return False
        self._turn_to(page)
        return True

    def show_home(self) -> None:
        """Back to the sheet; a question that stands open is left first."""
        if self._at_hand.work is None:
            return
        if self._ask.asking:
            self._ask.leave()
            return
        self._turn_to(self._home)

    def _turn_to(self, page: Page) -> None:
        if self._ask.asking:
            self._ask.close_panel()
        self._foot.hush()
        self._shown = page
        self._restyle()
        page.refill()
        self.setCurrentWidget(_leaf(page))
        page.focus()

    def refill(self) -> None:
        """Make what is shown anew: the build has changed."""
        self._shown.refill()

    def go_back(self) -> None:
        """Esc: where the page leads back to, else to the sheet."""
        if not self._shown.back():
            self.show_home()

    # --- a question below the page

    def _make_room(self) -> None:
        self._set_asking(True)

    def _answered(self) -> None:
        self._set_asking(False)
        if self._shown.asking is not None:
            self._shown.focus()

    def _set_asking(self, asking: bool) -> None:
        for page in (self._home, *self._made.values()):
            if page.asking is not None:
                page.asking(asking)


def _leaf(page: Page) -> QWidget:
    leaf = page.widget.parentWidget()
    assert leaf is not None  # it was laid on one
    return leaf
