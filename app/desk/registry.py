"""What a page is to the window: each room says in its `PAGES` which it has, and none is loaded before it is wanted."""

from collections.abc import Callable
from enum import Enum

from msgspec import Struct
from PySide6.QtWidgets import QWidget

from app.desk.theme import PageTheme


class Needs(Enum):
    """What must be open before a page can be shown."""

    NOTHING = "nothing"
    WORKSHOP = "a workshop"
    BUILD = "a build"


class Menu(Enum):
    """The menus, in the order they stand in."""

    BUILD = "&Build"
    SHEET = "&Sheet"
    LINE = "&Line"
    RECORDS = "&Records"
    VIEW = "&View"
    HELP = "&Help"


class MenuRow(Struct, frozen=True):
    """Where something stands in the menus: rows stand by `row`, with a rule between one ten and the next."""

    menu: Menu
    row: int
    text: str
    keys: str = ""


class PageKind(Struct, frozen=True):
    """A page by its key. `made_in` is “module:function”, which takes the desk and the key and gives the `Page`."""

    key: str
    made_in: str
    needs: Needs = Needs.BUILD
    rows: tuple[MenuRow, ...] = ()


def _yes(_about: str) -> bool:
    return True


def _no() -> bool:
    return False


def _nothing() -> None:
    pass


class Page(Struct, frozen=True):
    """A page once it is made.

    `theme` is the look as the widget was given it; `begin` takes what it is to be about in hand and says whether there
    is anything to show; `refill` makes its content anew, now and whenever the build changes; `focus` puts the keys
    where the hand goes first; `asking` makes room for a question below it; `back` is Esc, and says whether it led
    anywhere but the sheet.
    """

    widget: QWidget
    theme: PageTheme
    begin: Callable[[str], bool] = _yes
    refill: Callable[[], None] = _nothing
    focus: Callable[[], None] = _nothing
    asking: Callable[[bool], None] | None = None
    back: Callable[[], bool] = _no
