"""The print page: step sheets are offered with the traveller, and printed unless the box is unticked."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.desk import settings as settings_file
from app.desk.pages.print_page import RECORD, WHOLE, PrintJob, PrintPage
from app.desk.window import MainWindow


@pytest.mark.parametrize("steps", [True, False])
def test_the_job_prints_step_sheets_as_the_box_says(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, steps: bool
) -> None:
    asked: list[object] = []

    def written(_path: Path, _survey: object, **how: object) -> int:
        asked.append(how["steps"])
        return 1

    monkeypatch.setattr("app.paper.traveller.traveller.write_traveller", written)
    window.pages.show_page("print")
    page = window.pages.widget_of("print", PrintPage)
    page.choose(WHOLE)
    page.steps.setChecked(steps)
    page.wanted.disconnect()
    with qtbot.waitSignal(page.wanted) as told:
        page.write(tmp_path / "out.pdf")
    job = told.args[0]
    assert isinstance(job, PrintJob)
    job.job(lambda _done, _total: None, lambda: False)
    assert asked == [steps]


def test_the_build_record_has_no_step_sheets_to_offer(window: MainWindow) -> None:
    window.pages.show_page("print")
    assert window.pages.widget_of("print", PrintPage).steps.isEnabled()
    window.pages.widget_of("print", PrintPage).choose(RECORD)
    assert not window.pages.widget_of("print", PrintPage).steps.isEnabled()


def test_whether_step_sheets_are_wanted_is_kept_with_the_settings(tmp_path: Path) -> None:
    assert settings_file.load(tmp_path).steps
    settings_file.save(tmp_path, settings_file.Settings(steps=False))
    assert not settings_file.load(tmp_path).steps
