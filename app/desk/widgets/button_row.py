"""The row of buttons below a page of places: each with its key, the first one filled."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

# Its name, what stands on it, and what it does.
Button = tuple[str, str, Callable[[], object]]


class ButtonRow(QHBoxLayout):
    """Buttons from left to right; `buttons` has them by name."""

    def __init__(self, words: Iterable[Button], parent: QWidget) -> None:
        super().__init__()
        self.buttons: dict[str, QPushButton] = {}
        self.setContentsMargins(16, 6, 16, 8)
        self.setSpacing(10)
        for key, text, slot in words:
            button = QPushButton(text, parent)
            button.setProperty("first", not self.buttons)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(slot)
            self.addWidget(button)
            self.buttons[key] = button
        self.addStretch(1)
