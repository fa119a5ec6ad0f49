"""What readings are taken with: the gauge, how warm it is, and when; said once for all pages that read."""

from collections.abc import Callable
from datetime import datetime

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.said import actions as a
from app.assembly.said.tools import TOOL
from app.assembly.standing.size_words import said_of
from app.assembly.standing.sizes import doubt_about
from app.assembly.standing.tools import doubt_words, tool_of
from app.desk.widgets.ask import Answers, AskPanel, Field
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import AtHand, Work
from app.exchange.measuring_tables import growth_over_steel
from app.words.say import say


class ReadWith(Struct, frozen=True):
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
    where = next((one for one in line.places if one.id == cell[0]), None)
    odd = doubt_about(work.survey, line, where, cell[1], text, decimal_mark()) if where is not None else None
    if odd is not None:
        fields = (Field("text", "It reads", text),)
        ask.ask(
            f"{line.number} {say(said_of(odd))}. Is it so?", fields, lambda v: keep(v["text"]), button="It reads that"
        )
    return odd is not None


class Gauge:
    """Keeps what readings are taken with until it is said otherwise, and asks for it."""

    def __init__(self, ask: AskPanel, at_hand: AtHand) -> None:
        self._ask = ask
        self._at_hand = at_hand
        self.reads_with = ReadWith()

    def words(self, work: Work) -> str:
        """What is read with, in a sentence."""
        said = self.reads_with
        tool = tool_of(work.build, said.tool)
        words = [f"Read with {tool.name}{f', {doubt_words(tool)}' if tool.doubt else ''}"] if tool is not None else []
        words += [f"at {said.temperature}"] if said.temperature else []
        words += [f"on {said.when:%a %d %b %H:%M}"] if said.when else []
        return (", ".join(words) or "K says what is read with: the gauge and its doubt, how warm it is, and when") + "."

    def say(self, line: Line) -> None:
        """Ask which gauge, how warm, and when."""
        work = self._at_hand.work
        if work is None:
            return
        tools = tuple(
            (key, f"{key}  {one.name}{f', {doubt_words(one)}' if one.doubt else ''}")
            for (key, _), one in work.build.facts.of(TOOL).items()
        )
        fields = (
            Field("tool", "Gauge", self.reads_with.tool, (("", "not said"), *tools)),
            Field("temperature", "Part and gauge are at", self.reads_with.temperature, hint="21 °C", optional=True),
            Field("when", "Read on, if not now", "", hint="2026-03-14 19:30", optional=True),
        )

        def keep(v: Answers) -> bool:
            try:
                when = datetime.fromisoformat(v["when"].strip()).astimezone() if v["when"].strip() else None
            except ValueError:
                self._ask.refuse(f"“{v['when']}” is not a time; write it as 2026-03-14 19:30.")
                return False
            self.reads_with = ReadWith(v["tool"], v["temperature"].strip(), when)
            work.refresh()
            return True

        note = (
            "Records, Tools keeps your gauges, each with how far it is to be trusted. Let part and gauge soak together."
        )
        self._ask.ask(f"{line.number} What it is read with", fields, keep, note=note)


def _growth(line: Line) -> float:
    """By how much more than a steel gauge the line's part grows for each kelvin; 0 where its material is not said."""
    return growth_over_steel(line.step.measure.material if line.step.measure else "")
