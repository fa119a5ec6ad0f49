"""Findings and what was decided about them."""

from app.assembly.build import Build
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.kinds import Subject
from app.assembly.standing.conditions import met
from app.assembly.standing.survey import Survey
from app.words.lines import line_number
from app.words.row import Row, Words, group
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def findings(survey: Survey) -> Table:
    """What was found and measured, what was decided by whom and why, and what brings it back."""
    rows = [
        (key, _at(survey.build, one), *_found(one), _decided(one), _watched(survey, one))
        for (key, _), one in survey.build.facts.of(FINDING).items()
    ]
    columns = (
        Column("", 9, 700),
        Column("Where", 25),
        Column("Found", 44, 700),
        Column("By", 22),
        Column("Decided", 44),
        Column("Watch, reopened by", 36),
    )
    return Table("Findings and decisions", columns, tuple(rows), "")


def _at(build: Build, one: Finding) -> str:
    line = build.by_id.get(one.line)
    if line is None:
        return one.line
    place = next((place.title for place in line.places if place.id == one.place), one.place)
    return f"{line.number}, {place}" if place else line.number


def _found(one: Finding) -> tuple[str, str]:
    kind = "Symptom: " if one.symptom else ""
    measured = f", measured {one.measured}" if one.measured else ""
    return f"{kind}{one.what}{measured}", f"{one.by} {clock(one.at)}"


def _decided(one: Finding) -> str:
    if one.decision is Disposition.OPEN or one.decided_at is None:
        return "not decided"
    return f"{one.decision.value.capitalize()}: {one.why} ({one.decided_by}, {clock(one.decided_at)})"


def _watched(survey: Survey, one: Finding) -> str:
    """What to keep an eye on, what would bring the decision back, and whether that has come."""
    words = [f"Watch: {one.watch}."] if one.watch else []
    if one.reopens:
        words.append(f"Decide again {', or '.join(_condition(survey.build, text) for text in one.reopens)}.")
    come = met(survey, one)
    return " ".join([f"To be decided again now: {_condition(survey.build, come)}."] * bool(come) + words)


def _condition(build: Build, text: str) -> str:
    """A condition that is watched, as one says it: “after 500 miles”."""
    kind, _, value = text.partition(":")
    match kind:
        case "event":
            return f"if it happens: {build.happenings[value].title}"
        case "line":
            line = build.by_id.get(value)
            return f"if {line.number if line else value} is opened or out"
        case "option":
            return f"if “{value}” is answered otherwise"
        case "cycles":
            return f"after {value} heat cycles"
        case "date":
            return f"on {value}"
        case _:
            return f"after {value}"


def finding_values(build: Build) -> list[Values]:
    """The findings with their decisions, oldest first."""
    return [
        {
            "finding": key,
            "line": line_number(build, one.line),
            "step": one.line,
            "place": one.place or None,
            "what": one.what,
            "measured": one.measured or None,
            "symptom": one.symptom,
            "by": one.by,
            "at": time_text(one.at),
            "decision": one.decision.value.replace(" ", "-") or None,
            "decided_by": one.decided_by or None,
            "decided_at": time_text(one.decided_at),
            "why": one.why or None,
            "watch": one.watch or None,
            "reopens": list(one.reopens),
        }
        for (key, _), one in build.facts.of(FINDING).items()
    ]


def _words(_build: Build, _subject: Subject, one: Finding) -> str:
    return f"{one.what}. {one.decision.value}: {one.why}" if one.decision.value else one.what


def finding_rows(survey: Survey) -> list[Row]:
    """Findings not decided first, then the decisions, those to be taken again in front."""
    found = {key: one for (key, _), one in survey.build.facts.of(FINDING).items()}
    opened = {key: one for key, one in found.items() if one.decision is Disposition.OPEN}
    rows = group("Not decided", [_finding_row(survey, key, one) for key, one in opened.items()])
    decided = [_finding_row(survey, key, one) for key, one in found.items() if key not in opened]
    return rows + group("Decided", decided)


def _finding_row(survey: Survey, key: str, one: Finding) -> Row:
    line = survey.build.by_id.get(one.line)
    kind = "Symptom. " if one.symptom else ""
    measured = f"Measured {one.measured}. " if one.measured else ""
    runs = [Words(kind, "stop", bold=True), Words(measured)]
    condition = met(survey, one)
    if condition:
        runs.append(Words(f"To be decided again: {condition}. ", "stop", bold=True))
    if one.decision is not Disposition.OPEN:
        runs.append(Words(f"{one.decision.value.capitalize()}, {one.decided_by}: {one.why}. "))
    if one.watch:
        runs.append(Words(f"Watch: {one.watch}. "))
    if one.reopens:
        runs.append(Words(f"Reopens at {', '.join(one.reopens)}."))
    where = f"at {line.number}" if line else one.line
    place = f", {one.place}" if one.place else ""
    return Row(
        key=key,
        title=one.what,
        number=key,
        second=tuple(run for run in runs if run.text),
        middle=f"{where}{place}",
        right=f"{one.by}, {one.at.astimezone():%d %b %Y}",
    )


TELLING = Telling(
    FINDING,
    words=_words,
    values=finding_values,
    rows=finding_rows,
    record=(Section(Part.FOUND, 1, lambda survey, _: (findings(survey),)),),
)
