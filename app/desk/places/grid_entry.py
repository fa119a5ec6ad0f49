"""Reading by hand: what is typed into the grid is looked at first, then kept, with what it was read with."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import QObject, Signal

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.said import actions as a
from app.assembly.said.tools import TOOL
from app.assembly.standing.results import odd_one, width_of
from app.assembly.standing.tools import doubt_of, doubt_words, tool_of
from app.desk.places.grid_page import MeasurePage
from app.desk.widgets.ask import AskPanel, Field
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import Work
from app.exchange.measuring_tables import growth_over_steel, measuring_tables
from app.sheet.certainty import chance_section, gauge_section
from app.sheet.grid import GridCell
from app.sheet.sections import Section

Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class ReadWith:
    """What readings are taken with until it is said otherwise: the gauge, how warm it is, and when, if not now."""

    tool: str = ""
    temperature: str = ""
    when: datetime | None = None

    def reading(self, work: Work, line: Line, place: str, turn: int, text: str) -> a.TakeReading:
        """A reading taken with it."""
        return a.TakeReading(
            line.id,
            place,
            text,
            work.initials,
            self.when or work.now(),
            turn,
            decimal_mark(),
            self.tool,
            self.temperature,
            _growth(line) if self.temperature else 0.0,
        )


def ask_odd(
    ask: AskPanel, work: Work, line: Line, cell: tuple[str, int], text: str, keep: Callable[[str], bool]
) -> bool:
    """Ask about a value far from its neighbours, and say whether that was needed; `keep` takes what it reads."""
    odd = odd_one(work.build, line, *cell, text, decimal_mark())
    if odd:
        fields = (Field("text", "It reads", text),)
        ask.ask(f"{line.number} {odd}", fields, lambda v: keep(v["text"]), button="It reads that")
    return bool(odd)


class Measuring(QObject):
    """Turns what is typed into the grid into readings; questions are asked below the page."""

    left = Signal()

    def __init__(self, page: MeasurePage, ask: AskPanel, initials: Callable[..., bool], parent: QObject) -> None:
        super().__init__(parent)
        self._page = page
        self._ask = ask
        self._initials = initials
        self._with = ReadWith()
        self._chance = False
        self.work: Work | None = None
        page.beside = self._beside
        page.written.connect(self.write)
        page.gauge_wanted.connect(self.say_gauge)
        page.chance_wanted.connect(self.show_chance)
        page.line_done.connect(self.close_line)

    @property
    def _line(self) -> Line | None:
        return self._page.line if self.work is not None else None

    @property
    def with_words(self) -> str:
        """What is read with, in a sentence."""
        work, line = self.work, self._line
        if work is None or line is None:
            return ""
        tool = tool_of(work.build, self._with.tool)
        words = [f"Read with {tool.name}{f', {doubt_words(tool)}' if tool.doubt else ''}"] if tool is not None else []
        words += [f"at {self._with.temperature}"] if self._with.temperature else []
        words += [f"on {self._with.when:%a %d %b %H:%M}"] if self._with.when else []
        return (", ".join(words) or "K says what is read with: the gauge and its doubt, how warm it is, and when") + "."

    @property
    def reads_with(self) -> ReadWith:
        """What is read with, for other pages that read."""
        return self._with

    # --- values

    def write(self, place: str, turn: int, text: str) -> None:
        """Keep a value, or ask about one that is far from its neighbours."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(lambda: self.write(place, turn, text)):
            return

        def keep(said: str) -> bool:
            self._page.kept(place, turn)
            return work.do(self._with.reading(work, line, place, turn, said))

        if ask_odd(self._ask, work, line, (place, turn), text, keep) or not keep(text):
            self._page.refuse(place, turn, text)

    def close_line(self) -> None:
        """Sign the line off, where everything it asks for is there."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(self.close_line):
            return
        if work.sign_off(line):
            self.left.emit()

    # --- what it is read with

    def say_gauge(self) -> None:
        """Which gauge, how warm, and when."""
        work, line = self.work, self._line
        if work is None or line is None:
            return
        tools = tuple(
            (key, f"{key}  {one.name}{f', {doubt_words(one)}' if one.doubt else ''}")
            for (key, _), one in work.build.facts.of(TOOL).items()
        )
        fields = (
            Field("tool", "Gauge", self._with.tool, (("", "not said"), *tools)),
            Field("temperature", "Part and gauge are at", self._with.temperature, hint="21 °C", optional=True),
            Field("when", "Read on, if not now", "", hint="2026-03-14 19:30", optional=True),
        )

        def keep(v: Answers) -> bool:
            try:
                when = datetime.fromisoformat(v["when"].strip()).astimezone() if v["when"].strip() else None
            except ValueError:
                self._ask.refuse(f"“{v['when']}” is not a time; write it as 2026-03-14 19:30.")
                return False
            self._with = ReadWith(v["tool"], v["temperature"].strip(), when)
            work.refresh()
            return True

        note = (
            "Records, Tools keeps your gauges, each with how far it is to be trusted. Let part and gauge soak together."
        )
        self._ask.ask(f"{line.number} What it is read with", fields, keep, note=note)

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
        tool = tool_of(work.build, self._with.tool)
        bounds = work.survey.bounds(line)
        doubt = doubt_of(tool, line.step.spec) if tool is not None else 0.0
        width = width_of(bounds.limits_at(cell.place)) if bounds is not None and cell is not None else None
        if doubt and width and line.step.spec.kind is Measured.LENGTH:
            size = cell.band[0] if cell is not None and cell.band is not None else width
            sections += gauge_section(line.step.do, size, width, doubt, measuring_tables().instruments)
        if self._chance and cell is not None:
            sections.append(chance_section(cell))
        return tuple(sections)


def _growth(line: Line) -> float:
    """By how much more than a steel gauge the line's part grows for each kelvin; 0 where its material is not said."""
    return growth_over_steel(line.step.measure.material if line.step.measure else "")
