"""The verbs for plans: those that come with the program, and looking a plan file over."""

from pathlib import Path

import click

from app import RESOURCES
from app.assembly.plan.advice import advice
from app.cli.options import as_json
from app.cli.saying import print_values, verb
from app.cli.trouble import Trouble
from app.words.telling import Values

PLANS = RESOURCES / "plans"


@click.command()
@as_json
@verb
def plans(as_json: bool) -> None:
    """List the plans that come with the program."""
    from app.exchange.plan_file import PlanError, read_plan

    values = []
    for path in sorted(PLANS.glob("*.toml")):
        try:
            plan = read_plan(path)
        except PlanError as error:
            raise Trouble(str(error).splitlines()) from error
        values.append(
            {"plan": plan.id, "title": plan.title, "edition": plan.edition, "lines": len(list(plan.steps()))}
            | {"summary": plan.summary}
            | {
                "options": {
                    option.id: {"ask": option.ask, "default": option.default}
                    | {"choices": {choice.id: choice.title for choice in option.choices}}
                    for option in plan.options
                }
            }
        )
    print_values(values, as_json, lambda v: f"{v['plan']}  {v['title']}, {v['lines']} lines\n{_option_lines(v)}")


def _option_lines(value: Values) -> str:
    return "\n".join(
        f"    --option {name}={'|'.join(option['choices'])}   {option['ask']} (else {option['default']})"
        for name, option in value["options"].items()
    )


@click.command("check-plan")
@click.argument("file", metavar="FILE")
@as_json
@verb
def check_plan(file: str, as_json: bool) -> None:
    """Look a plan file over: faults, with which no build can be made, and what it had better say otherwise."""
    from app.exchange.plan_file import PlanError, read_plan

    path = plan_path(file)
    try:
        plan = read_plan(path)
    except PlanError as error:
        if as_json:
            print_values([{"what": "fault", "text": fault} for fault in error.faults], True, str)
            raise Trouble([f"{path.name} has {len(error.faults)} faults."]) from error
        raise Trouble(str(error).splitlines()) from error
    print_values([{"what": "advice", "text": text} for text in advice(plan)], as_json, lambda v: v["text"])
    if not as_json:
        steps = list(plan.steps())
        holds = sum(step.hold for step in steps)
        click.echo(f"{path.name}: {len(steps)} lines, {holds} holds, {len(plan.gates)} gates, no faults")


def plan_path(name: str) -> Path:
    """A plan that comes with the program by its name, else the plan file at this path."""
    shipped = PLANS / f"{name}.toml"
    path = shipped if shipped.is_file() else Path(name)
    if not path.is_file():
        known = ", ".join(sorted(plan.stem for plan in PLANS.glob("*.toml")))
        raise Trouble([f"There is no plan “{name}”; there is {known}, or give the path of a plan file."])
    return path
