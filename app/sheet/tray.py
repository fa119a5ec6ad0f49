"""The tray of a line: all that belongs to it but does not fit on the sheet, in sections of plain words."""

from collections.abc import Iterator, Sequence

from app.assembly.lines import Line
from app.assembly.plan.order import Link
from app.assembly.plan.steps import Level, Part
from app.assembly.said.parts import Holding
from app.assembly.standing.entry_places import Form, entry_places, without_first
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.sheet.draw.tokens import Token
from app.sheet.meant import meant_items
from app.sheet.rows import Run, written
from app.sheet.sections import FIGURE_PX, LONG_PX, Item, Section, plain
from app.trade.notation import second
from app.words.say import say

# A figure with more signs than this, such as one for each kind of place, is set smaller.
LONG_FIGURE = 26
# A value with more signs than this is written out whole in the tray.
SHOWN_ON_THE_SHEET = 12


def tray(survey: Survey, ends: Sequence[LooseEnd], line: Line) -> tuple[Section, ...]:
    """The tray of one line, the most urgent section first."""
    return tuple(section for section in _sections(survey, ends, line) if section.items or section.drawing)


def _sections(survey: Survey, ends: Sequence[LooseEnd], line: Line) -> Iterator[Section]:
    step = line.step
    if step.caution is not None:
        ink: Token = "stop" if step.caution.level is Level.WARNING else "mind"
        word = Run(f"{step.caution.level.value.capitalize()}. ", ink, bold=True)
        yield Section("Before you begin", (Item((word, Run(step.caution.text, "text"))),))
    yield from _figure(survey, line)
    if line.tightening is not None and survey.bounds(line) is not None:
        from app.sheet.setting import setting_sections  # wanted only where bolts are tightened
        from app.sheet.tighten import tighten_view

        yield from setting_sections(tighten_view(survey, line))
    yield Section("Written", tuple(_written(survey, line)))
    yield Section("Loose ends of this line", tuple(_loose(survey, end) for end in ends if end.line is line))
    if survey.open(line):
        yield Section("Waits for", tuple(_waiting(survey, line)))
    yield Section("Needed", tuple(_part(survey, part) for part in step.parts))
    yield Section("Tools", tuple(plain(tool) for tool in step.tools))
    yield Section("Used up", tuple(plain(thing) for thing in step.uses))
    yield Section("Goes in, must come out", tuple(plain(f"{i.count} × {i.name}, {i.where}") for i in step.puts_in))
    yield Section("Comes out", tuple(plain(name) for name in _out(survey, line)))
    yield Section("Going on in writing", tuple(_concessions(survey, line)))
    yield Section("Why", (plain(step.why),) if step.why else ())
    yield Section("If it is skipped", (plain(step.harm),) if step.harm else ())
    yield Section("Undoing it opens", tuple(_disturbs(survey, line)))
    yield Section("About", (plain(_about(line)),))


def _figure(survey: Survey, line: Line) -> Iterator[Section]:
    bounds = survey.bounds(line)
    if bounds is None:
        if survey.figure_missing(line):
            words = Run("The maker's figure is not entered yet. Write it with its source.", "stop")
            yield Section("Figure", (Item((words,)),))
        return
    yield Section("Figure", (plain(bounds.text),), px=FIGURE_PX if len(bounds.text) <= LONG_FIGURE else LONG_PX)
    limits = bounds.own
    yield Section("How it is meant", meant_items(survey, line, bounds))
    other = second(limits) if not bounds.parts else ""
    if other:
        yield Section("The same in the other system", (plain(other),))
    state = line.step.spec.state if line.step.spec else ""
    source = bounds.source or "no source given"
    runs = (Run(source, "text" if bounds.source else "stop"), Run(f", thread {state}" if state else ""))
    yield Section("Where the figure is from", (Item(runs),))


def _written(survey: Survey, line: Line) -> Iterator[Item]:
    """What is written in words, or at such length that a row of the sheet may show only its beginning."""
    for one in entry_places(survey, line):
        text = written(one)
        if text and (one.form is Form.TEXT or len(text) > SHOWN_ON_THE_SHEET):
            where = (Run(f"{one.title}: ", "quiet"),) if len(line.cells) > 1 else ()
            was = (Run("was ", "quiet"),) if one.old else ()
            yield Item((*where, *was, Run(text, "text")))


def _loose(survey: Survey, end: LooseEnd) -> Item:
    return Item((Run(f"{say(without_first(survey, end.line, end.why))}. ", "stop"), Run(say(end.clears), "text")))


def _waiting(survey: Survey, line: Line) -> Iterator[Item]:
    for waiting in survey.waits(line):
        yield Item((Run(say(waiting.whole), "text"),), line=waiting.line)


def _part(survey: Survey, part: Part) -> Item:
    said = survey.build.facts.parts.get(part.id)
    holding = {None: "", Holding.HERE: "in", Holding.ON_ORDER: "on order", Holding.MISSING: "missing"}
    count = f"{part.count} × " if part.count > 1 else ""
    runs = [Run(f"{count}{part.name}", "text")]
    if part.one_use:
        runs.append(Run(", one-use"))
    if part.fit is not None:
        runs.append(Run(f", {part.fit.value} fit"))
    return Item(tuple(runs), holding[said.holding if said else None], part.id)


def _out(survey: Survey, line: Line) -> Iterator[str]:
    items = {item.id: item for other in survey.build.lines for item in other.step.puts_in}
    for key in line.step.takes_out:
        if key in items:
            item = items[key]
            yield f"{item.count} × {item.name}, {item.where}"


def _concessions(survey: Survey, line: Line) -> Iterator[Item]:
    for gate, one in survey.build.facts.concessions.get(line.id, {}).items():
        at = f" at “{survey.build.gate(gate).title}”" if gate else ""
        yield plain(f"{one.text} ({one.by}, {one.at.astimezone():%a %d %b %H:%M}{at})")


def _disturbs(survey: Survey, line: Line) -> Iterator[Item]:
    for row in survey.build.order.out_of(line.id, Link.DISTURBS, Link.UNDOING_DISTURBS):
        other = survey.build.by_id[row.end]
        yield Item((Run(f"{other.number} {other.step.do}", "text"),), line=other.number)


def _about(line: Line) -> str:
    step = line.step
    words = [f"{step.minutes} min", f"at the {step.where.value}" if step.where.value != "machine shop" else "outwork"]
    words += [f"{step.people} people"] if step.people > 1 else []
    words += ["noisy"] if step.noisy else []
    words += ["ventilate"] if step.air else []
    words += ["photo wanted"] if step.photo else []
    words += ["second look wanted"] if step.second_look else []
    words += [f"after {step.follow_up.after}"] if step.follow_up else []
    return ", ".join(words)
