"""The menus, built from the rows of the pages and from what else can be done."""

from collections.abc import Callable
from functools import partial
from itertools import groupby

from msgspec import Struct
from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from app.assembly.said.marks import State
from app.desk.desk import Desk
from app.desk.looks import Looks
from app.desk.page_stack import KINDS
from app.desk.registry import Menu, MenuRow
from app.sheet.draw.tokens import Distance


class Command(Struct, frozen=True):
    """A menu row and what it does; with `of_build` only where a build is open."""

    at: MenuRow
    run: Callable[[], object]
    of_build: bool = False


# Single letters are the sheet's own keys; here they are only told, so that they act nowhere else.
_MARKS = (
    (State.LATER, "L"),
    (State.NOT_NEEDED, "N"),
    (State.STOPPED, "!"),
    (State.LOOK_AGAIN, "?"),
    (State.TO_DO, "U"),
)


class Menus(QObject):
    """The menu bar of the window."""

    def __init__(self, desk: Desk, looks: Looks, window: QMainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._desk = desk
        self._looks = looks
        self._commands: dict[QAction, Command] = {}
        commands = [*self._pages(), *_build(desk, window), *_sheet(desk), *_line(desk), *_records(desk)]
        commands.append(Command(MenuRow(Menu.VIEW, 10, "Light or dark", "F9"), looks.flip))
        for menu in Menu:
            self._fill(window.menuBar().addMenu(menu.value), [one for one in commands if one.at.menu is menu])
        desk.theme.changed.connect(self._restyle)
        self._restyle()
        self.undo, self.redo = (self._action(text) for text in ("Undo", "Redo"))
        self.letters = self._action("Single letters act on the sheet")
        self.letters.setCheckable(True)
        self.letters.setChecked(desk.choices.now.letters)
        self.letters.triggered.connect(looks.set_letters)

    def _restyle(self) -> None:
        self._window.menuBar().setStyleSheet(self._desk.theme.style)

    def _pages(self) -> list[Command]:
        show = self._desk.pages.show_page
        return [Command(row, partial(show, key)) for key, kind in KINDS.items() for row in kind.rows]

    def _fill(self, menu: QMenu, commands: list[Command]) -> None:
        commands.sort(key=lambda one: one.at.row)
        for ten, group in groupby(commands, key=lambda one: one.at.row // 10):
            if not menu.isEmpty():
                menu.addSeparator()
            for command in group:
                self._commands[self._add(menu, command.at)] = command
            if (command.at.menu, ten) == (Menu.VIEW, 1):
                self._distances(menu.addMenu("Distance"))

    def _add(self, menu: QMenu, at: MenuRow) -> QAction:
        action = QAction(at.text, self)
        if at.keys:
            action.setShortcut(QKeySequence(at.keys))
        action.triggered.connect(self._run)
        menu.addAction(action)
        return action

    def _distances(self, menu: QMenu) -> None:
        group = QActionGroup(self)
        for distance in Distance:
            action = QAction(distance.label, self)
            action.setData(distance.name)
            action.setCheckable(True)
            action.setChecked(distance is self._desk.theme.distance)
            action.triggered.connect(self._set_distance)
            menu.addAction(action)
            group.addAction(action)

    def _action(self, text: str) -> QAction:
        return next(action for action in self._commands if action.text() == text)

    def _run(self) -> None:
        command = self._commands[self.sender()]  # type: ignore[index]
        if self._desk.at_hand.work is not None or not command.of_build:
            command.run()

    def _set_distance(self) -> None:
        action = self.sender()
        if isinstance(action, QAction):
            self._looks.set_distance(Distance[str(action.data())])

    def show_steps(self) -> None:
        """Name what undo and redo would take back and put back."""
        work = self._desk.at_hand.work
        undo, redo = (work.undo_words, work.redo_words) if work is not None else ("", "")
        for action, word, step in ((self.undo, "Undo", undo), (self.redo, "Redo", redo)):
            action.setText(f"{word} {step}" if step else word)
            action.setEnabled(bool(step))


def _build(desk: Desk, window: QMainWindow) -> list[Command]:
    row, workshops = Menu.BUILD, desk.workshops
    return [
        Command(MenuRow(row, 12, "Open workshop …", "Ctrl+O"), workshops.choose_workshop),
        Command(MenuRow(row, 13, "New workshop …"), workshops.choose_new_workshop),
        Command(MenuRow(row, 21, "Back up the workshop …"), workshops.choose_backup),
        Command(MenuRow(row, 21, "Go back to a backup …"), workshops.choose_restore),
        Command(MenuRow(row, 22, "Who is working …"), lambda: desk.marking.ask_initials(), of_build=True),
        Command(MenuRow(row, 23, "Units shown first …"), lambda: desk.marking.ask_units(), of_build=True),
        Command(MenuRow(row, 30, "Quit", "Ctrl+Q"), window.close),
    ]


def _sheet(desk: Desk) -> list[Command]:
    row = Menu.SHEET
    return [
        Command(MenuRow(row, 14, "Go to line or find …", "Ctrl+F"), desk.finder.ask_line),
        Command(MenuRow(row, 15, "Stage before", "Ctrl+PgUp"), desk.home.stage_before),
        Command(MenuRow(row, 16, "Stage after", "Ctrl+PgDown"), desk.home.stage_after),
        Command(MenuRow(row, 20, "Undo", "Ctrl+Z"), desk.workshops.undo),
        Command(MenuRow(row, 21, "Redo", "Ctrl+Shift+Z"), desk.workshops.redo),
    ]


def _line(desk: Desk) -> list[Command]:
    row = Menu.LINE
    marks = [
        Command(MenuRow(row, 14 + n, f"{state.word}\t{key}"), partial(_mark, desk, state))
        for n, (state, key) in enumerate(_MARKS)
    ]
    return [
        Command(MenuRow(row, 10, "Next mark\tSpace"), lambda: desk.marking.next_mark()),
        Command(MenuRow(row, 11, "Tick all places, Done", "Shift+Space"), lambda: desk.marking.tick_rest()),
        Command(MenuRow(row, 12, "Write the value\tEnter"), desk.home.sheet.write_here),
        Command(MenuRow(row, 13, "Places, as the part lies\tP"), desk.show_places),
        *marks,
        Command(MenuRow(row, 20, "Enter the figure …\tF"), lambda: desk.marking.enter_figure()),
        Command(MenuRow(row, 20, "Next figure nobody entered …\tShift+F"), lambda: desk.marking.enter_next_figure()),
        Command(MenuRow(row, 21, "Go on in writing …\tW"), lambda: desk.marking.concede()),
        Command(MenuRow(row, 30, "Opened up …\tO"), lambda: desk.records.open_up(), of_build=True),
        Command(MenuRow(row, 31, "Found something …\tX"), lambda: desk.records.find(), of_build=True),
        Command(MenuRow(row, 32, "A part goes on, or comes off …"), lambda: desk.records.fit_part(), of_build=True),
        Command(MenuRow(row, 33, "Put a forgotten line in …"), lambda: desk.records.put_in(), of_build=True),
        Command(MenuRow(row, 34, "Second look …\tS"), lambda: desk.records.second_look(), of_build=True),
        Command(MenuRow(row, 36, "Single letters act on the sheet"), _nothing),
    ]


def _mark(desk: Desk, state: State) -> None:
    desk.marking.mark(state.value)


def _records(desk: Desk) -> list[Command]:
    row = Menu.RECORDS
    return [
        Command(MenuRow(row, 10, "Leaving …", "Ctrl+L"), lambda: desk.records.leave(), of_build=True),
        Command(MenuRow(row, 11, "Coming back …"), lambda: desk.records.come_back(asked=True), of_build=True),
    ]


def _nothing() -> None:
    """What is done is done where the row is ticked."""
