"""The bolts of a joint worked one by one: the pattern as the part lies, what to set, and what comes next."""

from collections.abc import Mapping

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.assembly.lines import Line
from app.assembly.standing.tightening import joint_lines
from app.desk.places.here_bar import HereBar
from app.desk.sheet.tray import Tray
from app.desk.theme import Theme, font
from app.desk.widgets.button_row import ButtonRow
from app.desk.widgets.canvas import Canvas
from app.desk.widgets.page_head import PageHead
from app.desk.work import Work
from app.sheet.draw.bolts import BoltMark, bolt_drawing
from app.sheet.draw.drawing import Drawing, Target
from app.sheet.joint import compare_sections, doubt_sections, joint_sections
from app.sheet.setting import step_sections
from app.sheet.tighten import Coming, TightenView, tighten_view


class TightenPage(QWidget):
    """One tightening step. Space: the bolt in hand has it; Enter writes what it came to; letters as on the buttons."""

    done = Signal(str)
    write_wanted = Signal(str)
    joint_wanted = Signal()
    wrench_wanted = Signal()
    order_wanted = Signal()
    slacken_wanted = Signal()
    figure_wanted = Signal()
    offer_wanted = Signal()
    line_done = Signal()
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._line: Line | None = None
        self._view: TightenView | None = None
        self.chosen = ""
        self.side = "step"
        self._head = PageHead(theme, self)
        self.canvas = Canvas(theme, "Bolts", self)
        self.canvas.pressed.connect(self._press)
        self.canvas.moved.connect(self._move)
        self._legend = QLabel(self)
        self._next = HereBar(theme, self)
        self.words = Tray(theme, self)
        self.words.setAccessibleName("What to set, and why")
        self._caution = QLabel(self)
        self._caution.setWordWrap(True)
        for label in (self._legend, self._caution):
            label.setProperty("quiet", True)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._head)
        layout.addLayout(self._columns(), 1)
        self._keys = self._button_row()
        layout.addLayout(self._keys)
        self.setFocusProxy(self.canvas)
        theme.changed.connect(self._restyle)
        self._restyle()

    def _columns(self) -> QHBoxLayout:
        left = QVBoxLayout()
        left.setContentsMargins(16, 12, 12, 8)
        left.setSpacing(8)
        left.addWidget(self.canvas, 1)
        left.addWidget(self._legend)
        left.addWidget(self._next)
        left.addWidget(self._caution)
        both = QHBoxLayout()
        both.setSpacing(0)
        both.addLayout(left, 11)
        both.addWidget(self.words, 9)
        return both

    def _button_row(self) -> ButtonRow:
        words = (
            ("done", "Done   Space", self._space),
            ("write", "Write   Enter", self._write),
            ("wrench", "Wrench   T", self.wrench_wanted.emit),
            ("joint", "Joint   J", self.joint_wanted.emit),
            ("order", "Order   R", self.order_wanted.emit),
            ("doubt", "Doubt   D", self._show_doubt),
            ("figures", "Compare   C", self._show_figures),
            ("slacken", "Slacken all   A", self.slacken_wanted.emit),
            ("back", "Sheet   Esc", self.left.emit),
        )
        return ButtonRow(words, self)

    def _restyle(self) -> None:
        times = self._theme.times
        self._legend.setFont(font(15 * times, 400))
        self._caution.setFont(font(14 * times, 400))

    def set_asking(self, asking: bool) -> None:
        """While something is asked below, the bolts keep the room there is."""
        for widget in (self._legend, self._caution, *self._keys.buttons.values()):
            widget.setVisible(not asking)

    # --- showing

    def begin(self, line: Line) -> None:
        """Take a line in hand, the hand on the bolt that comes next."""
        self._line = line
        self.chosen, self.side = "", "step"

    @property
    def line(self) -> Line | None:
        """The line in hand."""
        return self._line

    @property
    def coming(self) -> Mapping[str, Coming]:
        """What each bolt has coming, by its place."""
        return self._view.coming if self._view is not None else {}

    def show_work(self, work: Work) -> None:
        """Show the step as it stands; the hand goes on to the next bolt once the one in hand has its pass."""
        if self._line is None:
            return
        self._work = work
        self._line = work.build.by_id.get(self._line.id, self._line)
        before, view = self._view, tighten_view(work.survey, self._line)
        if before is None or before.number != view.number or self.chosen in ("", before.next_place):
            self.chosen = view.next_place
        self._view = view
        self._head.show_head(f"{view.number}  {view.title}", view.note, view.count)
        self._legend.setText("Front of the engine at the left" + (f". {view.boxes}" if view.boxes else ""))
        self._next.show_runs(view.next_words)
        self._caution.setText(view.caution)
        self.canvas.show_drawing(self._drawing, ". ".join(bolt.title for bolt in view.bolts))
        self._show_side()

    def go_on(self) -> None:
        """The hand goes on to the bolt that comes next."""
        if self._view is not None:
            self.chosen = self._view.next_place or self.chosen
            self.canvas.update()

    def show_next(self) -> None:
        """Go on to the next line of the joint that is open, the hand on its first bolt; stay where there is none."""
        if self._work is None or self._line is None:
            return
        run = joint_lines(self._work.build, self._line)
        after = [one for one in run if one.position > self._line.position and self._work.survey.open(one)]
        if after:
            self.begin(after[0])
            self.show_work(self._work)

    def _drawing(self, width: float, height: float) -> Drawing:
        assert self._view is not None  # the canvas draws once there is a step
        bolts = tuple(self._in_hand(bolt) for bolt in self._view.bolts)
        return bolt_drawing(bolts, self._view.pattern, width=width, height=height, bores=self._view.bores)

    def _in_hand(self, bolt: BoltMark) -> BoltMark:
        return replace(bolt, here=bolt.key == self.chosen)

    def _show_side(self) -> None:
        assert self._work is not None
        assert self._line is not None
        assert self._view is not None
        survey, line = self._work.survey, self._line
        sections = {
            "step": lambda: (*step_sections(self._view), *joint_sections(survey, line)),
            "doubt": lambda: doubt_sections(survey, line),
            "figures": lambda: compare_sections(survey, line),
        }[self.side]()
        heads = {"step": "What to set", "doubt": "How far to trust it", "figures": "Figures side by side"}
        self.words.show_sections("", tuple(sections), heads[self.side])

    # --- keys and presses

    def _press(self, key: str) -> None:
        if key == self.chosen:
            self.done.emit(key)
        else:
            self.chosen = key
            self.canvas.update()

    def _move(self, across: int, down: int) -> None:
        """The hand goes to the nearest bolt that way."""
        drawn = self.canvas.drawn
        if drawn is None:
            return
        here = next((one for one in drawn.targets if one.key == self.chosen), None)
        if here is None:
            return
        ways = [(one.key, *_from(here, one)) for one in drawn.targets if one is not here]
        ahead = [
            (abs(x) + abs(y) + 3 * (abs(y) if across else abs(x)), key)
            for key, x, y in ways
            if x * across + y * down > 4
        ]
        if ahead:
            self.chosen = min(ahead)[1]
            self.canvas.update()

    def _space(self) -> None:
        if self._view is None:
            return
        if self._view.next_place == "":
            self.line_done.emit()
        elif self.chosen:
            self.done.emit(self.chosen)

    def _write(self) -> None:
        if self.chosen:
            self.write_wanted.emit(self.chosen)

    def _show_doubt(self) -> None:
        self._turn_to("doubt")

    def _show_figures(self) -> None:
        self._turn_to("figures")

    def _turn_to(self, side: str) -> None:
        self.side = "step" if self.side == side else side
        if self._work is not None:
            self._show_side()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys on the buttons."""
        keys = {
            Qt.Key.Key_Space: self._space,
            Qt.Key.Key_Return: self._write,
            Qt.Key.Key_Enter: self._write,
            Qt.Key.Key_T: self.wrench_wanted.emit,
            Qt.Key.Key_J: self.joint_wanted.emit,
            Qt.Key.Key_R: self.order_wanted.emit,
            Qt.Key.Key_D: self._show_doubt,
            Qt.Key.Key_C: self._show_figures,
            Qt.Key.Key_A: self.slacken_wanted.emit,
            Qt.Key.Key_F: self.figure_wanted.emit,
            Qt.Key.Key_O: self.offer_wanted.emit,
        }
        slot = keys.get(Qt.Key(event.key())) if event.modifiers() in _PLAIN else None
        if slot is None:
            super().keyPressEvent(event)
        else:
            slot()


_PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)


def _from(here: Target, other: Target) -> tuple[float, float]:
    return (
        (other.left + other.right - here.left - here.right) / 2,
        (other.top + other.bottom - here.top - here.bottom) / 2,
    )
