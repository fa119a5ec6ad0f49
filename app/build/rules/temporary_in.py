"""A rag, cap, tape or tool that went in and has not come out."""

from collections.abc import Iterator

from app.build.build import Line
from app.build.facts import State
from app.build.rules.rule import LooseEnd, Rule
from app.build.survey import Survey

ID = "temporary-in"
_WENT_IN = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each temporary item that is in, on the line that takes it out."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state not in _WENT_IN:
            continue
        for item in line.step.puts_in:
            out = _way_out(survey, item.id)
            if out is not None and not survey.done(out):
                yield LooseEnd(
                    rule=ID,
                    line=out,
                    gate=survey.gate_ahead(out),
                    why=f"Still in: {item.count} × {item.name}, {item.where}, since {line.number}",
                    harm=out.step.harm or "left in, it blocks oil, or a moving part meets it",
                    clears=f"Take it out, count {item.count}, mark {out.number} Done",
                    since=mark.at,
                )


def _way_out(survey: Survey, item: str) -> Line | None:
    return next((line for line in survey.build.lines if item in line.step.takes_out), None)


RULE = Rule(ID, "Temporary thing still in", "What was stuffed in to keep dirt out must come out.", find)
