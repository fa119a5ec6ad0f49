"""Reading by hand: what is typed into the grid is looked at first, then kept, with what it was read with."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.standing.results import width_of
from app.assembly.standing.tools import doubt_of, tool_of
from app.desk.places.gauge import Gauge, ask_odd
from app.desk.places.grid_page import MeasurePage
from app.desk.registry import Page
from app.desk.theme import PageTheme
from app.desk.widgets.ask import AskPanel
from app.desk.work import AtHand, Work
from app.exchange.measuring_tables import measuring_tables
from app.sheet.certainty import chance_section, gauge_section
from app.sheet.grid import GridCell
from app.sheet.sections import Section

if TYPE_CHECKING:
    from app.desk.desk import Desk


class Measuring(QObject):
    """Turns what is typed into the grid into readings; questions are asked below the page."""

    left = Signal()

    def __init__(
        self, page: MeasurePage, ask: AskPanel, initials: Callable[..., bool], gauge: Gauge, at_hand: AtHand
    ) -> None:
        super().__init__(page)
        self._page = page
        self._ask = ask
        self._initials = initials
        self._gauge = gauge
        self._at_hand = at_hand
        self._chance = False
        page.beside = self._beside
        page.written.connect(self.write)
        page.gauge_wanted.connect(self.say_gauge)
        page.chance_wanted.connect(self.show_chance)
        page.line_done.connect(self.close_line)
        page.told.connect(self._tell)

    @property
    def work(self) -> Work | None:
        """The build at hand."""
        return self._at_hand.work

    def _tell(self, words: str) -> None:
        if self.work is not None:
            self.work.refused.emit(words)

    @property
    def _line(self) -> Line | None:
        return self._page.line if self.work is not None else None

    # --- values

    def write(self, place: str, turn: int, text: str) -> None:
        """Keep a value, or ask about one that is far from its neighbours."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(lambda: self.write(place, turn, text)):
            return

        def keep(said: str) -> bool:
            kept = work.do(self._gauge.reads_with.reading(work, line, place, turn, said))
            if kept:
                self._page.kept(place, turn)
            return kept

        work.half_type(line, place, turn, text)
        if not ask_odd(self._ask, work, line, (place, turn), text, keep) and not keep(text):
            self._page.write_again(place, turn)

    def close_line(self) -> None:
        """Sign the line off, where everything it asks for is there."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(self.close_line):
            return
        if work.sign_off(line):
            self.left.emit()

    def say_gauge(self) -> None:
        """Which gauge, how warm, and when."""
        if self._line is not None:
            self._gauge.say(self._line)

    def show_chance(self) -> None:
        """Show, or leave off showing, how sure a verdict is."""
        self._chance = not self._chance
        if self.work is not None:
            self.work.refresh()

    def _beside(self, line: Line, cell: GridCell | None) -> tuple[Section, ...]:
        """What is said before measuring: a gauge too coarse; and on request how sure the verdict in hand is."""
        work = self.work
        if work is None or line.step.spec is None:
            return ()
        sections: list[Section] = []
        tool = tool_of(work.build, self._gauge.reads_with.tool)
        bounds = work.survey.bounds(line)
        doubt = doubt_of(tool, line.step.spec) if tool is not None else 0.0
        width = width_of(bounds.limits_at(cell.place)) if bounds is not None and cell is not None else None
        if doubt and width and line.step.spec.kind is Measured.LENGTH:
            size = cell.band[0] if cell is not None and cell.band is not None else width
            sections += gauge_section(line.step.do, size, width, doubt, measuring_tables().instruments)
        if self._chance and cell is not None:
            sections.append(chance_section(cell))
        return tuple(sections)


def make_page(desk: "Desk", _key: str) -> Page:
    """The line in hand as a grid of readings."""
    theme = PageTheme(desk.theme)
    page = MeasurePage(theme)
    measuring = Measuring(page, desk.ask, desk.marking.with_initials, desk.gauge, desk.at_hand)
    measuring.left.connect(desk.pages.show_home)
    page.left.connect(desk.pages.show_home)
    page.figure_wanted.connect(desk.marking.enter_figure)
    page.sum_wanted.connect(desk.show_sum_of_line)

    def begin(_about: str) -> bool:
        line = desk.home.line
        if line is None or not line.reads:
            return False
        page.begin(line)
        return True

    def refill() -> None:
        work = desk.at_hand.work
        if work is not None:
            page.show_work(work, desk.gauge.words(work))

    return Page(page, theme, begin, refill, page.setFocus, page.set_asking)
