"""How the window looks and is worked: light or dark, how far away one reads, and whether single letters act."""

from PySide6.QtCore import QObject

from app.desk.desk import Desk
from app.sheet.draw.tokens import Distance


class Looks(QObject):
    """Changes a look and remembers it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk

    def flip(self) -> None:
        """Light to dark or back."""
        theme = self._desk.theme
        theme.flip()
        self._desk.choices.choose(theme="dark" if theme.dark else "light")

    def set_distance(self, distance: Distance) -> None:
        """Read from nearer or farther away."""
        self._desk.theme.set_distance(distance)
        self._desk.choices.choose(distance=distance.name)
        self._desk.home.arrange()

    def set_letters(self, act: bool) -> None:
        """Whether single letters act on the sheet."""
        self._desk.home.sheet.letters = act
        self._desk.choices.choose(letters=act)
