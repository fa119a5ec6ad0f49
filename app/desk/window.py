"""The main window: the sheet as home, with the other pages a key away."""

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings, Qt, QTimer, QUrl
from PySide6.QtGui import QAction, QActionGroup, QCloseEvent, QDesktopServices, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.assembly.lines import Line
from app.assembly.said.marks import State
from app.assembly.standing.remembered import to_be_asked
from app.desk import settings as settings_file
from app.desk.background import Background
from app.desk.sheet.head import SheetHead
from app.desk.sheet.strip import Strip, strip_rows
from app.desk.sheet.tray import Tray
from app.desk.sheet.view import SheetView
from app.desk.theme import Theme
from app.desk.widgets.ask import AskPanel, Field
from app.desk.widgets.foot import Foot
from app.desk.work import Work, clock
from app.sheet.draw import tokens as k
from app.sheet.rows import GateRow, LineRow, stage_sheet
from app.sheet.tray import tray
from app.store.errors import StoreError
from app.store.workshop import Arrow, Workshop
from app.words.journal import Told, told

if TYPE_CHECKING:
    from app.desk.pages.gate_page import GatePage
    from app.desk.pages.help_page import HelpPage
    from app.desk.pages.list_page import ListPage
    from app.desk.pages.new_build import NewBuildPage
    from app.desk.pages.print_page import PrintJob, PrintPage
    from app.desk.pages.sums_page import SumsPage
    from app.desk.places.bolts_entry import Bolting
    from app.desk.places.bolts_page import TightenPage
    from app.desk.places.grid_entry import Measuring
    from app.desk.places.grid_page import MeasurePage
    from app.desk.places.lash_entry import Lashing
    from app.desk.places.lash_page import LashPage
    from app.desk.records.records import Records
    from app.desk.sheet.marking import Marking

RECORD_PAGES = (
    ("findings", "Findings and decisions"),
    ("temporary", "Temporary things"),
    ("holes", "Holes, plugs and studs"),
    ("fasteners", "Tightenings"),
    ("tools", "Tools"),
    ("options", "Options"),
    ("events", "Events"),
    ("running", "Running since the first start"),
)
LAYOUT_VERSION = 1
REFRESH_MS = 20_000
KEEP_ARROW_MS = 400


class MainWindow(QMainWindow):
    """Holds one workshop and one build at a time. `config` is the folder of settings and geometry."""

    def __init__(self, theme: Theme, settings: settings_file.Settings, config: Path) -> None:
        super().__init__()
        self._theme = theme
        self._settings = settings
        self._config = config
        self._geometry = QSettings(str(config / "window.ini"), QSettings.Format.IniFormat)
        self.workshop: Workshop | None = None
        self.work: Work | None = None
        self.stage = 1
        self._last_print = 0
        self._refill: Callable[[], None] | None = None
        self._sums_from = ""
        self._record_pages: dict[str, ListPage] = {}
        self._background = Background(self)
        self._make_widgets()
        self._make_menus()
        self._connect()
        self._refresh_timer = QTimer(self)
        self._refresh_timer.setInterval(REFRESH_MS)
        self._refresh_timer.timeout.connect(self._time_passed)
        self._refresh_timer.start()
        self._arrow_timer = QTimer(self)
        self._arrow_timer.setSingleShot(True)
        self._arrow_timer.setInterval(KEEP_ARROW_MS)
        self._arrow_timer.timeout.connect(self._keep_arrow)
        self.setWindowTitle("Firstcrank")
        self.setMinimumSize(720, 480)
        self._restore_geometry()

    # --- making

    def _make_widgets(self) -> None:
        theme = self._theme
        self.strip = Strip(theme, self)
        self.head = SheetHead(theme, self)
        self.sheet = SheetView(theme, self)
        self.sheet.letters = self._settings.letters
        self.tray = Tray(theme, self)
        self.ask = AskPanel(theme, self)
        self.foot = Foot(theme, self)
        self._sheet_page = QWidget(self)
        self._sheet_column = QVBoxLayout()
        self._sheet_column.setSpacing(0)
        self._sheet_column.addWidget(self.head)
        self._sheet_column.addWidget(self.sheet, 1)
        row = QHBoxLayout(self._sheet_page)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.strip)
        row.addLayout(self._sheet_column, 1)
        row.addWidget(self.tray)
        self._sheet_row = row
        self.pages = QStackedWidget(self)
        self.pages.addWidget(self._sheet_page)
        centre = QWidget(self)
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.pages, 1)
        column.addWidget(self.ask)
        column.addWidget(self.foot)
        self.setCentralWidget(centre)

    # --- the other pages, each made when it is first wanted: start-up has no use for them

    def _list_page(self, middle_px: float, right_px: float) -> "ListPage":
        from app.desk.pages.list_page import ListPage

        page = ListPage(self._theme, middle_px=middle_px, right_px=right_px, parent=self)
        page.wanted.connect(self.go_to_step)
        self.pages.addWidget(page)
        return page

    @cached_property
    def ends_page(self) -> "ListPage":
        """The loose ends."""
        return self._list_page(170, 330)

    @cached_property
    def ready_page(self) -> "ListPage":
        """What can be started."""
        return self._list_page(90, 150)

    @cached_property
    def log_page(self) -> "ListPage":
        """The logbook."""
        return self._list_page(120, 90)

    @cached_property
    def builds_page(self) -> "ListPage":
        """The builds of the workshop."""
        page = self._list_page(260, 220)
        page.wanted.disconnect(self.go_to_step)
        page.wanted.connect(self._open_build_key)
        page.add_button("New build …", first=True).clicked.connect(self.show_new)
        return page

    @cached_property
    def marking(self) -> "Marking":
        """What keys and presses on the sheet come to."""
        from app.desk.sheet.marking import Marking

        marking = Marking(self.sheet, self.ask, self)
        marking.work = self.work
        return marking

    def _next_mark(self) -> None:
        self.marking.next_mark()

    def _mark(self, word: str) -> None:
        self.marking.mark(word)

    def _tick(self, place: str) -> None:
        self.marking.tick(place)

    def _written(self, place: str, turn: int, text: str) -> None:
        self.marking.write(place, turn, text)

    def _tick_rest(self) -> None:
        self.marking.tick_rest()

    def _enter_figure(self) -> None:
        self.marking.enter_figure()

    def _concede(self) -> None:
        self.marking.concede()

    def _ask_initials(self) -> None:
        if self.work is not None:
            self.marking.ask_initials()

    def _say_part(self, part: str) -> None:
        self.marking.say_part(part)

    @cached_property
    def records(self) -> "Records":
        """What is kept beside the sheet."""
        from app.desk.records.records import Records

        records = Records(self.ask, self.marking.line, self.marking.with_initials, self)
        records.step_wanted.connect(self.go_to_step)
        records.work = self.work
        return records

    @cached_property
    def tighten_page(self) -> "TightenPage":
        """The bolts of a step."""
        from app.desk.places.bolts_page import TightenPage

        page = TightenPage(self._theme, self)
        page.left.connect(self.show_sheet)
        page.figure_wanted.connect(self._enter_figure)
        page.offer_wanted.connect(self._offer_figure)
        self.pages.addWidget(page)
        return page

    @cached_property
    def bolting(self) -> "Bolting":
        """What keys and presses on the bolts' page come to."""
        from app.desk.places.bolts_entry import Bolting

        bolting = Bolting(self.tighten_page, self.ask, self.marking.with_initials, self)
        bolting.left.connect(self.show_sheet)
        bolting.work = self.work
        return bolting

    @cached_property
    def measure_page(self) -> "MeasurePage":
        """A reading line as a grid."""
        from app.desk.places.grid_page import MeasurePage

        page = MeasurePage(self._theme, self)
        page.left.connect(self.show_sheet)
        page.figure_wanted.connect(self._enter_figure)
        page.sum_wanted.connect(self.show_sum_of_line)
        self.pages.addWidget(page)
        return page

    @cached_property
    def measuring(self) -> "Measuring":
        """What is typed into the grid comes to."""
        from app.desk.places.grid_entry import Measuring

        measuring = Measuring(self.measure_page, self.ask, self.marking.with_initials, self)
        measuring.left.connect(self.show_sheet)
        return measuring

    @cached_property
    def lash_page(self) -> "LashPage":
        """Lash, stop by stop."""
        from app.desk.places.lash_page import LashPage

        page = LashPage(self._theme, self)
        page.left.connect(self.show_sheet)
        page.figure_wanted.connect(self._enter_figure)
        page.grid_wanted.connect(self.show_grid)
        page.gauge_wanted.connect(self._say_gauge)
        page.sum_wanted.connect(self.show_sum_of_line)
        self.pages.addWidget(page)
        return page

    @cached_property
    def lashing(self) -> "Lashing":
        """What is typed on the lash page comes to."""
        from app.desk.places.lash_entry import Lashing

        lashing = Lashing(self.lash_page, self.ask, self.marking.with_initials, lambda: self.measuring.reads_with, self)
        lashing.left.connect(self.show_sheet)
        return lashing

    def _say_gauge(self) -> None:
        line = self.lash_page.line
        if line is not None and self.work is not None:
            self.measuring.work = self.work
            self.measure_page.begin(line)
            self.measuring.say_gauge()

    def _offer_figure(self) -> None:
        self.records.offer_figure()

    @cached_property
    def sums_page(self) -> "SumsPage":
        """The sums at the bench."""
        from app.desk.pages.sums_page import SumsPage

        page = SumsPage(self._theme, self._background, self)
        self.pages.addWidget(page)
        return page

    @cached_property
    def gate_page(self) -> "GatePage":
        """One gate."""
        from app.desk.pages.gate_page import GatePage

        page = GatePage(self._theme, self)
        page.line_wanted.connect(self.go_to_step)
        page.passed.connect(self.show_sheet)
        self.pages.addWidget(page)
        return page

    @cached_property
    def new_page(self) -> "NewBuildPage":
        """Making a build."""
        from app.desk.pages.new_build import NewBuildPage

        page = NewBuildPage(self._theme, self)
        page.made.connect(self.open_build)
        page.left.connect(self.show_sheet)
        self.pages.addWidget(page)
        return page

    @cached_property
    def print_page(self) -> "PrintPage":
        """Printing."""
        from app.desk.pages.print_page import PrintPage

        page = PrintPage(self._theme, self)
        page.left.connect(self.show_sheet)
        page.wanted.connect(self._print)
        self.pages.addWidget(page)
        return page

    @cached_property
    def help_page(self) -> "HelpPage":
        """Help."""
        from app.desk.pages.help_page import HelpPage

        page = HelpPage(self._theme, self)
        self.pages.addWidget(page)
        return page

    def _make_menus(self) -> None:
        bar = self.menuBar()
        build = bar.addMenu("&Build")
        self._add(build, "New build …", self.show_new, "Ctrl+N")
        self._add(build, "Builds", self.show_builds, "Ctrl+B")
        self._add(build, "Open workshop …", self.choose_workshop, "Ctrl+O")
        self._add(build, "New workshop …", self.choose_new_workshop)
        build.addSeparator()
        self._add(build, "Print …", self.show_print, "Ctrl+P")
        self._add(build, "Back up the workshop …", self.choose_backup)
        self._add(build, "Who is working …", self._ask_initials)
        build.addSeparator()
        self._add(build, "Quit", self.close, "Ctrl+Q")
        sheet = bar.addMenu("&Sheet")
        self._add(sheet, "Loose ends", self.show_ends, "Ctrl+E")
        self._add(sheet, "Ready now", self.show_ready, "Ctrl+R")
        self._add(sheet, "Logbook", self.show_log, "Ctrl+J")
        self._add(sheet, "Sums", self.show_sums, "Ctrl+T")
        self._add(sheet, "Go to line or find …", self.ask_line, "Ctrl+F")
        self._add(sheet, "Stage before", self.stage_before, "Ctrl+PgUp")
        self._add(sheet, "Stage after", self.stage_after, "Ctrl+PgDown")
        sheet.addSeparator()
        self._undo = self._add(sheet, "Undo", self.undo, "Ctrl+Z")
        self._redo = self._add(sheet, "Redo", self.redo, "Ctrl+Shift+Z")
        self._line_menu(bar.addMenu("&Line"))
        self._records_menu(bar.addMenu("&Records"))
        self._view_menu(bar.addMenu("&View"))
        helps = bar.addMenu("&Help")
        self._add(helps, "Help", self.show_help, "F1")
        self._add(helps, "Keys", self.show_help, "Ctrl+?")

    def _records_menu(self, menu: QMenu) -> None:
        """What is kept beside the sheet."""
        self._add(menu, "Leaving …", self._with_build(lambda: self.records.leave()), "Ctrl+L")
        self._add(menu, "Coming back …", self._with_build(lambda: self.records.come_back(asked=True)))
        menu.addSeparator()
        for key, title in RECORD_PAGES:
            self._add(menu, title, self._show_record_from_menu).setData(key)

    def _with_build(self, slot: Callable[[], None]) -> Callable[[], None]:
        def guarded() -> None:
            if self.work is not None:
                slot()

        return guarded

    def _line_menu(self, menu: QMenu) -> None:
        """Single letters are the sheet's own keys; here they are only told, so that they act nowhere else."""
        self._add(menu, "Next mark\tSpace", self._next_mark)
        self._add(menu, "Tick all places, Done", self._tick_rest, "Shift+Space")
        self._add(menu, "Write the value\tEnter", self._write_value)
        self._add(menu, "Places, as the part lies\tP", self.show_places)
        for state, key in (
            (State.LATER, "L"),
            (State.NOT_NEEDED, "N"),
            (State.STOPPED, "!"),
            (State.LOOK_AGAIN, "?"),
            (State.TO_DO, "U"),
        ):
            action = self._add(menu, f"{state.word}\t{key}", self._mark_from_menu)
            action.setData(state.value)
        menu.addSeparator()
        self._add(menu, "Enter the figure …\tF", self._enter_figure)
        self._add(menu, "Go on in writing …\tW", self._concede)
        menu.addSeparator()
        self._add(menu, "Opened up …\tO", self._with_build(lambda: self.records.open_up()))
        self._add(menu, "Found something …\tX", self._with_build(lambda: self.records.find()))
        self._add(menu, "A part goes on, or comes off …", self._with_build(lambda: self.records.fit_part()))
        self._add(menu, "Put a forgotten line in …", self._with_build(lambda: self.records.put_in()))
        self._add(menu, "Second look …\tS", self._with_build(lambda: self.records.second_look()))
        self._add(menu, "Figures side by side …", self._with_build(lambda: self.show_record("figures")))
        self._letters = self._add(menu, "Single letters act on the sheet", self._flip_letters)
        self._letters.setCheckable(True)
        self._letters.setChecked(self._settings.letters)

    def _view_menu(self, menu: QMenu) -> None:
        self._add(menu, "Light or dark", self.flip_theme, "F9")
        distances = menu.addMenu("Distance")
        group = QActionGroup(self)
        for distance in k.Distance:
            action = self._add(distances, distance.label, self._set_distance)
            action.setData(distance.name)
            action.setCheckable(True)
            action.setChecked(distance is self._theme.distance)
            group.addAction(action)

    def _add(self, menu: QMenu, text: str, slot: Callable[[], object], keys: str = "") -> QAction:
        action = QAction(text, self)
        if keys:
            action.setShortcut(QKeySequence(keys))
        action.triggered.connect(slot)
        menu.addAction(action)
        return action

    def _connect(self) -> None:
        self.strip.stage_wanted.connect(self.show_stage_first)
        self.strip.gate_wanted.connect(self.show_gate)
        self.sheet.gate_wanted.connect(self.show_gate)
        self.sheet.next_mark.connect(self._next_mark)
        self.sheet.mark_wanted.connect(self._mark)
        self.sheet.tick_wanted.connect(self._tick)
        self.sheet.value_written.connect(self._written)
        self.sheet.line_changed.connect(self._line_changed)
        self.sheet.beyond.connect(self._beyond)
        self.sheet.drafted.connect(self._drafted)
        self.sheet.figure_wanted.connect(self._enter_figure)
        self.sheet.concession_wanted.connect(self._concede)
        self.sheet.find_wanted.connect(self.ask_line)
        self.sheet.record_wanted.connect(self._record_key)
        self.sheet.places_wanted.connect(self.show_places)
        self.tray.part_wanted.connect(self._say_part)
        self.tray.line_wanted.connect(self.go_to_number)
        self.ask.opened.connect(self._keep_line_in_sight)
        self.ask.closed.connect(self._focus_page)
        self.foot.undo.clicked.connect(self.undo)
        self.foot.ends.clicked.connect(self.show_ends)
        self.foot.ready.clicked.connect(self.show_ready)
        self.foot.cancel.clicked.connect(self._background.cancel)
        self._background.progress.connect(self._progress)

    # --- workshop and build

    def open_workshop(self, folder: Path) -> bool:
        """Open a workshop and its build of last time; says in the foot why it can't."""
        try:
            workshop = Workshop.open_at(folder, now=clock())
        except StoreError as error:
            self.foot.say(str(error), trouble=True)
            return False
        self._take(workshop)
        return True

    def _take(self, workshop: Workshop) -> None:
        self._leave_build()
        if self.workshop is not None:
            self.workshop.close()
        self.workshop = workshop
        self._choose(workshop=str(workshop.folder))
        key = workshop.last_build(self._settings.build)
        if key is None:
            self.show_new()
        else:
            self.open_build(key)

    def open_build(self, key: int) -> None:
        """Show a build, the hand where it was."""
        assert self.workshop is not None  # a build is opened from one
        self._leave_build()
        build = self.workshop.load(key)
        self.work = Work(self.workshop, build, self)
        if "marking" in vars(self):
            self.marking.work = self.work
        if "records" in vars(self):
            self.records.work = self.work
        self.work.changed.connect(self._changed)
        self.work.told.connect(self._told)
        self.work.refused.connect(self._refused)
        self._choose(build=key)
        self._last_print = self.workshop.printed(build)[0]
        self.setWindowTitle(f"{build.name} – Firstcrank")
        arrow = self.workshop.arrow(build)
        line = build.by_id.get(arrow.line) if arrow else None
        self.stage = line.stage if line else next(one.number for one in build.stages)
        self.show_sheet()
        self._changed()
        if arrow is not None and line is not None:
            self._return_to(arrow, line)
        else:
            self.sheet.first()
        if not self.sheet.draft and to_be_asked(self.work.survey):
            self.records.come_back()

    def _return_to(self, arrow: Arrow, line: Line) -> None:
        self.sheet.go_to(line.id, arrow.place)
        self.sheet.doItemsLayout()
        self.sheet.verticalScrollBar().setValue(arrow.scroll)
        if arrow.draft:
            self.sheet.write(arrow.draft)

    def _open_build_key(self, key: str) -> None:
        self.open_build(int(key))

    def _leave_build(self) -> None:
        if self.work is not None:
            self._keep_arrow()
            self.work.deleteLater()
            self.work = None
            for name in ("marking", "records", "bolting", "measuring", "lashing"):
                if name in vars(self):
                    vars(self)[name].work = None

    def choose_workshop(self) -> None:
        """Ask for a folder with a workshop and open it."""
        chosen = QFileDialog.getExistingDirectory(self, "Open a workshop")
        if chosen:
            self.open_workshop(Path(chosen))

    def choose_new_workshop(self) -> None:
        """Ask for a folder and make a workshop in it."""
        chosen = QFileDialog.getExistingDirectory(self, "A folder for the new workshop")
        if chosen:
            self.make_workshop(Path(chosen))

    def make_workshop(self, folder: Path) -> None:
        """Make a workshop in a folder and open it."""
        try:
            workshop = Workshop.create(folder, name=folder.name, now=clock())
        except StoreError as error:
            self.foot.say(str(error), trouble=True)
            return
        self._take(workshop)

    def choose_backup(self) -> None:
        """Ask where, and copy the database there, checked."""
        if self.workshop is None:
            return
        start = str(Path.home() / f"{self.workshop.folder.name}-{clock():%Y%m%d}.db")
        chosen, _ = QFileDialog.getSaveFileName(self, "Back up the workshop", start, "Workshop copy (*.db)")
        if not chosen:
            return
        workshop, target = self.workshop, Path(chosen)
        self._background.run(
            lambda _progress, _cancelled: workshop.back_up(target),
            lambda _: self.foot.say(f"Backed up to {target}, checked"),
            self._failed,
        )

    # --- showing

    def _changed(self) -> None:
        if self.work is None:
            return
        self._show_rows()
        self.strip.show_rows(strip_rows(self.work, self.stage))
        self._show_tray()
        self._show_foot()
        if self._refill is not None:
            self._refill()

    def _show_rows(self) -> None:
        assert self.work is not None
        head = self.work.build.stages[self.stage - 1]
        sheet = stage_sheet(self.work.survey, self.work.ends, self.work.standings, head, grids=True)
        self.head.show_stage(sheet, self._last_print)
        self.sheet.show_rows(self.work, sheet.rows)

    def _show_tray(self) -> None:
        if self.work is None:
            return
        row = self.sheet.row
        if isinstance(row, LineRow):
            line = self.work.build.by_id[row.id]
            self.tray.show_sections(line.number, tray(self.work.survey, self.work.ends, line))
        elif isinstance(row, GateRow):
            self.tray.show_sections("", ())

    def _show_foot(self) -> None:
        work = self.work
        if work is None:
            return
        self.foot.saved.setText(f"Saved {work.saved_at:%H:%M}" if work.saved_at else "Saved")
        ready = sum(work.survey.ready(line) for line in work.build.lines)
        step = work.undo_words
        self.foot.show_counts(len(work.ends), ready)
        self.foot.undo.setToolTip(step)
        self.foot.undo.setEnabled(bool(step))
        self._undo.setText(f"Undo {step}" if step else "Undo")
        self._undo.setEnabled(bool(step))
        again = work.redo_words
        self._redo.setText(f"Redo {again}" if again else "Redo")
        self._redo.setEnabled(bool(again))

    def _line_changed(self) -> None:
        self.foot.hush()
        self._show_tray()
        self._arrow_timer.start()

    def _drafted(self, _text: str) -> None:
        self._arrow_timer.start()

    def _keep_arrow(self) -> None:
        self._arrow_timer.stop()
        if self.work is None:
            return
        arrow = self.sheet.arrow()
        if not arrow.line:
            return
        try:
            self.work.workshop.keep_arrow(self.work.build, arrow)
        except StoreError as error:
            self.foot.say(str(error), trouble=True)

    def _time_passed(self) -> None:
        # Only cures and clocks move by themselves; the hand and its half-typed value stay where they are.
        if self.work is not None and not self.ask.asking and not self.sheet.draft:
            self.work.refresh()

    def _told(self, words: str) -> None:
        self.foot.say(f"Last: {words}")

    def _refused(self, words: str) -> None:
        if self.ask.asking:
            self.ask.refuse(words)
        else:
            self.foot.say(words, trouble=True)

    # --- going places

    def show_stage(self, number: int) -> None:
        """Show a stage, the hand left alone."""
        if self.work is None:
            return
        self.stage = number
        self.show_sheet()
        self._show_rows()
        self.strip.show_rows(strip_rows(self.work, number))

    def show_stage_first(self, number: int) -> None:
        """Show a stage, the hand on its first line."""
        self.show_stage(number)
        self.sheet.first()

    def stage_before(self) -> None:
        """The stage before."""
        if self.work is not None and self.stage > 1:
            self.show_stage_first(self.stage - 1)

    def stage_after(self) -> None:
        """The stage after."""
        if self.work is not None and self.stage < len(self.work.build.stages):
            self.show_stage_first(self.stage + 1)

    def _beyond(self, step: int) -> None:
        if step > 0:
            self.stage_after()
        elif self.work is not None and self.stage > 1:
            self.show_stage(self.stage - 1)
            self.sheet.last()

    def go_to_step(self, step: str) -> None:
        """Go to a line by its step."""
        if self.work is None or step not in self.work.build.by_id:
            return
        self.show_stage(self.work.build.by_id[step].stage)
        self.sheet.go_to(step)
        self.sheet.setFocus()

    def go_to_number(self, number: str) -> None:
        """Go to a line by its number."""
        if self.work is not None and number in self.work.build.by_number:
            self.go_to_step(self.work.build.by_number[number].id)

    def ask_line(self) -> None:
        """Ask for a line number, or for words to find from here on."""
        if self.work is None:
            return
        field = Field("line", "Line, or words", hint="4.07, or for example: thrust")
        self.ask.ask("Go to", (field,), lambda answers: self._found(answers["line"]), button="Go")

    def _found(self, words: str) -> bool:
        line = self._find(words.strip())
        if line is None:
            self.ask.refuse(f"There is no line with “{words.strip()}” in it.")
            return False
        self.go_to_step(line.id)
        return True

    def _find(self, words: str) -> Line | None:
        assert self.work is not None
        build = self.work.build
        stage, dot, row = words.partition(".")
        number = f"{stage}.{row:0>2}" if dot else words
        if number in build.by_number:
            return build.by_number[number]
        row_here = self.sheet.row
        here = build.by_id[row_here.id].position if isinstance(row_here, LineRow) else -1
        order = [*build.lines[here + 1 :], *build.lines[: here + 1]]
        low = words.casefold()
        return next((one for one in order if low and low in f"{one.step.do} {one.step.note}".casefold()), None)

    def show_sheet(self) -> None:
        """Back to the sheet."""
        if self.work is None:
            return
        if self.ask.asking:
            self.ask.leave()
            return
        self._show(self._sheet_page)
        self.sheet.setFocus()

    def show_ends(self) -> None:
        """Everything open that will bite."""
        if self.work is not None:
            self._show(self.ends_page, self._fill_ends)
            self.ends_page.list.setFocus()

    def _fill_ends(self) -> None:
        from app.desk.pages.rows import loose_end_rows

        assert self.work is not None
        count = len(self.work.ends)
        self.ends_page.show_page(
            "Loose ends",
            f"{self.work.build.name}. What is open and will bite, at the gate where it does",
            f"{count} open" if count else "",
            loose_end_rows(self.work),
            "No loose end. What is merely still to do is not one.",
        )

    def show_ready(self) -> None:
        """What can be started now, and what the rest waits for."""
        if self.work is not None:
            self._show(self.ready_page, self._fill_ready)
            self.ready_page.list.setFocus()

    def _fill_ready(self) -> None:
        from app.desk.pages.rows import ready_rows

        assert self.work is not None
        self.ready_page.show_page("Ready now", self.work.build.name, "", ready_rows(self.work))

    def show_log(self) -> None:
        """The journal as a timeline."""
        if self.work is not None:
            self._show(self.log_page, self._fill_log)
            self.log_page.list.setFocus()
            self.log_page.list.scrollToBottom()

    def _fill_log(self) -> None:
        from app.desk.pages.rows import journal_rows

        assert self.work is not None
        entries = self._entries()
        rows = journal_rows(self.work.build, entries)
        self.log_page.show_page("Logbook", self.work.build.name, f"{len(entries)} entries", rows)

    def _entries(self) -> list[Told]:
        assert self.work is not None
        build = self.work.build
        return [one for written in self.work.workshop.journal(build) for one in told(build, written.deed)]

    def show_gate(self, gate: str) -> None:
        """A gate's page."""
        if self.work is not None:
            self.gate_page.gate = gate
            self._show(self.gate_page, self._fill_gate)
            self.gate_page.focus()

    def _fill_gate(self) -> None:
        assert self.work is not None
        self.gate_page.show_gate(self.work)

    def show_places(self) -> None:
        """The places of the line in hand, drawn as the part lies."""
        line = self.marking.line()
        if line is None or self.work is None:
            return
        from app.assembly.standing.lash_stops import is_lash
        from app.sheet.grid import can_grid

        if is_lash(line) and self._show_lash(line):
            return
        if line.tightening is not None:
            self.bolting.work = self.work
            self.tighten_page.begin(line)
            self._show(self.tighten_page, self._fill_bolts)
            self.tighten_page.setFocus()
        elif can_grid(line):
            self.show_grid()
        else:
            words = "tightens no bolts and reads no quantities"
            self.foot.say(f"{line.number} {words}; its places stand on the sheet.", trouble=True)

    def _show_lash(self, line: Line) -> bool:
        """Show a lash line stop by stop; where no stops can be worked out, say why and leave it to the grid."""
        assert self.work is not None
        try:
            self.lash_page.begin(line, self.work)
        except ValueError as error:
            self.foot.say(str(error), trouble=True)
            return False
        self.lashing.work = self.work
        self._show(self.lash_page, self._fill_lash)
        self.lash_page.setFocus()
        return True

    def _fill_lash(self) -> None:
        assert self.work is not None
        self.lashing.work = self.work
        self.lash_page.show_work(self.work)

    def show_grid(self) -> None:
        """The line in hand as a grid of readings."""
        line = self.marking.line()
        if line is None or self.work is None:
            return
        self.measuring.work = self.work
        self.measure_page.begin(line)
        self._show(self.measure_page, self._fill_grid)
        self.measure_page.setFocus()

    def _fill_grid(self) -> None:
        assert self.work is not None
        self.measuring.work = self.work
        self.measure_page.show_work(self.work, self.measuring.with_words)

    def _fill_bolts(self) -> None:
        assert self.work is not None
        self.tighten_page.show_work(self.work)

    def show_builds(self) -> None:
        """The builds of the workshop."""
        if self.workshop is not None:
            from app.desk.pages.rows import build_rows

            rows = build_rows(self.workshop.builds())
            self.builds_page.show_page("Builds", str(self.workshop.folder), "", rows, "No build yet.")
            self._show(self.builds_page)
            self.builds_page.list.setFocus()

    def show_new(self) -> None:
        """Make a build."""
        if self.workshop is not None:
            self._show(self.new_page)
            self.new_page.begin(self.workshop)

    def _show_record_from_menu(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.show_record(str(action.data()))

    def show_record(self, key: str) -> None:
        """One of the pages of what is kept beside the sheet."""
        if self.work is None:
            return
        record = self.records.pages()[key]
        if key not in self._record_pages:
            page = self._list_page(190, 240)
            page.wanted.disconnect(self.go_to_step)
            page.wanted.connect(record.wanted)
            for number, (text, slot) in enumerate(record.buttons):
                page.add_button(text, first=number == 0).clicked.connect(slot)
            self._record_pages[key] = page
        page = self._record_pages[key]
        build = self.work.build.name

        def refill() -> None:
            page.show_page(record.title, f"{build}. {record.about}", "", record.rows(), record.empty)

        self._show(page, refill)
        page.list.setFocus()

    def _record_key(self, key: str) -> None:
        """The single letters of the sheet for what is said beside the marks."""
        {"o": self.records.open_up, "x": self.records.find, "s": self.records.second_look}[key]()

    def show_print(self) -> None:
        """Print the traveller or the build record."""
        if self.work is not None:
            self.print_page.begin(self.work, self.stage, self._entries)
            self.print_page.paper.setCurrentIndex(self.print_page.paper.findData(self._settings.paper))
            self.print_page.steps.setChecked(self._settings.steps)
            self._show(self.print_page)

    def show_sums(self) -> None:
        """The sums at the bench; they need no build."""
        self._sums_from = ""
        self._show(self.sums_page)
        self.sums_page.begin()

    def show_sum_of_line(self) -> None:
        """The sum that goes with the line in hand, with what the line knows filled in; Esc comes back to the line."""
        from app.sheet.line_sum import sum_of
        from app.sheet.sums.from_line import fields_of

        line = self.marking.line()
        wanted = sum_of(line) if line is not None else None
        if line is None or wanted is None or self.work is None:
            return
        fields = fields_of(self.work.survey, line)
        self.show_sums()
        self.sums_page.show_sum(wanted.value, fields, f"{line.number} {line.step.do}")
        self.sums_page.begin()
        self._sums_from = line.id

    def show_help(self) -> None:
        """Keys, marks and cautions."""
        self._show(self.help_page)
        self.help_page.setFocus()

    def _show(self, page: QWidget, refill: Callable[[], None] | None = None) -> None:
        """Show a page; `refill` makes its content anew now and whenever the build changes."""
        if self.ask.asking:
            self.ask.close_panel()
        self.foot.hush()
        self._refill = refill
        if refill is not None:
            refill()
        self.pages.setCurrentWidget(page)

    def _keep_line_in_sight(self) -> None:
        self._set_asking(True)
        # The panel takes its room first; only then is it known how much of the sheet is left.
        QTimer.singleShot(0, self._scroll_to_line)

    def _scroll_to_line(self) -> None:
        self.sheet.scrollTo(self.sheet.currentIndex())

    def _focus_page(self) -> None:
        self._set_asking(False)
        page = self.pages.currentWidget()
        if page is self._sheet_page:
            self.sheet.setFocus()
        elif page in self._places_pages:
            page.setFocus()

    def _set_asking(self, asking: bool) -> None:
        """The pages of places give way to a question below them."""
        for page in self._places_pages:
            page.set_asking(asking)

    @property
    def _places_pages(self) -> list["TightenPage | MeasurePage | LashPage"]:
        """The pages of places that were opened so far."""
        return [vars(self)[name] for name in ("tighten_page", "measure_page", "lash_page") if name in vars(self)]

    # --- doing

    def undo(self) -> None:
        """Take back the last thing done."""
        if self.work is not None and self.work.undo_words:
            self.work.undo()

    def redo(self) -> None:
        """Put back what was taken back last."""
        if self.work is not None and self.work.redo_words:
            self.work.redo()

    def _mark_from_menu(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self.marking.mark(str(action.data()))

    def _write_value(self) -> None:
        self.sheet.write_here()

    def _print(self, job: "PrintJob") -> None:
        self._choose(paper=str(self.print_page.paper.currentData()), steps=self.print_page.steps.isChecked())
        self.show_sheet()
        self.foot.say(f"Writing {job.path.name} …")
        self._background.run(job.job, lambda sheets: self._printed(job, int(sheets)), self._failed)

    def _printed(self, job: "PrintJob", sheets: int) -> None:
        self._job_over()
        if job.number and self.work is not None:
            self.work.workshop.keep_print(self.work.build, job.number, clock())
            self._last_print = job.number
            self._show_rows()
        self.foot.say(f"{job.title} written: {job.path}, {sheets} sheets")
        if QApplication.platformName() not in ("offscreen", "minimal"):
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(job.path)))

    def _failed(self, error: BaseException) -> None:
        self._job_over()
        self.foot.say(str(error) or type(error).__name__, trouble=True)

    def _progress(self, done: int, of: int) -> None:
        self.foot.bar.setMaximum(of)
        self.foot.bar.setValue(done)
        self.foot.bar.show()
        self.foot.cancel.show()

    def _job_over(self) -> None:
        self.foot.bar.hide()
        self.foot.cancel.hide()

    # --- looks

    def flip_theme(self) -> None:
        """Light to dark or back."""
        self._theme.flip()
        self._choose(theme="dark" if self._theme.dark else "light")

    def _set_distance(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            distance = k.Distance[str(action.data())]
            self._theme.set_distance(distance)
            self._choose(distance=distance.name)
            self._arrange()

    def _flip_letters(self) -> None:
        self.sheet.letters = self._letters.isChecked()
        self._choose(letters=self.sheet.letters)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc, where nothing nearer wants it, leads back to the sheet."""
        if event.key() == Qt.Key.Key_Escape:
            self._go_back()
        else:
            super().keyPressEvent(event)

    def _go_back(self) -> None:
        """From a line's sum to the line's places, from anywhere else to the sheet."""
        line = self.marking.line()
        here = "sums_page" in vars(self) and self.pages.currentWidget() is self.sums_page
        if here and line is not None and line.id == self._sums_from:
            self.show_places()
        else:
            self.show_sheet()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the tray beside the sheet where there is room, else below it."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        times = self._theme.times
        room = self.width() / times
        self.strip.set_narrow(room < k.NARROW_STRIP_UNDER_PX)
        below = room < k.TRAY_BELOW_UNDER_PX
        self._sheet_row.removeWidget(self.tray)
        self._sheet_column.removeWidget(self.tray)
        if below:
            self.tray.setMinimumWidth(0)
            self.tray.setMaximumWidth(16_777_215)
            self.tray.setFixedHeight(min(round(170 * times), self.height() // 5))
            self._sheet_column.addWidget(self.tray)
        else:
            self.tray.setMinimumHeight(0)
            self.tray.setMaximumHeight(16_777_215)
            self.tray.setFixedWidth(round(k.TRAY_WIDTH_PX * times))
            self._sheet_row.addWidget(self.tray)

    # --- remembering

    def _choose(self, **chosen: object) -> None:
        """Remember a choice at once: the power may go before the window is closed."""
        settings = replace(self._settings, **chosen)  # type: ignore[arg-type]
        if settings != self._settings:
            self._settings = settings
            settings_file.save(self._config, settings)

    def warm_up(self) -> None:
        """Load what the first mark wants, off the window's thread, once the window stands."""
        self._background.run(lambda _progress, _cancelled: _warm_up(), lambda _: None, self._failed)

    def _restore_geometry(self) -> None:
        kept = self._geometry.value("geometry")
        if self._geometry.value("version") == str(LAYOUT_VERSION) and kept is not None:
            self.restoreGeometry(kept)
        else:
            self.resize(1366, 768)
        self._clamp()

    def _clamp(self) -> None:
        """A window kept on a screen that is gone comes back onto one that is there."""
        frame = self.frameGeometry()
        if any(screen.availableGeometry().intersects(frame) for screen in QApplication.screens()):
            return
        room = QApplication.primaryScreen().availableGeometry()
        self.setGeometry(room.x(), room.y(), min(self.width(), room.width()), min(self.height(), room.height()))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave everything as it can be found again, and one lone file behind."""
        self._leave_build()
        self._background.close()
        self._geometry.setValue("version", str(LAYOUT_VERSION))
        self._geometry.setValue("geometry", self.saveGeometry())
        self._geometry.sync()
        settings_file.save(self._config, self._settings)
        if self.workshop is not None:
            self.workshop.close()
            self.workshop = None
        super().closeEvent(event)


def _warm_up() -> None:
    from app.assembly.deeds.decide import warm_up

    warm_up()
