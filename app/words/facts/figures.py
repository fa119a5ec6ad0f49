"""Figures entered, and those offered beside them."""

from collections.abc import Sequence

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.deeds import EventName
from app.assembly.said.figures import CANDIDATE, FIGURE, Candidate
from app.assembly.said.kinds import Subject
from app.assembly.standing.survey import Survey
from app.words.lines import line_number
from app.words.row import Row, Words, group
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Told, Values
from app.words.times import clock, time_text


def offered(build: Build, entries: Sequence[Told]) -> Table:
    """The figures beside each other for a line, the one in force, and why it was chosen."""
    rows = []
    for (step, key), one in build.facts.of(CANDIDATE).items():
        line = build.by_id.get(step)
        number = line.number if line else step
        source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
        figure = build.facts.figures.get(step)
        chosen = figure is not None and (figure.text, figure.source) == (one.text, source)
        converted = f"converted by {one.converted_by}" if one.converted_by else ""
        trust = ", ".join(word for word in (one.trust, source, converted) if word)
        words = f"chosen: {_reason(entries, number)}" if chosen else ""
        rows.append((f"{number} {key}", one.text, trust, f"{one.by} {clock(one.at)}", words))
    columns = (
        Column("Line", 20, 700),
        Column("Figure as printed", 38, 700),
        Column("Source", 56),
        Column("Written by", 24),
        Column("", 42),
    )
    return Table("Figures offered, and the one chosen", columns, tuple(rows), "")


def _reason(entries: Sequence[Told], number: str) -> str:
    """Why the figure in force on a line was taken, as it was last said."""
    return next((one.why for one in reversed(entries) if one.event is EventName.FIGURE and one.line == number), "")


def candidate_values(build: Build, line: Line | None = None) -> list[Values]:
    """The figures offered for a line, or for all lines, and which one is in force."""
    return [
        {
            "line": line_number(build, step),
            "step": step,
            "figure": key,
            "text": one.text,
            "trust": one.trust,
            "source": one.source,
            "edition": one.edition or None,
            "dated": one.dated or None,
            "converted_by": one.converted_by or None,
            "by": one.by,
            "at": time_text(one.at),
            "chosen": _in_force(build, step, one),
        }
        for (step, key), one in build.facts.of(CANDIDATE).items()
        if line is None or step == line.id
    ]


def _in_force(build: Build, step: str, one: Candidate) -> bool:
    """Choosing a figure makes it the line's own, with its source, edition and date written in one."""
    figure = build.facts.figures.get(step)
    source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
    return figure is not None and (figure.text, figure.source) == (one.text, source)


def _candidate(_build: Build, _subject: Subject, one: Candidate) -> str:
    return f"{one.text} ({', '.join(word for word in (one.source, one.edition) if word)})"


def figure_rows(survey: Survey, line: Line) -> list[Row]:
    """The figures offered for a line, side by side, and the one in force."""
    bounds = survey.bounds(line)
    force = [Row("", bounds.text, second=(Words(bounds.source or "no source given"),))] if bounds else []
    shelf = {k: one for (step, k), one in survey.build.facts.of(CANDIDATE).items() if step == line.id}
    offered = [
        Row(
            key=key,
            title=one.text,
            number=key,
            second=(Words(", ".join(word for word in (one.source, one.edition, one.dated) if word)),),
            middle=one.trust,
            right=f"converted by {one.converted_by}" if one.converted_by else "",
        )
        for key, one in shelf.items()
    ]
    return group("In force", force) + group("Offered", offered)


TELLING = Telling(FIGURE, words=lambda _build, _subject, one: f"{one.text} ({one.source})")
TELLING_OFFERED = Telling(
    CANDIDATE,
    words=_candidate,
    values=candidate_values,
    rows=figure_rows,
    record=(Section(Part.FIGURES, 1, lambda survey, entries: (offered(survey.build, entries),)),),
)
