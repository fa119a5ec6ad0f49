"""From nothing to a painted sheet, against a bare program that opens a window on an empty table."""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks import worked
from tests.benchmarks.figure import Figure, against

RUNS = 7
ROOT = Path(__file__).parents[2]

BARE = """
import sys
import time
from PySide6.QtCore import QAbstractTableModel, Qt, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow, QTableView
from sqlalchemy import create_engine, select
from sqlalchemy.orm import DeclarativeBase, Mapped, Session, mapped_column

class Base(DeclarativeBase):
    pass

class Row(Base):
    __tablename__ = "row"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]

class Model(QAbstractTableModel):
    def __init__(self, rows):
        super().__init__()
        self.rows = rows
    def rowCount(self, parent=None):
        return len(self.rows)
    def columnCount(self, parent=None):
        return 2
    def data(self, index, role=Qt.ItemDataRole.DisplayRole):
        row = self.rows[index.row()]
        return (str(row.id), row.name)[index.column()] if role == Qt.ItemDataRole.DisplayRole else None

class View(QTableView):
    def paintEvent(self, event):
        super().paintEvent(event)
        print(time.time(), flush=True)
        QTimer.singleShot(0, application.quit)

engine = create_engine(f"sqlite:///{sys.argv[1]}")
Base.metadata.create_all(engine)
application = QApplication(["bare"])
with Session(engine) as session:
    rows = session.scalars(select(Row)).all()
window = QMainWindow()
view = View()
view.setModel(Model(rows))
window.setCentralWidget(view)
window.resize(1366, 768)
window.show()
application.exec()
"""

OURS = """
import sys
import time
from pathlib import Path
from app.cli.main import live_briefly
live_briefly()  # as the command itself begins
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication
import app.desk.main as main

class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint and watched.parent().model().rowCount():
            QTimer.singleShot(0, self.painted)
        return False
    def painted(self):
        print(time.time(), flush=True)
        QApplication.quit()

watch = Watch()
made = main.MainWindow.__init__
def watched(self, *arguments):
    made(self, *arguments)
    self.sheet.viewport().installEventFilter(watch)
main.MainWindow.__init__ = watched
sys.exit(main.open_window(Path(sys.argv[1])))
"""


def measure() -> Iterator[Figure]:
    """The median of several starts of each, taken in turn so that both meet the same machine."""
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        shutil.copytree(worked.worked(), folder / "workshop")
        environment = os.environ | {
            "QT_QPA_PLATFORM": "offscreen",
            "PYTHONPATH": str(ROOT),
            "FIRSTCRANK_CONFIG": str(folder / "config"),
        }
        # The libraries lie compiled in the environment; so does the program after its first start.
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        environment["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
        ours, bare = [], []
        for run in range(RUNS + 1):
            mine = _run(OURS, folder / "workshop", environment)
            floor = _run(BARE, folder / "bare.db", environment)
            if run:  # the first warms the disk
                ours.append(mine)
                bare.append(floor)
    yield against("start to a painted sheet", statistics.median(ours), statistics.median(bare), 1.6)


def _run(script: str, target: Path, environment: dict[str, str]) -> float:
    begun = time.time()
    command = [sys.executable, "-c", script, str(target)]
    done = subprocess.run(command, check=True, env=environment, timeout=60, stdout=subprocess.PIPE, text=True)
    return (float(done.stdout.split()[0]) - begun) * 1000
