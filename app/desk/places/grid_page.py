"""A reading line worked as a grid shaped like the engine, with its sums and verdicts beside it."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.assembly.lines import Line
from app.assembly.standing.entry_places import entry_places
from app.desk.places.grid_view import GridTable
from app.desk.sheet.tray import Tray
from app.desk.theme import Theme, font
from app.desk.widgets.button_row import ButtonRow
from app.desk.widgets.page_head import PageHead
from app.desk.work import Work
from app.sheet.grid import GridCell, GridView, grid_sections, grid_view, reads_sizes
from app.sheet.line_sum import sum_of
from app.sheet.sections import Section

# What is asked about sizes and not about words.
_OF_SIZES = ("gauge", "figure", "chance")


class MeasurePage(QWidget):
    """One reading line. Values are typed straight in; Enter goes to the next open place; letters as on the buttons."""

    written = Signal(str, int, str)
    gauge_wanted = Signal()
    figure_wanted = Signal()
    chance_wanted = Signal()
    sum_wanted = Signal()
    line_done = Signal()
    left = Signal()
    told = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._line: Line | None = None
        self._asking = False
        self._up_to = 0
        self.beside: Callable[[Line, GridCell | None], tuple[Section, ...]] = lambda _line, _cell: ()
        self._head = PageHead(theme, self)
        self._with = QLabel(self)
        self._with.setWordWrap(True)
        self._with.setProperty("quiet", True)
        self.table = GridTable(theme, self)
        self.table.grid.draft = self._draft
        self.table.grid.written.connect(self.written)
        self.table.written.connect(self.written)
        self.table.told.connect(self.told)
        self.table.chosen.connect(self._show_words)
        self.table.key_wanted.connect(self._letter)
        self.words = Tray(theme, self)
        self.words.setAccessibleName("Figure, sums and verdicts")
        left = QVBoxLayout()
        left.setContentsMargins(16, 8, 8, 8)
        left.addWidget(self._with)
        left.addWidget(self.table, 1)
        both = QHBoxLayout()
        both.setSpacing(0)
        both.addLayout(left, 13)
        both.addWidget(self.words, 7)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._head)
        layout.addLayout(both, 1)
        self._keys = self._button_row()
        layout.addLayout(self._keys)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setFocusProxy(self.table)
        theme.changed.connect(self._restyle)
        self._restyle()

    def _button_row(self) -> ButtonRow:
        words = (
            ("done", "Line Done   Space", self.line_done.emit),
            ("gauge", "Gauge, warmth, when   K", self.gauge_wanted.emit),
            ("figure", "Figure   F", self.figure_wanted.emit),
            ("round", "Another round   R", self.another_round),
            ("chance", "How sure   D", self.chance_wanted.emit),
            ("sum", "Sum   S", self.sum_wanted.emit),
            ("back", "Sheet   Esc", self.left.emit),
        )
        return ButtonRow(words, self)

    def _restyle(self) -> None:
        self._with.setFont(font(15 * self._theme.times, 400))

    def set_asking(self, asking: bool) -> None:
        """While something is asked below, the grid keeps the room there is."""
        self._asking = asking
        # Where words are written a letter begins one.
        self._keys.buttons["round"].setText("Another round   R" if self._sizes else "Another round")
        for key, button in self._keys.buttons.items():
            button.setVisible(not asking and (key != "sum" or self._has_sum) and (key not in _OF_SIZES or self._sizes))

    def begin(self, line: Line) -> None:
        """Take a line in hand."""
        self._line, self._up_to = line, 0
        self.set_asking(self._asking)

    @property
    def _has_sum(self) -> bool:
        return self._line is not None and sum_of(self._line) is not None

    @property
    def _sizes(self) -> bool:
        return self._line is not None and reads_sizes(self._line)

    @property
    def line(self) -> Line | None:
        """The line in hand."""
        return self._line

    @property
    def view(self) -> GridView | None:
        """The grid shown."""
        return self.table.grid.view

    def show_work(self, work: Work, with_words: str) -> None:
        """Show the line as it stands; `with_words` say what is read with."""
        if self._line is None:
            return
        self._work = work
        self._line = work.build.by_id.get(self._line.id, self._line)
        view = grid_view(work.survey, self._line, further=self._further)
        self._head.show_head(f"{view.number}  {view.title}", view.note, view.count)
        self._with.setText(
            with_words if self._sizes else "Enter opens a place; what is chosen or written stands there."
        )
        self.table.show_view(view, work, self._line)
        self._show_words()

    def _show_words(self) -> None:
        if self._work is None or self._line is None:
            return
        cell = self.table.here
        sections = (*self.beside(self._line, cell), *grid_sections(self._work.survey, self._line, cell))
        self.words.show_sections("", sections, "Read and judged")

    # --- what is typed

    def _draft(self, cell: GridCell) -> str:
        if self._work is None or self._line is None or cell.entry is None:
            return ""
        return self._work.draft(self._line, cell.place, cell.round)

    @property
    def _further(self) -> int:
        """How many rounds are shown beyond those that were read: one that was asked for, or is half typed."""
        work, line = self._work, self._line
        if work is None or line is None:
            return 0
        drafted = max((turn for step, _, turn in work.drafts if step == line.id), default=0)
        return max(0, self._up_to - work.survey.rounds(line)[-1], drafted - work.survey.rounds(line)[-1])

    def another_round(self) -> None:
        """Open a further round, once every place is read in all there are."""
        work, line = self._work, self._line
        if work is None or line is None:
            return
        left = [one for one in entry_places(work.survey, line, further=self._further) if one.reading is None]
        if left:
            said = f"{left[0].title} is still to be read" + (f", and {len(left) - 1} more" if len(left) > 1 else "")
            self.told.emit(f"Another round is begun once all before it are read: {said}.")
            return
        self._up_to = work.survey.rounds(line)[-1] + 1
        self.show_work(work, self._with.text())
        self.table.first_open()

    def write_again(self, place: str, turn: int) -> None:
        """What was refused is open again, if the hand is still there."""
        cell = self.table.here
        if cell is not None and (cell.place, cell.round) == (place, turn):
            self.table.write_here()

    def kept(self, place: str, turn: int) -> None:
        """A value was kept: nothing half typed stands in its cell any more, and the hand goes on."""
        if self._work is not None and self._line is not None:
            self._work.half_type(self._line, place, turn, "")
        self.table.go_on_from(place, turn)

    def _letter(self, letter: str) -> None:
        slots = {"k": self.gauge_wanted, "f": self.figure_wanted, "d": self.chance_wanted} if self._sizes else {}
        if self._has_sum:
            slots["s"] = self.sum_wanted
        if letter == "r":
            self.another_round()
        if letter in slots:
            slots[letter].emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space signs the line off."""
        if event.key() == Qt.Key.Key_Space:
            self.line_done.emit()
        else:
            super().keyPressEvent(event)
