"""Passes of single bolts."""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.bolts import BOLT, BoltTurn
from app.assembly.said.kinds import Subject
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import BoltPass, bolts, turns_of
from app.words.say import say
from app.words.table import WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values, told_of_line
from app.words.times import time_text


def bolt_turns(survey: Survey) -> Iterator[Table]:
    """Every pass of every bolt that was kept with a value, line by line."""
    columns = (
        Column("Bolt", 44, 700),
        Column("Pass", 14),
        Column("Torque", 30, 700),
        Column("Angle", 20),
        Column("Stretch", 22),
        Column("Wrench, set to", 38),
        WHO,
    )
    for line in survey.build.lines:
        if line.tightening is None:
            continue
        titles = {place.id: place.title for place in line.places}
        rows = tuple(
            (titles.get(place, place), str(number), one.torque, one.angle, one.stretch, _set_to(one), one.by)
            for (number, place), one in sorted(turns_of(survey.build, line).items())
            if one.torque or one.angle or one.stretch
        )
        if rows:
            yield Table(f"Bolts of {line.number} {line.step.do}", columns, rows, "")


def _set_to(one: BoltTurn) -> str:
    return ", ".join(word for word in (one.wrench, one.setting) if word)


def bolt_values(survey: Survey, line: Line) -> list[Values]:
    """The bolts of a line in the order they are tightened, with every pass and what was kept of it."""
    return [
        {"bolt": one.place.id, "order": one.order, "tightened": one.tightened}
        | {"passes": [_pass(survey, each) for each in one.passes]}
        for one in bolts(survey, line)
    ]


def _pass(survey: Survey, one: BoltPass) -> Values:
    turn = one.turn
    return {
        "line": survey.build.by_id[one.line].number,
        "pass": one.number,
        "done": one.done,
        "torque": (turn.torque or None) if turn else None,
        "torque_nm": turn.torque_nm if turn else None,
        "angle_deg": turn.angle_deg if turn else None,
        "stretch_mm": turn.stretch_mm if turn else None,
        "wrench": (turn.wrench or None) if turn else None,
        "setting": (turn.setting or None) if turn else None,
        "threads": (turn.threads or None) if turn else None,
        "verdict": say(turn.because) if turn and turn.because else None,
        "by": turn.by if turn else None,
        "at": time_text(turn.at) if turn else None,
    }


def _words(_build: Build, _subject: Subject, one: BoltTurn) -> str:
    verdict = say(one.because) if one.because is not None else ""
    said = ", ".join(word for word in (one.torque, one.angle, one.stretch, verdict) if word)
    return said or ("done" if one.done else "tried")


def _bolt(build: Build, subject: Subject) -> str:
    number, _, where = subject.place.partition("/")
    return told_of_line(build, subject, lambda line: f"{line.step.do}, {where}, pass {number}")


TELLING = Telling(
    BOLT,
    words=_words,
    named=_bolt,
    values=bolt_values,
    record=(Section(Part.WORKED, 5, lambda survey, _: bolt_turns(survey)),),
)
