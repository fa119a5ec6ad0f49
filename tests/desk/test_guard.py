"""The Qt build in use must not give away references: one that does aborts after some five thousand calls."""

import sys

from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot


def test_void_calls_do_not_give_away_none(qtbot: QtBot) -> None:
    label = QLabel()
    qtbot.addWidget(label)
    before = sys.getrefcount(None)
    for number in range(1000):
        label.setText(str(number))
    assert sys.getrefcount(None) > before - 50
