"""The one field that is open over a view: how every place is written at, whatever the view shows it as."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QRect, Signal
from PySide6.QtGui import QFont, QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication

from app.assembly.lines import Line
from app.assembly.standing.entry_places import EntryPlace, Form
from app.desk.widgets.value_field import ChoiceField, Echo, ValueField, decimal_mark
from app.desk.work import Work
from app.words.entry import Taken, taken_for, why_not_now


class OpenField(QObject):
    """Opens a field at a place, remembers what is half typed there, and closes it.

    `kept` gives place, round and what is to be written: it stays half typed until it stands as a reading. `moved` are
    Up and Down, which lead out of the field.
    """

    kept = Signal(str, int, str)
    moved = Signal(int)

    def __init__(self, view: QAbstractItemView) -> None:
        super().__init__(view)
        self._view = view
        self._echo = Echo(view.viewport())
        self._field: ValueField | None = None
        self._at: tuple[Work, Line, EntryPlace] | None = None
        self._rect: Callable[[], QRect] = QRect

    def open(
        self,
        at: tuple[Work, Line, EntryPlace],
        rect: Callable[[], QRect],
        name: str,
        font: QFont | None = None,
        typed: str = "",
    ) -> None:
        """Open a field with what was just typed, else what is half typed there or stands there.

        Where the line cannot be written on yet, that is said instead. `rect` tells where the field lies in the view.
        """
        work, line, one = at
        why = why_not_now(work.survey, line)
        if why:
            work.refused.emit(why)
            return
        self.close()
        self._at, self._rect = at, rect
        room = self._view.viewport()
        if one.form is Form.CHOICE:
            field: ValueField = ChoiceField(room, one.choices, self._understood, self._echo)
        else:
            field = ValueField(room, self._understood, self._echo)
        self._field = field
        for signal, slot in (
            (field.kept, self._kept),
            (field.left, self._left),
            (field.let_go, self._let_go),
            (field.drafted, self._drafted),
            (field.moved, self._moved),
        ):
            signal.connect(slot)
        if font is not None:
            field.setFont(font)
        field.setAccessibleName(name)
        field.setGeometry(rect())
        field.show()
        field.setFocus()
        field.begin(work.draft(line, *one.key) or one.begins_with)
        if typed:
            field.take(typed)

    @property
    def is_open(self) -> bool:
        """Whether a field is open."""
        return self._field is not None

    @property
    def text(self) -> str:
        """What stands in the open field, "" when none is open."""
        return self._field.text() if self._field is not None else ""

    def take_key(self, event: QKeyEvent) -> bool:
        """Give a key that came to the view to the field it was struck for; whether there is one."""
        if self._field is None:
            return False
        QApplication.sendEvent(self._field, event)
        return True

    def place_anew(self) -> None:
        """The view has another size: the field goes where its place is now."""
        if self._field is not None:
            self._field.setGeometry(self._rect())

    def close(self, *, focus: bool = True) -> None:
        """Close the field; nothing is written, and what is half typed stays. `focus` gives the keys to the view."""
        if self._field is None:
            return
        field, self._field = self._field, None
        field.blockSignals(True)  # hiding takes the focus away, which says nothing new
        field.hide()
        field.deleteLater()
        self._echo.hide()
        if focus:
            self._view.setFocus()
        self._view.viewport().update()

    # --- what the field tells

    def _understood(self, text: str) -> Taken:
        assert self._at is not None  # asked by a field that was opened somewhere
        work, line, one = self._at
        return taken_for(work.survey, line, one, text, decimal_mark())

    def _drafted(self, text: str) -> None:
        assert self._at is not None  # as above
        work, line, one = self._at
        work.half_type(line, *one.key, text)

    def _kept(self, text: str) -> None:
        assert self._at is not None  # as above
        key = self._at[2].key
        self.close()
        self._drafted(text)
        self.kept.emit(*key, text)

    def _left(self) -> None:
        """Esc throws away what was typed."""
        self.close()
        self._drafted("")

    def _let_go(self) -> None:
        """The keys went elsewhere: what is half typed stands in its place until somebody comes back to it."""
        self.close(focus=False)

    def _moved(self, by: int) -> None:
        self.close()
        self.moved.emit(by)
