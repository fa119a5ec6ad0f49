"""What a deed did, told by its verb and its entries: nothing of it is kept beside them."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import TypeVar

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.lines import Line, doing
from app.assembly.said.bolts import BoltTurn
from app.assembly.said.cam import CamSaid
from app.assembly.said.counts import Tightened
from app.assembly.said.deeds import Deed, Entry, Verb
from app.assembly.said.events import Event
from app.assembly.said.figures import CANDIDATE, Candidate, Figure
from app.assembly.said.findings import Finding
from app.assembly.said.joints import JointSaid
from app.assembly.said.kinds import Subject
from app.assembly.said.labels import Did
from app.assembly.said.marks import Mark, State, Tick
from app.assembly.said.meant import SaidUnder, SaidWidth
from app.assembly.said.options import Chosen
from app.assembly.said.parts import PartFit, PartSaid
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.said.put_in import EXTRA, Extra
from app.assembly.said.readings import Reading
from app.assembly.said.reasons import Because
from app.assembly.said.running import Run
from app.assembly.said.temporary import Item
from app.assembly.said.tools import Tool
from app.assembly.said.units import PreferredUnits
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import Round, joint_key, passes

F = TypeVar("F")
_CAM = ("ivo", "ivc", "evo", "evc")
_JOINT = ("thread", "strength", "state", "wrench")


class _Told:
    """A deed with the build it was done to, as the ways to tell it want it."""

    def __init__(self, build: Build, entries: Sequence[Entry], at: datetime) -> None:
        self.build, self.entries, self.at = build, entries, at

    @property
    def subject(self) -> Subject:
        return self.entries[0].subject

    def new(self, kind: type[F]) -> F:
        """What the first entry of this class put in place."""
        return next(one.new for one in self.entries if isinstance(one.new, kind))

    def line(self, step: str = "") -> str:
        """The number of a line; of the first entry's where none is named."""
        return _number(self.build, step or self.subject.key)

    def place(self, key: str) -> str:
        line = _line(self.build, self.subject.key)
        return next((one.title for one in line.places if one.id == key), key) if line else key


def did(build: Build, deed: Deed) -> Phrase:
    """What the deed did to the build; an undo or redo is told as the deed it takes back or puts back."""
    if deed.verb is Verb.MADE:
        return phrase(Did.MADE, build=build.name)
    verb, entries = deed.again or deed.verb, deed.entries
    if deed.verb is Verb.UNDO:
        entries = tuple(Entry(one.event, one.subject, one.new, one.old) for one in reversed(entries))
    return _TOLD[verb](_Told(build, entries, deed.at))


def _line(build: Build, step: str) -> Line | None:
    if step in build.by_id:
        return build.by_id[step]
    return next((one for one in build.plan_lines if one.id == step), None)


def _number(build: Build, step: str) -> str:
    line = _line(build, step)
    if line is not None:
        return line.number
    extra = build.facts.get(Subject(EXTRA, step))
    return extra.number if isinstance(extra, Extra) else step


def _marked(told: _Told) -> Phrase:
    new = told.entries[0].new
    state = new.state if isinstance(new, Mark) else State.TO_DO
    return phrase(Did.MARKED, line=told.line(), state=phrase(state))


def _ticked(told: _Told) -> Phrase:
    new = told.entries[0].new
    state = new.state if isinstance(new, Tick) else State.TO_DO
    return phrase(Did.TICKED, line=told.line(), place=told.place(told.subject.place), state=phrase(state))


def _read(told: _Told) -> Phrase:
    value = told.new(Reading).text
    return phrase(Did.READ, line=told.line(), place=told.place(told.subject.place), value=value)


def _rubbed_out(told: _Told) -> Phrase:
    return phrase(Did.RUBBED_OUT, line=told.line(), place=told.place(told.subject.place))


def _tightened(told: _Told) -> Phrase:
    number, _, place = told.subject.place.partition("/")
    turn, line = told.new(BoltTurn), told.build.by_id.get(told.subject.key)
    rounds = passes(Survey(told.build, told.at), line) if line is not None else ()
    the_pass = next((one for one in rounds if one.number == int(number)), None)
    return phrase(
        Did.TIGHTENED,
        line=told.line(),
        place=told.place(place),
        value=turn.torque or turn.angle or (the_pass.text if the_pass else ""),
        number=int(number),
        of=len(rounds),
        turn=(the_pass.round if the_pass else Round.TORQUE).value,
    )


def _joint_said(told: _Told) -> Phrase:
    said = told.new(JointSaid)
    words = tuple(said.said(name) for name in _JOINT)
    return phrase(Did.JOINT_SAID, line=_joint_line(told), words=words, adapter=said.said("adapter"))


def _joint_line(told: _Told) -> str:
    """The first line that tightens the joint an entry is about."""
    tightening = (one for one in told.build.lines if one.tightening is not None)
    lines = (one.number for one in tightening if joint_key(one) == told.subject.key)
    return next(lines, told.subject.key)


def _slackened(told: _Told) -> Phrase:
    return phrase(Did.SLACKENED, line=told.line())


def _cam_said(told: _Told) -> Phrase:
    typed = told.new(CamSaid).typed
    return phrase(Did.CAM_SAID, angles=tuple(typed[name] for name in _CAM))


def _counted(told: _Told) -> Phrase:
    fasteners = told.build.fasteners.get(told.subject.key)
    title = fasteners.title if fasteners is not None else told.subject.key
    return phrase(Did.COUNTED, fasteners=title, times=told.new(Tightened).times)


def _figure(told: _Told) -> Phrase:
    return phrase(Did.FIGURE_ENTERED, line=told.line(), figure=told.new(Figure).text)


def _source(told: _Told) -> Phrase:
    """A figure offered, or one of those offered chosen: the one that reads so and is from there."""
    first = told.entries[0].new
    if isinstance(first, Candidate):
        key, source = told.subject.place, first.source
        return phrase(Did.FIGURE_OFFERED, line=told.line(), candidate=key, figure=first.text, source=source)
    figure = told.new(Figure)
    offered = (
        key
        for (step, key), one in told.build.facts.of(CANDIDATE).items()
        if (step, one.text) == (told.subject.key, figure.text) and figure.source.startswith(one.source)
    )
    return phrase(Did.FIGURE_CHOSEN, line=told.line(), candidate=next(offered, ""), figure=figure.text)


def _found(told: _Told) -> Phrase:
    finding = told.new(Finding)
    return phrase(Did.FOUND, line=told.line(finding.line), what=finding.what, finding=told.subject.key)


def _decided(told: _Told) -> Phrase:
    finding = told.new(Finding)
    return phrase(Did.DECIDED, finding=told.subject.key, decision=phrase(finding.decision), what=finding.what)


def _conceded(told: _Told) -> Phrase:
    return phrase(Did.CONCEDED, line=told.line())


def _passed(told: _Told) -> Phrase:
    return phrase(Did.GATE_PASSED, gate=told.build.gate(told.entries[-1].subject.key).title)


def _hole(told: _Told) -> Phrase:
    group, key = told.build.groups[told.subject.key], told.subject.place
    places = told.build.places_of(group.id)
    return phrase(Did.HOLE_SAID, group=group.title, place=next((one.title for one in places if one.id == key), key))


def _happened(told: _Told) -> Phrase:
    what = told.new(Event).what
    happening = told.build.happenings.get(what)
    return phrase(Did.HAPPENED, title=happening.title if happening is not None else what)


def _opened(told: _Told) -> Phrase:
    """Something opened that a new line closes again, or a line opened by its number."""
    first = told.entries[0].new
    if isinstance(first, Extra):
        return phrase(Did.PUT_IN, line=first.number, do=doing(first))
    because = told.new(Mark).because
    what = because.args.get("what", "") if because is not None and because.kind is Because.OPENED else ""
    return phrase(Did.OPENED, line=told.line(), what=what)


def _chosen(told: _Told) -> Phrase:
    option, choice = told.subject.key, told.new(Chosen).choice
    if option.startswith(ARRANGEMENT):
        return phrase(Did.ARRANGED, what=option.removeprefix(ARRANGEMENT).replace("_", " "), count=choice)
    return phrase(Did.CHOSEN, option=option, choice=choice)


def _part_name(told: _Told) -> str:
    parts = (part for line in told.build.plan_lines for part in line.step.parts)
    return next((part.name for part in parts if part.id == told.subject.key), told.subject.key)


def _part_said(told: _Told) -> Phrase:
    return phrase(Did.PART_SAID, part=_part_name(told), holding=phrase(told.new(PartSaid).holding))


def _fitted(told: _Told) -> Phrase:
    return phrase(Did.FITTED, part=_part_name(told), fit=phrase(told.new(PartFit).fit))


def _put_in(told: _Told) -> Phrase:
    extra = told.new(Extra)
    return phrase(Did.PUT_IN, line=extra.number, do=doing(extra))


def _ran(told: _Told) -> Phrase:
    run = told.new(Run)
    return phrase(Did.RAN, hours=run.hours, distance_km=run.distance_km, heat_cycles=run.heat_cycles)


def _second_look(told: _Told) -> Phrase:
    return phrase(Did.SEEN_AGAIN, line=told.line())


def _temporary(told: _Told) -> Phrase:
    item = told.new(Item)
    kind = Did.THING_OUT if item.out_at is not None else Did.THING_LOST if item.lost else Did.THING_IN
    where = {} if kind is Did.THING_OUT else {"where": item.where}
    return phrase(kind, key=told.subject.key, count=item.count, name=item.name, **where)


def _tool(told: _Told) -> Phrase:
    tool, old = told.new(Tool), told.entries[0].old
    before = old.wrong_at if isinstance(old, Tool) else None
    if tool.wrong_at is not None and tool.wrong_at != before:
        return phrase(Did.TOOL_WRONG, key=told.subject.key)
    return phrase(Did.TOOL_KEPT, key=told.subject.key, name=tool.name)


_TOLD: Mapping[Verb, Callable[[_Told], Phrase]] = {
    Verb.CAM: _cam_said,
    Verb.CONCEDE: _conceded,
    Verb.COUNT: _counted,
    Verb.DECIDE: _decided,
    Verb.FIGURE: _figure,
    Verb.FIND: _found,
    Verb.FIT: _fitted,
    Verb.HAPPEN: _happened,
    Verb.HOLE: _hole,
    Verb.JOINT: _joint_said,
    Verb.LEAVE: lambda _: phrase(Did.LEFT),
    Verb.MARK: _marked,
    Verb.OPEN: _opened,
    Verb.OPTION: _chosen,
    Verb.PART: _part_said,
    Verb.PASS: _passed,
    Verb.PUT_IN: _put_in,
    Verb.READ: _read,
    Verb.RESUME: lambda _: phrase(Did.CAME_BACK),
    Verb.RUB_OUT: _rubbed_out,
    Verb.RUN: _ran,
    Verb.SECOND_LOOK: _second_look,
    Verb.SLACKEN: _slackened,
    Verb.SOURCE: _source,
    Verb.TEMPORARY: _temporary,
    Verb.TICK: _ticked,
    Verb.TIGHTEN: _tightened,
    Verb.TOOL: _tool,
    Verb.UNDER: lambda told: phrase(Did.READ_UNDER, line=told.line(), under=told.new(SaidUnder).text),
    Verb.UNITS: lambda told: phrase(Did.UNITS_FIRST, system=told.new(PreferredUnits).system),
    Verb.WIDTH: lambda told: phrase(Did.WIDTH_SAID, line=told.line(), source=told.new(SaidWidth).source),
}
