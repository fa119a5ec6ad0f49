"""Running since the first start."""

from app.assembly.build import Build
from app.assembly.plan.steps import Role
from app.assembly.rules import follow_up_due
from app.assembly.rules.follow_up_due import due
from app.assembly.said.kinds import Subject
from app.assembly.said.running import RUN, Run
from app.assembly.standing.conditions import totals
from app.assembly.standing.survey import Survey
from app.words.lines import line_values
from app.words.row import Row
from app.words.say import told as in_words
from app.words.table import WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def running(build: Build) -> Table:
    """Every spell of running since the first start, and their sum."""
    runs = build.facts.of(RUN).values()
    rows = [(clock(one.at), one.by, *_amounts(one.hours, one.distance_km, one.heat_cycles), one.note) for one in runs]
    if rows:
        total = totals(build)
        rows.append(("In all", "", *_amounts(total.hours, total.distance_km, total.heat_cycles), ""))
    columns = (
        Column("When", 34, 700),
        WHO,
        Column("Hours", 18),
        Column("Distance", 22),
        Column("Heat cycles", 22),
        Column("Note", 72),
    )
    return Table("Running", columns, tuple(rows), "")


def _amounts(hours: float, distance_km: float, heat_cycles: int) -> tuple[str, str, str]:
    return f"{hours:g} h", f"{distance_km:g} km", str(heat_cycles)


def run_values(survey: Survey) -> list[Values]:
    """One object: every spell of running, their sums, and the follow-ups that are due."""
    sums = totals(survey.build)
    return [
        {
            "hours": sums.hours,
            "distance_km": sums.distance_km,
            "heat_cycles": sums.heat_cycles,
            "runs": [
                {"run": key, "hours": one.hours, "distance_km": one.distance_km, "heat_cycles": one.heat_cycles}
                | {"note": one.note or None, "by": one.by, "at": time_text(one.at)}
                for (key, _), one in survey.build.facts.of(RUN).items()
            ],
            "due": [line_values(end.line) | {"why": in_words(end.why)} for end in follow_up_due.find(survey)],
        }
    ]


def _words(_build: Build, _subject: Subject, one: Run) -> str:
    return f"{one.hours:g} h, {one.distance_km:g} km, {one.heat_cycles} heat cycles"


def run_rows(survey: Survey) -> list[Row]:
    """What has run since the first start, and what is due by it."""
    run = totals(survey.build)
    head = f"{run.hours:g} h, {run.distance_km:g} km, {run.heat_cycles} heat cycles"
    rows = [Row("", f"Run so far: {head}", heading=True)]
    rows += [
        Row("", f"{one.hours:g} h, {one.distance_km:g} km, {one.heat_cycles} heat cycles", number=f"{one.at:%d %b}")
        for one in survey.build.facts.of(RUN).values()
    ]
    marks = survey.build.facts.lines
    starts = [marks[line.id].at for line in survey.build.with_role(Role.FIRST_START) if survey.done(line)]
    following = [line for line in survey.build.lines if line.step.follow_up]
    if following:
        rows.append(Row("", "To be done after so much", heading=True))
    for line in following:
        after = line.step.follow_up.after if line.step.follow_up else ""
        state = "due now" if starts and survey.open(line) and due(survey, after, min(starts)) else ""
        rows.append(Row(line.id, line.step.do, number=line.number, middle=f"after {after}", right=state))
    return rows


TELLING = Telling(
    RUN,
    words=_words,
    values=run_values,
    rows=run_rows,
    record=(Section(Part.KEPT, 3, lambda survey, _: (running(survey.build),)),),
)
