"""From a plan and its options to the numbered lines of a build."""

from collections.abc import Mapping
from datetime import datetime
from functools import cached_property
from string import ascii_lowercase

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line, StageHead, working_lines
from app.assembly.plan.places import groups_of, places_of_step
from app.assembly.plan.steps import Option, Plan, wanted
from app.assembly.said.facts import Facts
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind


class Blank(Struct, frozen=True, dict=True):
    """What a build begins with: everything but its name, its key and what happens to it.

    `plan_lines` are all the plan's lines, those that the options leave out too; `lines` are those that are there.
    """

    plan: Plan
    options: Mapping[str, str]
    stages: tuple[StageHead, ...]
    plan_lines: tuple[Line, ...]

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The lines under the options chosen."""
        return working_lines(self.plan_lines, self.options, {})


def make_blank(plan: Plan, chosen: Mapping[str, str]) -> Blank:
    """Settle the options and number the lines; raise `Refused` for an option or choice the plan does not have.

    Lines that are there count through; one that the options leave out gets the number before it and a letter, so that
    it can come in later without any number changing.
    """
    options = settle_options(plan.options, chosen)
    places = groups_of(plan)
    stages: list[StageHead] = []
    lines: list[Line] = []
    for number, stage in enumerate(plan.stages, 1):
        stages.append(StageHead(number, stage.id, stage.title))
        row, letter = 0, 0
        for step in stage.steps:
            if wanted(step, options):
                row, letter = row + 1, 0
                said = f"{number}.{row:02d}"
            else:
                said = f"{number}.{row:02d}{letters(letter)}"
                letter += 1
            lines.append(Line(said, len(lines), number, step, places_of_step(step, places)))
    return Blank(plan, options, tuple(stages), tuple(lines))


def begin_build(blank: Blank, *, key: int, name: str, made: datetime, facts: Facts | None = None) -> Build:
    """A build in memory, not kept anywhere: to try a plan, or to look at one before it is made."""
    plan = blank.plan
    return Build(
        key=key,
        name=name,
        made=made,
        plan_id=plan.id,
        plan_title=plan.title,
        plan_edition=plan.edition,
        made_with=blank.options,
        stages=blank.stages,
        plan_lines=blank.plan_lines,
        gates=plan.gates,
        sources={source.id: source for source in plan.sources},
        facts=facts or Facts(),
        plan_options=plan.options,
        made_as=plan.arrangement,
        groups={group.id: group for group in plan.groups},
        group_places=groups_of(plan),
        fasteners={one.id: one for one in plan.fasteners},
        happenings={one.id: one for one in plan.happenings},
    )


def letters(number: int) -> str:
    """a to z, then za, zb and so on: they sort as they count."""
    return "z" * (number // 25) + ascii_lowercase[number % 25]


def settle_options(known: tuple[Option, ...], chosen: Mapping[str, str]) -> dict[str, str]:
    """Every option with its answer: the person's, else the default."""
    by_id = {option.id: option for option in known}
    for name, answer in chosen.items():
        check_option(by_id, name, answer)
    return {name: chosen.get(name, option.default) for name, option in by_id.items()}


def check_option(known: Mapping[str, Option], name: str, answer: str) -> None:
    """Raise `Refused` for an option or an answer that is not there."""
    if name not in known:
        raise Refused(phrase(RefusalKind.NO_OPTION, option=name, known=tuple(known)))
    answers = [choice.id for choice in known[name].choices]
    if answer not in answers:
        raise Refused(phrase(RefusalKind.NO_ANSWER_OF_OPTION, option=name, answer=answer, known=tuple(answers)))
