"""Setting lash valve by valve: the crank dial, the map of valves, and one field that takes each value in turn."""

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app.assembly.lines import Line
from app.assembly.said.marks import State
from app.assembly.standing.entry_places import entry_place, next_round
from app.desk.sheet.tray import Tray
from app.desk.theme import Theme, font
from app.desk.widgets.button_row import ButtonRow
from app.desk.widgets.canvas import Canvas
from app.desk.widgets.page_head import PageHead
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import Work
from app.sheet.draw.dial import HEAD_AND_LEGEND, LEAST_ROW, LEAST_WIDTH, ValveRow, dial_drawing, valve_map
from app.sheet.draw.drawing import Drawing
from app.sheet.lash import LashView, first_open_stop, lash_sections, lash_view
from app.words.entry import Taken, taken_for, why_not_now


class LashField(QLineEdit):
    """Takes a value; while it is empty, letters and arrows are the page's."""

    key_wanted = Signal(int, str)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up and Down change the valve; a letter in an empty field is a command; all else is typing."""
        key = Qt.Key(event.key())
        moves = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
        letter = event.text().isalpha() or event.text() == " "
        if key == Qt.Key.Key_Escape:
            event.ignore()  # it leads back to the sheet; what is half typed stays
            return
        if key in moves or (letter and not self.text()):
            self.key_wanted.emit(event.key(), event.text().lower())
        else:
            super().keyPressEvent(event)
        event.accept()


class LashPage(QWidget):
    """One lash line. Enter keeps a value and goes to the next valve of the stop; Page Down goes to the next stop."""

    written = Signal(str, str)
    gauge_wanted = Signal()
    cam_wanted = Signal()
    figure_wanted = Signal()
    grid_wanted = Signal()
    sum_wanted = Signal()
    line_done = Signal()
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._line: Line | None = None
        self._view: LashView | None = None
        self.stop = 0
        self.chosen = ""
        self._head = PageHead(theme, self)
        self._stop_title, self._stop_where, self._then = QLabel(self), QLabel(self), QLabel(self)
        self._heading = QLabel(self)
        for label in (self._stop_title, self._stop_where, self._then, self._heading):
            label.setWordWrap(True)
        self._stop_where.setProperty("quiet", True)
        self.dial = Canvas(theme, "Crank", self)
        self.dial.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.map = Canvas(theme, "Valves", self)
        self.map.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.map.pressed.connect(self._choose)
        self._label = QLabel(self)
        self.field = LashField(self)
        self.field.setAccessibleName("Lash of the valve in hand")
        self.field.setMaxLength(60)
        self._echo = QLabel(self)
        self._echo.setWordWrap(True)
        self._echo.setAccessibleName("How the value is understood")
        self.field.returnPressed.connect(self._entered)
        self.field.textEdited.connect(self._typed)
        self.field.key_wanted.connect(self._key)
        self.words = Tray(theme, self)
        self.words.setAccessibleName("The valve in hand")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._head)
        layout.addLayout(self._columns(), 1)
        self._keys = self._button_row()
        layout.addLayout(self._keys)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFocusProxy(self.field)
        theme.changed.connect(self._restyle)
        self._restyle()

    def _columns(self) -> QHBoxLayout:
        left = QVBoxLayout()
        left.setContentsMargins(16, 10, 12, 8)
        left.setSpacing(4)
        left.addWidget(self._stop_title)
        left.addWidget(self._stop_where)
        left.addWidget(self.dial, 3)
        left.addWidget(self._then)
        left.addWidget(self.words, 2)
        right = QVBoxLayout()
        right.setContentsMargins(12, 10, 16, 8)
        right.setSpacing(6)
        right.addWidget(self._heading)
        right.addWidget(self.map, 1)
        entry = QHBoxLayout()
        entry.addWidget(self._label)
        entry.addWidget(self.field, 1)
        right.addLayout(entry)
        right.addWidget(self._echo)
        both = QHBoxLayout()
        both.setSpacing(0)
        both.addLayout(left, 6)
        both.addLayout(right, 13)
        return both

    def _button_row(self) -> ButtonRow:
        words = (
            ("done", "Line Done   Space", self.line_done.emit),
            ("next", "Next stop   Page Down", self.next_stop),
            ("cam", "Cam   C", self.cam_wanted.emit),
            ("gauge", "Gauge   K", self.gauge_wanted.emit),
            ("figure", "Figure   F", self.figure_wanted.emit),
            ("sum", "Sum   S", self.sum_wanted.emit),
            ("grid", "Grid   G", self.grid_wanted.emit),
            ("back", "Sheet   Esc", self.left.emit),
        )
        return ButtonRow(words, self)

    def _restyle(self) -> None:
        times = self._theme.times
        self._stop_title.setFont(font(19 * times, 700))
        self._heading.setFont(font(17 * times, 600))
        self._stop_where.setFont(font(16 * times, 400))
        self._then.setFont(font(16 * times, 400))
        self._label.setFont(font(19 * times, 700))
        self.field.setFont(font(20 * times, 700))
        self._echo.setFont(font(16 * times, 400))
        self._echo.setMinimumHeight(round(22 * times))  # the map above keeps its place while somebody types

    def set_asking(self, asking: bool) -> None:
        """While something is asked below, the map keeps the room there is."""
        for widget in (*self._keys.buttons.values(), self.words):
            widget.setVisible(not asking)

    # --- showing

    def begin(self, line: Line, work: Work) -> None:
        """Take a line in hand, at the first stop with a valve still to be read."""
        self._line = line
        self.chosen = ""
        self.stop = first_open_stop(work.survey, line)

    @property
    def line(self) -> Line | None:
        """The line in hand."""
        return self._line

    @property
    def view(self) -> LashView | None:
        """What is shown."""
        return self._view

    def show_work(self, work: Work) -> None:
        """Show the line as it stands."""
        if self._line is None:
            return
        self._work = work
        self._line = work.build.by_id.get(self._line.id, self._line)
        view = lash_view(work.survey, self._line, self.stop)
        self._view, self.stop = view, view.stop
        if self.chosen not in view.offered:
            self.chosen = self._first_open() or (view.offered[0] if view.offered else "")
        self._head.show_head(f"{view.number}  {view.title}", f"{view.figure}. {view.note}", view.count)
        self._stop_title.setText(f"Crank stop {view.stop + 1} of {view.stops}: {view.theta_deg:g}°")
        self._stop_where.setText(view.where)
        self._then.setText(view.then)
        self._heading.setText(view.heading)
        self.dial.show_drawing(self._dial, f"crank at {view.theta_deg:g} degrees")
        self.map.show_drawing(self._map, ". ".join(row.title for row in view.rows))
        self._show_chosen()

    def _dial(self, width: float, height: float) -> Drawing:
        assert self._view is not None  # drawn once there is a view
        side = min(width, height)
        view = self._view
        return dial_drawing(view.theta_deg, view.back_deg, view.forward_deg, width=side)

    def _map(self, width: float, height: float) -> Drawing:
        assert self._view is not None  # drawn once there is a view
        rows = tuple(self._with_draft(row) for row in self._view.rows)
        high = max(LEAST_ROW, min(56.0, (height - HEAD_AND_LEGEND) / len(rows)))
        # With more rows than fit, the map is drawn wider too, so that it still fills the width once it is made smaller.
        wide = max(LEAST_WIDTH, width * max(1.0, (len(rows) * high + HEAD_AND_LEGEND) / height))
        return valve_map(rows, self._view.theta_deg, width=wide, row_height=high, chosen=self.chosen)

    def _with_draft(self, row: ValveRow) -> ValveRow:
        """A valve with what is half typed of it, where that is not in the field."""
        draft = self._draft_of(row.key) if row.key != self.chosen else ""
        return replace(row, value=f"{draft[:5]}?", verdict=None) if draft else row

    def _draft_of(self, valve: str) -> str:
        work, line = self._work, self._line
        if work is None or line is None or not valve:
            return ""
        return work.draft(line, valve, next_round(work.survey, line, valve))

    def _show_chosen(self) -> None:
        row = self._row(self.chosen)
        self._label.setText(f"{row.title} " if row is not None else "")
        self.field.setPlaceholderText("0.25 mm, 10 thou, or: 0.25 goes, 0.30 does not")
        if self.field.text() != self._draft_of(self.chosen):
            self.field.setText(self._draft_of(self.chosen))
            self.field.selectAll()
        self._show_understood()
        if self._work is not None and self._line is not None:
            sections = lash_sections(self._work.survey, self._line, self.chosen)
            self.words.show_sections("", sections, "Valve in hand")
        self.map.update()

    def _row(self, key: str) -> ValveRow | None:
        return next((row for row in self._view.rows if row.key == key), None) if self._view is not None else None

    def _first_open(self) -> str:
        if self._view is None:
            return ""
        return next((row.key for row in self._view.rows if row.offered and row.state is State.TO_DO), "")

    # --- working

    def _typed(self, text: str) -> None:
        work, line = self._work, self._line
        if work is not None and line is not None and self.chosen:
            work.half_type(line, self.chosen, next_round(work.survey, line, self.chosen), text)
        self._show_understood()

    def _taken(self) -> Taken:
        """What stands in the field is taken for."""
        work, line = self._work, self._line
        nothing = Taken("", False, "")
        if work is None or line is None or not self.chosen or not self.field.text().strip():
            return nothing
        why = why_not_now(work.survey, line)
        if why:
            return Taken(why, False, "")
        one = entry_place(work.survey, line, self.chosen, next_round(work.survey, line, self.chosen))
        return taken_for(work.survey, line, one, self.field.text(), decimal_mark()) if one is not None else nothing

    def _show_understood(self) -> None:
        self._echo.setText(self._taken().words or self._half_typed())

    def _half_typed(self) -> str:
        """The valves of this map at which something was typed and not kept."""
        if self._view is None or self.field.text().strip():
            return ""
        found = ((row.title, self._draft_of(row.key)) for row in self._view.rows)
        said = ", ".join(f"{title} {text}" for title, text in found if text)
        return f"Half typed, not kept: {said}" if said else ""

    def _entered(self) -> None:
        """Enter: keep what is typed; in an empty field go to the next stop once all valves here are read."""
        text = self.field.text().strip()
        if text and self.chosen:
            taken = self._taken()
            if taken.good:
                self.written.emit(self.chosen, taken.kept)
        elif not text and not self._first_open():
            self.next_stop()

    def kept(self) -> None:
        """A value was kept: the field is free for the next valve of this stop."""
        self.chosen = self._first_open() or self.chosen
        self._show_chosen()

    def next_stop(self) -> None:
        """Go to the next stop, or round to the first."""
        self._go_to(self.stop + 1)

    def _go_to(self, stop: int) -> None:
        if self._view is None or self._work is None:
            return
        self.stop = stop % self._view.stops
        self.chosen = ""
        self.show_work(self._work)

    def _choose(self, key: str) -> None:
        row = self._row(key)
        if row is not None and row.offered:
            self.chosen = key
            self._show_chosen()
            self.field.setFocus()

    def _step(self, by: int) -> None:
        if self._view is None:
            return
        offered = [row.key for row in self._view.rows if row.offered]
        if self.chosen in offered:
            self.chosen = offered[(offered.index(self.chosen) + by) % len(offered)]
            self._show_chosen()

    def _key(self, key: int, letter: str) -> None:
        slots: dict[Qt.Key, Callable[[], object]] = {
            Qt.Key.Key_Up: lambda: self._step(-1),
            Qt.Key.Key_Down: lambda: self._step(1),
            Qt.Key.Key_PageDown: self.next_stop,
            Qt.Key.Key_PageUp: lambda: self._go_to(self.stop - 1),
        }
        letters: dict[str, Callable[[], object]] = {
            " ": self.line_done.emit,
            "c": self.cam_wanted.emit,
            "k": self.gauge_wanted.emit,
            "f": self.figure_wanted.emit,
            "s": self.sum_wanted.emit,
            "g": self.grid_wanted.emit,
        }
        slot = slots.get(Qt.Key(key)) or letters.get(letter)
        if slot is not None:
            slot()
