"""Opening, making and leaving workshops and builds, and remembering where the hand was in each."""

from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.desk.background import Background
from app.desk.settings import Choices
from app.desk.sheet.view import SheetView
from app.desk.widgets.foot import Foot
from app.desk.work import AtHand, Work, clock
from app.store.errors import StoreError
from app.store.workshop import BACKUPS, Workshop
from app.words.times import moment_of_year

KEEP_ARROW_MS = 400
KEEP_BACKUP_MS = 30 * 60 * 1000


class WorkshopDesk(QObject):
    """Holds one workshop and one build at a time, in `at_hand`. `opened` tells of a build, `empty` of none to open."""

    opened = Signal()
    empty = Signal()

    def __init__(
        self,
        at_hand: AtHand,
        sheet: SheetView,
        foot: Foot,
        choices: Choices,
        background: Background,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._window = parent
        self._at_hand = at_hand
        self._sheet = sheet
        self._foot = foot
        self._choices = choices
        self._background = background
        self._arrow_timer = QTimer(self)
        self._arrow_timer.setSingleShot(True)
        self._arrow_timer.setInterval(KEEP_ARROW_MS)
        self._arrow_timer.timeout.connect(self._keep_arrow)
        sheet.line_changed.connect(self._arrow_timer.start)
        self._backup_timer = QTimer(self)
        self._backup_timer.setInterval(KEEP_BACKUP_MS)
        self._backup_timer.timeout.connect(self.keep_backup)
        self._backup_timer.start()

    # --- workshops

    def open_workshop(self, folder: Path) -> bool:
        """Open a workshop and its build of last time; says in the foot why it can't."""
        try:
            workshop = Workshop.open_at(folder, now=clock())
        except StoreError as error:
            self._foot.say(str(error), trouble=True)
            return False
        self._take(workshop)
        return True

    def make_workshop(self, folder: Path) -> None:
        """Make a workshop in a folder and open it."""
        try:
            workshop = Workshop.create(folder, name=folder.name, now=clock())
        except StoreError as error:
            self._foot.say(str(error), trouble=True)
            return
        self._take(workshop)

    def _take(self, workshop: Workshop) -> None:
        self.close()
        self._at_hand.workshop = workshop
        self._choices.choose(workshop=str(workshop.folder))
        key = workshop.last_build(self._choices.now.build)
        if key is None:
            self.empty.emit()
        else:
            self.open_build(key)

    def choose_workshop(self) -> None:
        """Ask for a folder with a workshop and open it."""
        chosen = QFileDialog.getExistingDirectory(self._window, "Open a workshop")
        if chosen:
            self.open_workshop(Path(chosen))

    def choose_new_workshop(self) -> None:
        """Ask for a folder and make a workshop in it."""
        chosen = QFileDialog.getExistingDirectory(self._window, "A folder for the new workshop")
        if chosen:
            self.make_workshop(Path(chosen))

    def choose_backup(self) -> None:
        """Ask where, and copy the database there, checked."""
        workshop = self._at_hand.workshop
        if workshop is None:
            return
        start = str(Path.home() / f"{workshop.folder.name}-{clock():%Y%m%d}.db")
        chosen, _ = QFileDialog.getSaveFileName(self._window, "Back up the workshop", start, "Workshop copy (*.db)")
        if not chosen:
            return
        target = Path(chosen)
        self._background.run(
            lambda _progress, _cancelled: workshop.back_up(target),
            lambda _: self._foot.say(f"Backed up to {target}, checked"),
            self._foot.fail,
        )

    def keep_backup(self) -> None:
        """Back the workshop up into its own folder, off the window's thread, if something was done since the last."""
        workshop = self._at_hand.workshop
        if workshop is not None:
            self._background.run(lambda _progress, _cancelled: _keep(workshop), lambda _: None, self._foot.fail)

    def choose_restore(self) -> None:
        """Ask for a backup, and go back to it."""
        workshop, last = self._at_hand.workshop, self._choices.now.workshop
        if workshop is None and not last:
            return
        # One that is too damaged to be opened is the one that most wants it.
        folder = workshop.folder if workshop is not None else Path(last)
        kept = folder / BACKUPS
        start = str(kept if kept.is_dir() else Path.home())
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Go back to a backup", start, "Workshop copy (*.db)")
        if chosen:
            self.go_back(folder, Path(chosen))

    def go_back(self, folder: Path, copy: Path) -> None:
        """Put a backup in the place of a workshop's database, and open it again; what stood there is set aside."""
        from app.store.restore import Restored, restore  # wanted once in years

        def back(found: Restored) -> None:
            if self.open_workshop(folder):
                deed = f"its last deed is {moment_of_year(found.now)}" if found.now is not None else "it holds no deed"
                aside = f"; what stood there is in {found.aside[0].parent}" if found.aside else ""
                self._foot.say(f"Back to {copy.name}: {deed}{aside}")

        def failed(error: BaseException) -> None:
            self.open_workshop(folder)
            self._foot.fail(error)

        self.close()
        self._background.run(lambda _progress, _cancelled: restore(folder, copy, now=clock()), back, failed)

    def close(self) -> None:
        """Leave the build and the workshop, one lone file behind."""
        self._leave_build()
        workshop, self._at_hand.workshop = self._at_hand.workshop, None
        if workshop is None:
            return
        try:
            _keep(workshop)
        except StoreError as error:
            self._foot.say(f"No backup could be made: {error}", trouble=True)
        finally:
            workshop.close()

    # --- builds

    def open_build(self, key: int) -> None:
        """Take a build in hand."""
        workshop = self._at_hand.workshop
        assert workshop is not None  # a build is opened from one
        self._leave_build()
        self._at_hand.work = Work(workshop, workshop.load(key), self)
        self._at_hand.work.half_typed.connect(self._arrow_timer.start)
        self._choices.choose(build=key)
        self.opened.emit()

    def _leave_build(self) -> None:
        if self._at_hand.work is not None:
            self._keep_arrow()
            self._at_hand.work.deleteLater()
            self._at_hand.work = None

    def undo(self) -> None:
        """Take back the last thing done."""
        work = self._at_hand.work
        if work is not None and work.undo_words:
            work.undo()

    def redo(self) -> None:
        """Put back what was taken back last."""
        work = self._at_hand.work
        if work is not None and work.redo_words:
            work.redo()

    # --- where the hand is

    def _keep_arrow(self) -> None:
        self._arrow_timer.stop()
        work, arrow = self._at_hand.work, self._sheet.arrow()
        if work is None or not arrow.line:
            return
        try:
            work.workshop.keep_arrow(work.build, arrow)
        except StoreError as error:
            self._foot.say(str(error), trouble=True)


def _keep(workshop: Workshop) -> None:
    from app.store.kept import keep  # not wanted before half an hour is over

    keep(workshop.path, workshop.folder / BACKUPS, now=clock())
