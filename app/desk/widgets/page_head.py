"""The head of a page: its title, a quiet second text, and a count at the right."""

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QWidget

from app.desk.theme import Theme, font


class PageHead(QFrame):
    """One row with a rule under it."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._title, self._subtitle, self._count = QLabel(self), QLabel(self), QLabel(self)
        self._title.setWordWrap(True)
        self._subtitle.setWordWrap(True)
        self._subtitle.setProperty("quiet", True)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 8, 16, 8)
        layout.setSpacing(14)
        layout.addWidget(self._title, 3)
        layout.addWidget(self._subtitle, 2)
        layout.addWidget(self._count)
        self.setObjectName("page-head")
        theme.changed.connect(self._restyle)
        self._restyle()

    def _restyle(self) -> None:
        times = self._theme.times
        self._title.setFont(font(24 * times, 700))
        self._subtitle.setFont(font(15 * times, 400))
        self._count.setFont(font(18 * times, 700))

    def show_head(self, title: str, subtitle: str, count: str) -> None:
        """Show these words."""
        self._title.setText(title)
        self._subtitle.setText(subtitle)
        self._count.setText(count)
