"""Asking for a line's figure and how it is meant: where it is from, how wide a single one is, how the line is read."""

from collections.abc import Callable, Mapping

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.said.actions import Action, EnterFigure, PreferUnits, SayUnder, SayWidth
from app.assembly.said.units import UNITS_SAID, WHOLE_BUILD
from app.assembly.standing.meant import meant_so
from app.assembly.standing.size_words import said_of
from app.assembly.standing.sizes import doubt_about_figure
from app.assembly.standing.tightening import begun
from app.assembly.standing.units import figure_unit
from app.assembly.standing.verdicts import under_in
from app.assembly.standing.widths import is_open, offered
from app.desk.widgets.ask import AskPanel, Field
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import Work
from app.trade.conditions import UNSAID, Answer
from app.trade.notation import write_limits
from app.trade.quantity import SYSTEMS, Limits
from app.words.say import say
from app.words.understood import figure_understood

_NOTE = "The engine maker's and the part maker's figure goes first. Write it as it is printed, with its unit."


class Asking(Struct, frozen=True):
    """Where something is asked of a line, and what does what was answered."""

    ask: AskPanel
    work: Work
    do: Callable[[Action], bool]


def ask_figure(at: Asking, line: Line) -> None:
    """Ask for the figure of a line and where it is from; then for what it leaves unsaid."""
    asked: set[str] = set()

    def keep(answers: Mapping[str, str]) -> bool:
        kept = _keep_figure(at, line, answers, asked) and _keep_under(at, line, answers.get("under", "").strip())
        return kept and not _ask_width(at, line)

    at.ask.ask(f"{line.number} Figure: {line.step.do}", _figure_fields(at.work, line), keep, note=_NOTE)


def _figure_fields(work: Work, line: Line) -> tuple[Field, ...]:
    figure, bounds = work.build.facts.figures.get(line.id), work.survey.bounds(line)
    source = figure.source if figure is not None else _last_source(work)
    hint = f"for example 0.04 to 0.07 {figure_unit(work.survey, line)}"

    def understand(text: str) -> str:
        return figure_understood(work.survey, line, text, decimal_mark()).words

    fields = (
        Field("text", "Figure", bounds.text if bounds else "", hint=hint, understand=understand),
        Field("source", "Where it is from", source, hint="manual, page, edition"),
    )
    if not line.reads:
        return fields
    under = under_in(work.build, line)
    hint = "hot, cold, at 2000 rpm, at 90 °C"
    return (*fields, Field("under", "How it is read", under.text if under else "", hint=hint, optional=True))


def _keep_figure(at: Asking, line: Line, answers: Mapping[str, str], asked: set[str]) -> bool:
    """Enter the figure if it is another; one of a size no engine has is asked about once."""
    work, text, source = at.work, answers["text"].strip(), answers["source"].strip()
    figure, bounds = work.build.facts.figures.get(line.id), work.survey.bounds(line)
    if figure is not None and bounds is not None and (bounds.text, figure.source) == (text, source):
        return True
    sentence = _to_be_sure(work, line, text)
    if sentence and text not in asked:
        asked.add(text)
        at.ask.refuse(f"{sentence} Enter once more keeps it as it is.")
        return False
    return at.do(EnterFigure(line.id, text, source, work.initials, work.now(), decimal_mark()))


def _to_be_sure(work: Work, line: Line, text: str) -> str:
    """What is asked before a figure is kept: its size, and bolts tightened by the one before; "" for nothing."""
    odd = doubt_about_figure(work.survey, line, text, decimal_mark())
    if odd is not None:
        return f"{say(said_of(odd))}."
    if line.tightening is not None and work.survey.bounds(line) is not None and begun(work.survey, line):
        return "Bolts were tightened by the figure before: loosen them if they must be; they are to be done again."
    return ""


def _keep_under(at: Asking, line: Line, how: str) -> bool:
    said = under_in(at.work.build, line)
    if how == (said.text if said else ""):
        return True
    return at.do(SayUnder(line.id, how, at.work.initials, at.work.now(), decimal_mark()))


def _last_source(work: Work) -> str:
    """Where the figure entered last is from: figures come from one page after the other."""
    last = max(work.build.facts.figures.values(), key=lambda one: one.at, default=None)
    return last.source if last is not None else ""


def ask_units(at: Asking) -> None:
    """Ask which units come first where no figure says any."""
    said = at.work.build.facts.of(UNITS_SAID).get((WHOLE_BUILD, ""))
    choices = (("", "as the plan has them"), *((one, f"{one} first") for one in SYSTEMS))
    field = Field("system", "Units", said.system if said is not None else "", choices)

    def keep(answers: Mapping[str, str]) -> bool:
        return at.do(PreferUnits(answers["system"], at.work.initials, at.work.now()))

    note = (
        "They are shown, and meant by a bare number, where no figure says any; a figure's own unit goes before them. "
        "Builds made after this one in this workshop begin so."
    )
    at.ask.ask("Units shown first", (field,), keep, note=note)


def _ask_width(at: Asking, line: Line) -> bool:
    """Ask how far from a single figure is still right; whether it was asked."""
    work = at.work
    bounds = work.survey.bounds(line)
    if bounds is None or not is_open(work.build, line):
        return False
    offers = [(one.name, one.width) for one in offered(work.build, line)]
    choices = [(name, f"{_span(width.low, width.high, bounds.own)}: {width.source}") for name, width in offers]
    fields = (
        Field("offer", "Still right is", choices[0][0] if choices else "", (*choices, ("", "what I write below"))),
        Field("own", "Or in your words", hint="± 0.5 thou, 4 %, 6 to 8 thou, or a tool by its name", optional=True),
        Field("source", "Where that is from", optional=True),
    )

    def keep(answers: Mapping[str, str]) -> bool:
        text = answers["own"].strip() or answers["offer"]
        action = SayWidth(line.id, text, work.initials, work.now(), answers["source"].strip(), decimal_mark())
        return at.do(action)

    title = f"{line.number}: {bounds.text} is a single figure"
    note = "Nothing meets it exactly, so say how far from it is still right. Esc leaves it open; F asks again."
    at.ask.ask(title, fields, keep, note=note)
    return True


def _span(low: float, high: float, of: Limits) -> str:
    return write_limits(Limits(of.kind, low, high, None, of.unit, ""))


def ask_how_read(at: Asking, line: Line, place: str, turn: int) -> bool:
    """Ask once how a line is read, where its figure asks for it and the value just written does not say.

    Whether it was asked.
    """
    work = at.work
    bounds = work.survey.bounds(line)
    reading = work.build.facts.readings.get(line.id, {}).get((place, turn))
    if bounds is None or bounds.conditions == UNSAID or reading is None or under_in(work.build, line) is not None:
        return False
    if meant_so(line.step, bounds, reading, None).answer is not Answer.UNKNOWN:
        return False

    def keep(answers: Mapping[str, str]) -> bool:
        return at.do(SayUnder(line.id, answers["under"], work.initials, work.now(), decimal_mark()))

    field = Field("under", "How it is read", hint="hot, cold, at 2000 rpm, at 90 °C")
    note = f"The figure is “{bounds.text}”. It holds for all that is read at {line.number} and does not say otherwise."
    at.ask.ask(f"{line.number}: how is it read?", (field,), keep, note=note)
    return True
