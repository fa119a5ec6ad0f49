"""The library of units is slow to load: nothing wakes it but a person's own question what a value is in other units.

Each test runs in a Python of its own, for what another test has loaded stays loaded.
"""

import os
import subprocess
import sys
from pathlib import Path

from tests.fixtures import tellings
from tests.fixtures.make_expected import unpack

ROOT = Path(__file__).parents[1]

VERBS = """
import click
import sys
from app.cli import main as verbs
from app.sheet.sums import SUMS

workshop, out = sys.argv[1:]
B = "1"

def run(*words):
    verbs.main([str(word) for word in words], standalone_mode=False)
    if "pint" in sys.modules:
        sys.exit(f"{' '.join(words)} loads pint")

def looks():
    # Every verb that wants no more than a workshop and a build only looks when it is given no more.
    for name in verbs.VERBS:
        verb = verbs.main.get_command(click.Context(verbs.main), name)
        needed = {one.name for one in verb.get_params(click.Context(verb)) if one.required}
        if needed == {"folder", "build_name"}:
            yield name

seen = list(looks())
assert {"sheet", "ready", "loose-ends", "gates", "journal", "results", "lash", "bolts"} <= set(seen), seen
for key in (2, 3):
    for name in seen:
        run(name, workshop, str(key))
    for paper in ("traveller", "record"):
        run(paper, workshop, str(key), "--out", f"{out}-{paper}.pdf")

new = f"{out}-new"
run("new", new, "--plan", "single-air", "--name", "One")
run("mark", new, B, "2.01", "started", "--by", "AB")
run("spec", new, B, "3.05", "2.5000 to 2.5010 in", "--source", "A card", "--by", "AB")
run("concede", new, B, "3.04", "for the test", "--by", "AB")
run("read", new, B, "3.05", "1", "63.51 mm", "--by", "AB", "--temperature", "81 °F")
run("spec", new, B, "6.02", "18 lb-ft", "--source", "A card", "--by", "AB")
run("sheet", new, B)

for one in SUMS:
    if one.id != "unit":
        run(one.id, *(word for key, text in one.example.items() for word in (f"--{key.replace('_', '-')}", text)))

verbs.main(["unit", "--value", "18 lb-ft"], standalone_mode=False)
assert "pint" in sys.modules, "what is looked for here has another name by now"
"""

WINDOW = """
import sys
from pathlib import Path
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from app.desk import settings as settings_file
from app.desk.main import make_application, make_theme
from app.desk.window import MainWindow

workshop, config = map(Path, sys.argv[1:])
application = make_application(["test"])
settings = settings_file.Settings()
window = MainWindow(make_theme(application, settings), settings, config)
window.show()
window.workshops.open_workshop(workshop)
window.warm_up()
for stage in window.work.build.stages:
    window.home.show_stage_first(stage.number)
    for _ in range(30):
        QTest.keyClick(window.sheet, Qt.Key.Key_Down)
    application.processEvents()
window.home.show_stage_first(1)
QTest.keyClick(window.sheet, Qt.Key.Key_Space)
application.processEvents()
window.close()
sys.exit("pint" in sys.modules)
"""


def _run(script: str, *arguments: object) -> subprocess.CompletedProcess[str]:
    environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    command = [sys.executable, "-c", script, *map(str, arguments)]
    return subprocess.run(command, check=False, env=environment, capture_output=True, text=True, encoding="utf-8")


def test_no_verb_but_the_sum_of_units_loads_it(tmp_path: Path) -> None:
    unpack(tmp_path)
    tellings.open_workshop(tmp_path).close()  # which brings it up to date
    done = _run(VERBS, tmp_path, tmp_path / "out")
    assert done.returncode == 0, done.stderr[-2000:]


def test_neither_a_build_in_the_window_nor_its_tray_nor_a_mark_loads_it(tmp_path: Path) -> None:
    unpack(tmp_path)
    tellings.open_workshop(tmp_path).close()  # which brings it up to date
    done = _run(WINDOW, tmp_path, tmp_path / "config")
    assert done.returncode == 0, done.stderr[-2000:]
