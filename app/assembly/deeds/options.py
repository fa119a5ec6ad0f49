"""Answering an option anew, or laying the engine out otherwise."""

from collections.abc import Iterable, Iterator

from app.assembly.build import ARRANGEMENT, Build, laid_out
from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key, once
from app.assembly.deeds.reopen import disturbances, opened
from app.assembly.lines import Line, working_lines
from app.assembly.make import check_option
from app.assembly.plan.places import derived_places, places_of_step
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.options import OPTION, Chosen
from app.assembly.said.phrase import phrase
from app.assembly.said.put_in import EXTRA
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.temporary import ITEM, Item
from app.assembly.standing.survey import Survey

CHANGEABLE = (
    "mains",
    "crankpins",
    "cam_journals",
    "intake_per_cylinder",
    "exhaust_per_cylinder",
    "rings_per_piston",
    "heads",
)


@decided.register
def _option(action: a.ChooseOption, survey: Survey) -> Deed:
    build = survey.build
    if action.option.startswith(ARRANGEMENT):
        return _arrangement(action, survey)
    check_option({option.id: option for option in build.plan_options}, action.option, action.choice)
    if build.options.get(action.option) == action.choice:
        raise Refused(phrase(RefusalKind.CHOSEN_ALREADY, option=action.option, choice=action.choice))
    chosen = Chosen(action.choice, action.by, action.at, action.why.strip())
    entries = [entry(build, EventName.OPTION, Subject(OPTION, action.option), chosen)]
    _, going = option_change(build, action.option, action.choice)
    for line in going:
        if survey.done(line):
            entries += disturbances(build, line, action.by, action.at, State.LOOK_AGAIN)
    entries += _left_inside(survey, going, action)
    return Deed(Verb.OPTION, action.by, action.at, once(entries), action.why.strip())


def _left_inside(survey: Survey, going: Iterable[Line], action: a.ChooseOption) -> Iterator[Entry]:
    """What a line that goes had put in is in still: it stays on the list, to be taken out and counted."""
    inside = {thing.key for thing in survey.inside}
    items = [item for line in going for item in line.step.puts_in if item.id in inside]
    for n, item in enumerate(items):
        thing = Item(item.name, item.count, item.where, item.turning_ok, False, action.by, action.at)
        yield entry(survey.build, EventName.WENT_IN, Subject(ITEM, next_key(survey.build, ITEM, "t", n)), thing)


def _arrangement(action: a.ChooseOption, survey: Survey) -> Deed:
    """The engine itself is laid out otherwise: lines keep what was written, and Done ones with other places open."""
    build, name = survey.build, action.option.removeprefix(ARRANGEMENT)
    if build.arrangement is None or name not in CHANGEABLE:
        raise Refused(phrase(RefusalKind.NOTHING_SUCH_ARRANGED, name=name, known=CHANGEABLE))
    if not action.choice.strip().isdigit() or not 0 <= int(action.choice) <= 16:
        raise Refused(phrase(RefusalKind.NO_COUNT_ARRANGED, name=name, text=action.choice))
    if getattr(build.arrangement, name) == int(action.choice):
        raise Refused(phrase(RefusalKind.ARRANGED_SO_ALREADY, name=name, count=action.choice))
    chosen = Chosen(action.choice.strip(), action.by, action.at, action.why.strip())
    entries = [entry(build, EventName.OPTION, Subject(OPTION, action.option), chosen)]
    for line in arrangement_change(build, name, int(action.choice)):
        if survey.done(line):
            because = phrase(Because.ENGINE_HAS_NOW, count=int(action.choice), what=name.replace("_", " "))
            entries += opened(survey, line, action.by, action.at, because)
    return Deed(Verb.OPTION, action.by, action.at, once(entries), action.why.strip())


def arrangement_change(build: Build, name: str, count: int) -> list[Line]:
    """The lines that would have other places if the engine were laid out so."""
    assert build.arrangement is not None  # only builds that know theirs offer to change it
    places = derived_places(laid_out(build.arrangement, {name: count}))
    return [
        line
        for line in build.lines
        if line.step.places in places and not line.extra and places_of_step(line.step, places) != line.places
    ]


def option_change(build: Build, option: str, choice: str) -> tuple[list[Line], list[Line]]:
    """The lines that would come and those that would go if the option were answered so."""
    extras = {key: fact for (key, _), fact in build.facts.of(EXTRA).items()}
    after = working_lines(build.plan_lines, {**build.options, option: choice}, extras)
    ids = {line.id for line in after}
    coming = [line for line in after if line.id not in build.by_id]
    return coming, [line for line in build.lines if line.id not in ids]
