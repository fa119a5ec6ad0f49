"""From a plan and its options to the numbered lines of a build."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from app.build.build import Line, StageHead
from app.build.places import groups_of
from app.build.plan import Need, Plan, Step
from app.build.plan_check import needed
from app.build.refusal import Refused


@dataclass(frozen=True, slots=True)
class Blank:
    """What a build begins with: everything but its name, its key and what happens to it."""

    plan: Plan
    options: Mapping[str, str]
    stages: tuple[StageHead, ...]
    lines: tuple[Line, ...]


def make_blank(plan: Plan, chosen: Mapping[str, str]) -> Blank:
    """Resolve the options and number the lines; raise `Refused` for an option or choice the plan does not have."""
    options = settle_options(plan, chosen)
    kept = {step.id: step for step in plan.steps() if _wanted(step, options)}
    everything = {step.id: step for step in plan.steps()}
    places = groups_of(plan)
    stages: list[StageHead] = []
    lines: list[Line] = []
    for number, stage in enumerate(plan.stages, 1):
        stages.append(StageHead(number, stage.id, stage.title))
        steps = [_resolved(step, kept, everything) for step in stage.steps if step.id in kept]
        for row, step in enumerate(steps, 1):
            lines.append(Line(f"{number}.{row:02d}", len(lines), number, step, places[step.places]))
    return Blank(plan, options, tuple(stages), tuple(lines))


def settle_options(plan: Plan, chosen: Mapping[str, str]) -> dict[str, str]:
    """Every option of the plan with its answer: the person's, else the default."""
    known = {option.id: option for option in plan.options}
    for name, answer in chosen.items():
        if name not in known:
            raise Refused(f"The plan has no option “{name}”; it has {', '.join(known) or 'none'}.")
        answers = [choice.id for choice in known[name].choices]
        if answer not in answers:
            raise Refused(f"Option “{name}” cannot be “{answer}”; it is one of {', '.join(answers)}.")
    return {name: chosen.get(name, option.default) for name, option in known.items()}


def _wanted(step: Step, options: Mapping[str, str]) -> bool:
    return all(options[when.option] in when.any_of for when in step.when if when.option)


def _resolved(step: Step, kept: Mapping[str, Step], everything: Mapping[str, Step]) -> Step:
    """The step with relations to left-out steps taken away; what a left-out need needed is needed instead."""
    return replace(
        step,
        needs=tuple(_needs(step, kept, everything, {step.id})),
        before=tuple(id_ for id_ in step.before if id_ in kept),
        hides=tuple(id_ for id_ in step.hides if id_ in kept),
        disturbs=tuple(id_ for id_ in step.disturbs if id_ in kept),
        undoing_disturbs=tuple(id_ for id_ in step.undoing_disturbs if id_ in kept),
        when=tuple(when for when in step.when if when.step in kept),
    )


def _needs(step: Step, kept: Mapping[str, Step], everything: Mapping[str, Step], seen: set[str]) -> list[Need]:
    found: list[Need] = []
    for need in needed(step):
        if need.step in kept:
            found.append(need)
        elif need.step not in seen:
            found += _needs(everything[need.step], kept, everything, seen | {need.step})
    unique = {need.step: need for need in reversed(found)}
    return list(reversed(unique.values()))
