"""Colours, fonts and sizes on the screen: the tokens of the sheet turned into Qt's own."""

from functools import lru_cache

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication

from app import RESOURCES
from app.sheet.draw.tokens import DARK, FONT_FAMILY, FONT_WEIGHTS, LIGHT, Distance, Token, Tokens, TypeRole, font_file

FONTS = RESOURCES / "fonts"


def load_fonts() -> None:
    """Give Qt the sheet's typeface; raise `RuntimeError` naming a file that cannot be loaded."""
    for weight in FONT_WEIGHTS:
        path = FONTS / font_file(weight)
        if QFontDatabase.addApplicationFont(str(path)) < 0:
            raise RuntimeError(f"The font {path} cannot be loaded; get a whole copy of the program.")


@lru_cache(maxsize=256)
def font(px: float, weight: int) -> QFont:
    """The sheet's typeface at a size in px and a weight of 400 to 800."""
    made = QFont(FONT_FAMILY)
    made.setPixelSize(max(1, round(px)))
    made.setWeight(QFont.Weight(weight))
    return made


@lru_cache(maxsize=256)
def metrics(px: float, weight: int) -> QFontMetricsF:
    """How wide and high text in this font is."""
    return QFontMetricsF(font(px, weight))


class Theme(QObject):
    """The look in force: dark or light, and how far away one reads. One for the whole window."""

    changed = Signal()

    def __init__(self, application: QApplication, *, dark: bool | None, distance: Distance) -> None:
        super().__init__(application)
        self._application = application
        self._forced = dark
        self._distance = distance
        application.styleHints().colorSchemeChanged.connect(self._follow)
        self._apply()

    @property
    def dark(self) -> bool:
        """Whether the dark tokens are in force."""
        if self._forced is not None:
            return self._forced
        return self._application.styleHints().colorScheme() is Qt.ColorScheme.Dark

    @property
    def distance(self) -> Distance:
        """How far away one reads."""
        return self._distance

    @property
    def style(self) -> str:
        """The style sheet of the look in force.

        It is set on the menus, the foot, the question and the page that shows, never on the application: Qt then
        polishes every widget anew that was ever made, and lays out every list.
        """
        return _style(self.tokens, self.times)

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        return DARK if self.dark else LIGHT

    @property
    def times(self) -> float:
        """What every size is multiplied by."""
        return self.distance.times

    def colour(self, token: Token) -> QColor:
        """A token's colour."""
        return _colour(self.tokens.colour(token))

    def font(self, role: TypeRole) -> QFont:
        """The font of a kind of text at the distance in force."""
        return font(role.screen_px * self.times, role.screen_weight)

    def px(self, size: float) -> int:
        """A measure of the sheet in px at the distance in force."""
        return round(size * self.times)

    def flip(self) -> None:
        """Turn light into dark or back, and stay there."""
        self._forced = not self.dark
        self._apply()

    def set_distance(self, distance: Distance) -> None:
        """Read from nearer or farther away."""
        self._distance = distance
        self._apply()

    def _follow(self) -> None:
        if self._forced is None:
            self._apply()

    def _apply(self) -> None:
        wanted = font(16 * self.times, 400)
        if self._application.font() != wanted:
            self._application.setFont(wanted)
        self._application.setPalette(_palette(self.tokens))
        self.changed.emit()


class PageTheme(Theme):
    """The look in force as one page sees it: a page that does not show is told of a change when it next does."""

    def __init__(self, theme: Theme) -> None:
        QObject.__init__(self, theme)
        self._theme = theme
        self._told = (theme.dark, theme.distance)

    @property
    def dark(self) -> bool:
        """Whether the dark tokens are in force."""
        return self._theme.dark

    @property
    def distance(self) -> Distance:
        """How far away one reads."""
        return self._theme.distance

    def tell(self) -> bool:
        """Tell the page where the look is another than it was told last; say whether it is."""
        look = (self.dark, self.distance)
        if look == self._told:
            return False
        self._told = look
        self.changed.emit()
        return True


@lru_cache(maxsize=64)
def _colour(text: str) -> QColor:
    return QColor(text)


def _palette(tokens: Tokens) -> QPalette:
    roles: dict[QPalette.ColorRole, Token] = {
        QPalette.ColorRole.Window: "bench",
        QPalette.ColorRole.WindowText: "text",
        QPalette.ColorRole.Base: "paper",
        QPalette.ColorRole.AlternateBase: "bench",
        QPalette.ColorRole.Text: "text",
        QPalette.ColorRole.Button: "bench",
        QPalette.ColorRole.ButtonText: "text",
        QPalette.ColorRole.BrightText: "stop",
        QPalette.ColorRole.Highlight: "ink",
        QPalette.ColorRole.HighlightedText: "paper",
        QPalette.ColorRole.ToolTipBase: "paper",
        QPalette.ColorRole.ToolTipText: "text",
        QPalette.ColorRole.PlaceholderText: "quiet",
        QPalette.ColorRole.Link: "text",
        QPalette.ColorRole.LinkVisited: "text",
        QPalette.ColorRole.Mid: "rule",
        QPalette.ColorRole.Dark: "rule",
        QPalette.ColorRole.Light: "hair",
    }
    palette = QPalette()
    for role, token in roles.items():
        palette.setColor(role, _colour(tokens.colour(token)))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, _colour(tokens.quiet))
    return palette


@lru_cache(maxsize=8)
def _style(tokens: Tokens, times: float) -> str:
    """Square corners, no shadows; the first button solid, the others in a frame; focus is a ring of ink."""

    def px(size: float) -> str:
        return f"{round(size * times)}px"

    t = tokens
    return f"""
    QMenuBar {{ background: {t.bench}; color: {t.text}; padding: 2px 4px; }}
    QMenuBar::item {{ padding: 4px 12px; background: transparent; }}
    QMenuBar::item:selected {{ background: {t.text}; color: {t.bench}; }}
    QMenu {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.text}; padding: 4px 0; }}
    QMenu::item {{ padding: {px(6)} {px(28)} {px(6)} {px(16)}; }}
    QMenu::item:selected {{ background: {t.text}; color: {t.paper}; }}
    QMenu::item:disabled {{ color: {t.quiet}; }}
    QMenu::separator {{ height: 1px; background: {t.rule}; margin: 4px 0; }}
    QPushButton {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.text};
        padding: {px(8)} {px(16)}; min-height: {px(24)}; font-weight: 600; }}
    QPushButton[first="true"] {{ background: {t.gate}; color: {t.on_gate}; }}
    QPushButton:focus {{ border: 3px solid {t.ink}; }}
    QPushButton:disabled {{ color: {t.quiet}; border-color: {t.rule}; }}
    QPushButton[foot="true"] {{ background: transparent; border: 2px solid transparent; padding: 0 {px(8)};
        min-height: {px(24)}; font-weight: 400; text-align: left; }}
    QPushButton[foot="true"]:focus {{ border: 2px solid {t.ink}; }}
    QPushButton[foot="true"]:hover {{ border: 2px solid {t.rule}; }}
    QLineEdit, QPlainTextEdit, QComboBox {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.text};
        padding: {px(4)} {px(6)}; min-height: {px(26)}; selection-background-color: {t.ink};
        selection-color: {t.paper}; }}
    QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus {{ border: 3px solid {t.ink}; }}
    QComboBox QAbstractItemView {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.text};
        selection-background-color: {t.text}; selection-color: {t.paper}; }}
    QRadioButton, QCheckBox {{ spacing: {px(8)}; min-height: {px(28)}; border: 2px solid transparent; }}
    QRadioButton:focus, QCheckBox:focus {{ border: 2px solid {t.ink}; }}
    QListView, QTextBrowser, QScrollArea {{ background: transparent; border: none; }}
    QListWidget#choices {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.ink};
        outline: 0; selection-background-color: {t.here}; selection-color: {t.text}; }}
    QListWidget#choices::item {{ padding: 6px 8px; color: {t.text}; }}
    QListWidget#choices::item:selected {{ background: {t.here}; color: {t.text}; border: 2px solid {t.ink}; }}
    QScrollBar:vertical {{ background: transparent; width: 14px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {t.rule}; min-height: 32px; margin: 2px 3px; }}
    QScrollBar::add-line:vertical, QScrollBar::sub-line:vertical {{ height: 0; }}
    QScrollBar::add-page:vertical, QScrollBar::sub-page:vertical {{ background: transparent; }}
    #strip QScrollBar:vertical {{ width: 10px; }}
    #strip QScrollBar::handle:vertical {{ margin: 2px 2px; }}
    QProgressBar {{ border: 2px solid {t.text}; background: {t.paper}; color: {t.text}; text-align: center; }}
    QProgressBar::chunk {{ background: {t.quiet}; }}
    ListPage, SumsPage, MeasurePage, TightenPage, LashPage {{ background: {t.paper}; }}
    #page-head {{ background: {t.paper}; border-bottom: 2px solid {t.text}; }}
    QLabel[quiet="true"] {{ color: {t.quiet}; }}
    QToolTip {{ background: {t.paper}; color: {t.text}; border: 2px solid {t.text}; padding: 4px; }}
    """
