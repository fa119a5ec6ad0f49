"""The sheet as a page: the strip at the left, the head and rows of one stage, and the tray of the line in hand."""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.assembly.lines import Line
from app.desk.sheet.head import SheetHead
from app.desk.sheet.strip import Strip, strip_rows
from app.desk.sheet.tray import Tray
from app.desk.sheet.view import SheetView
from app.desk.theme import Theme
from app.desk.work import AtHand
from app.sheet.draw import tokens as k
from app.sheet.rows import GateRow, LineRow, stage_sheet
from app.sheet.tray import tray
from app.store.workshop import Arrow

WIDEST_PX = 16_777_215


class SheetPage(QWidget):
    """One stage of the build at hand. `wanted` asks for the sheet to be shown."""

    wanted = Signal()

    def __init__(self, theme: Theme, at_hand: AtHand, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._at_hand = at_hand
        self.stage = 1
        self.last_print = 0
        # What the rows, the strip and the tray were made of: made of the same they would come out the same.
        self._rows_of: object = None
        self._strip_of: object = None
        self._tray_of: object = None
        self.strip = Strip(theme, self)
        self.head = SheetHead(theme, self)
        self.sheet = SheetView(theme, self)
        self.tray = Tray(theme, self)
        self._column = QVBoxLayout()
        self._column.setSpacing(0)
        self._column.addWidget(self.head)
        self._column.addWidget(self.sheet, 1)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        self._row.addWidget(self.strip)
        self._row.addLayout(self._column, 1)
        self._row.addWidget(self.tray)
        self.strip.stage_wanted.connect(self.show_stage_first)
        self.sheet.line_changed.connect(self.show_tray)
        self.sheet.beyond.connect(self._beyond)
        self.tray.line_wanted.connect(self.go_to_number)

    # --- what stands

    def open_at(self, arrow: Arrow | None) -> None:
        """Show the build at hand with the hand where it was, else on the first line."""
        work = self._at_hand.work
        assert work is not None  # it was just opened
        self.last_print = work.workshop.printed(work.build)[0]
        line = work.build.by_id.get(arrow.line) if arrow else None
        self.stage = line.stage if line else next(one.number for one in work.build.stages)
        self.wanted.emit()
        self.show_work()
        if arrow is None or line is None:
            self.sheet.first()
            return
        self.sheet.go_to(line.id, arrow.place)
        self.sheet.doItemsLayout()
        self.sheet.verticalScrollBar().setValue(arrow.scroll)

    def show_work(self) -> None:
        """Show the stage, the strip and the tray as they stand."""
        self.show_rows()
        self._show_strip()
        self.show_tray()

    def show_rows(self) -> None:
        """Show the rows of the stage as they stand."""
        work = self._at_hand.work
        if work is not None and self._rows_of != (work.survey, self.stage, self.last_print):
            self._rows_of = (work.survey, self.stage, self.last_print)
            head = work.build.stages[self.stage - 1]
            sheet = stage_sheet(work.survey, work.ends, work.standings, head, grids=True)
            self.head.show_stage(sheet, self.last_print)
            self.sheet.show_rows(work, sheet.rows)

    def _show_strip(self) -> None:
        work = self._at_hand.work
        if work is not None and self._strip_of != (work.survey, self.stage):
            self._strip_of = (work.survey, self.stage)
            self.strip.show_rows(strip_rows(work, self.stage))

    def show_tray(self) -> None:
        """Show what belongs to the line in hand."""
        work, row, line = self._at_hand.work, self.sheet.row, self.line
        if work is None or self._tray_of == (work.survey, self.sheet.here):
            return
        self._tray_of = (work.survey, self.sheet.here)
        if line is not None:
            self.tray.show_sections(line.number, tray(work.survey, work.ends, line))
        elif isinstance(row, GateRow):
            self.tray.show_sections("", ())

    @property
    def line(self) -> Line | None:
        """The line in hand."""
        work, row = self._at_hand.work, self.sheet.row
        return work.build.by_id.get(row.id) if work is not None and isinstance(row, LineRow) else None

    def keep_in_sight(self, asking: bool) -> None:
        """Keep the line in hand in sight while something is asked below the sheet."""
        if asking:
            # The question takes its room first; only then is it known how much of the sheet is left.
            QTimer.singleShot(0, self._scroll_to_line)

    def _scroll_to_line(self) -> None:
        self.sheet.scrollTo(self.sheet.currentIndex())

    # --- going places

    def show_stage(self, number: int) -> None:
        """Show a stage, the hand left alone."""
        if self._at_hand.work is None:
            return
        self.stage = number
        self.wanted.emit()
        self.show_rows()
        self._show_strip()

    def show_stage_first(self, number: int) -> None:
        """Show a stage, the hand on its first line."""
        self.show_stage(number)
        self.sheet.first()

    def stage_before(self) -> None:
        """The stage before."""
        if self._at_hand.work is not None and self.stage > 1:
            self.show_stage_first(self.stage - 1)

    def stage_after(self) -> None:
        """The stage after."""
        work = self._at_hand.work
        if work is not None and self.stage < len(work.build.stages):
            self.show_stage_first(self.stage + 1)

    def _beyond(self, step: int) -> None:
        if step > 0:
            self.stage_after()
        elif self._at_hand.work is not None and self.stage > 1:
            self.show_stage(self.stage - 1)
            self.sheet.last()

    def go_to_step(self, step: str) -> None:
        """Go to a line by its step."""
        work = self._at_hand.work
        if work is None or step not in work.build.by_id:
            return
        self.show_stage(work.build.by_id[step].stage)
        self.sheet.go_to(step)
        self.sheet.setFocus()

    def go_to_number(self, number: str) -> None:
        """Go to a line by its number."""
        work = self._at_hand.work
        if work is not None and number in work.build.by_number:
            self.go_to_step(work.build.by_number[number].id)

    # --- room

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the tray beside the sheet where there is room, else below it."""
        super().resizeEvent(event)
        self.arrange()

    def arrange(self) -> None:
        """Share the room out."""
        times = self._theme.times
        room = self.width() / times
        self.strip.set_narrow(room < k.NARROW_STRIP_UNDER_PX)
        below = room < k.TRAY_BELOW_UNDER_PX
        self._row.removeWidget(self.tray)
        self._column.removeWidget(self.tray)
        if below:
            self.tray.setMinimumWidth(0)
            self.tray.setMaximumWidth(WIDEST_PX)
            self.tray.setFixedHeight(min(round(170 * times), self.window().height() // 5))
            self._column.addWidget(self.tray)
        else:
            self.tray.setMinimumHeight(0)
            self.tray.setMaximumHeight(WIDEST_PX)
            self.tray.setFixedWidth(round(k.TRAY_WIDTH_PX * times))
            self._row.addWidget(self.tray)
