"""A hole whose thread is not that of the bolts that go into it, or that is shallower than they reach in."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.joints import JointSaid
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines, joint_key
from app.trade.notation import NotationError, read_quantity, write_magnitude
from app.trade.quantity import Kind

ID = "hole-differs"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each described joint with a hole that disagrees with it."""
    holes: dict[str, dict[str, Hole]] = {}
    for (group, place), hole in survey.build.facts.of(HOLE).items():
        holes.setdefault(group, {})[place] = hole
    if not holes:
        return
    told = set()
    for line, said in described_lines(survey):
        key = joint_key(line)
        if key in told:
            continue
        told.add(key)
        titles = {place.id: place.title for place in survey.build.places_of(key)}
        faults = {
            place: fault
            for place, hole in holes.get(key, {}).items()
            if (fault := _fault(titles.get(place, place), hole, said)) is not None
        }
        since = max([said.at, *(holes[key][place].at for place in faults)])
        if faults and not survey.taken_on(line, ID, since):
            fault = next(iter(faults.values()))
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=fault.kind,
                args=fault.args,
                since=since,
                places=tuple(faults),
            )


def _fault(title: str, hole: Hole, said: JointSaid) -> Phrase | None:
    return _thread_fault(title, hole.thread, said.said("thread")) or _depth_fault(title, hole.depth, said.engagement_mm)


def _thread_fault(title: str, hole: str, bolt: str) -> Phrase | None:
    if not hole or not bolt:
        return None
    from app.trade.agree import threads_differ  # with the table of threads, wanted only where both are said
    from app.trade.shipped_tables import shipped_tables

    try:
        found = threads_differ(hole, bolt, shipped_tables())
    except ValueError:
        return None  # a thread in words of one's own, which nothing can be held against
    return phrase(End.HOLE_OTHER_THREAD, hole=title, thread=hole, bolt=bolt, how=found.fault) if found else None


def _depth_fault(title: str, depth: str, engagement_mm: float | None) -> Phrase | None:
    if not depth or engagement_mm is None:
        return None
    try:
        deep = read_quantity(depth, Kind.LENGTH, unit="mm")
    except NotationError:
        return None  # “through”, or other words
    from app.trade.agree import ReachFault, reach_differs  # wanted only where both are said

    found = reach_differs(engagement_mm, 0.0, deep.magnitude) if deep.magnitude > 0 else None
    if found is None or found.fault is not ReachFault.BOTTOMS:
        return None
    return phrase(End.HOLE_SHALLOW, hole=title, depth=depth, reach=write_magnitude(engagement_mm, "mm"))


RULE = Rule(ID, find)
