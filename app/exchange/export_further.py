"""What the plan does not foresee, in plain values: found, opened, put in, fitted, counted, run, chosen, left."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.lines import Line
from app.assembly.plan.steps import Group
from app.assembly.said.counts import COUNT
from app.assembly.said.deeds import Deed, Entry, EventName
from app.assembly.said.events import EVENT
from app.assembly.said.figures import CANDIDATE, Candidate
from app.assembly.said.findings import FINDING, Finding
from app.assembly.said.holes import HOLE
from app.assembly.said.joints import JointSaid
from app.assembly.said.leaving import Left
from app.assembly.said.marks import Mark, State
from app.assembly.said.options import OPTION, Chosen
from app.assembly.said.parts import FIT, PartFit
from app.assembly.said.put_in import EXTRA, Extra
from app.assembly.said.running import RUN
from app.assembly.said.second_look import SEEN
from app.assembly.said.temporary import ITEM, Item
from app.assembly.said.tools import TOOL
from app.assembly.standing.conditions import totals
from app.assembly.standing.holes import HoleStanding, hole_map, is_holes
from app.assembly.standing.remembered import last_left, long_pause, must_be_remembered, not_known_final, to_be_asked
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import BoltPass, bolts, described_lines, joint_key

Values = dict[str, Any]
_MOVED = (EventName.DISTURBED, EventName.OPENED)


# --- what one deed comes to


def deed_values(build: Build, deed: Deed) -> Values:
    """A deed before the build follows it: its words, the key it makes, and which lines it moves."""
    first = deed.entries[0]
    coming, going = _change(build, first)
    return {
        "did": deed.label,
        "key": first.subject.place if isinstance(first.new, Candidate) else first.subject.key,
        "line": _line_of(build, first),
        "by": deed.by,
        "at": time_text(deed.at),
        "comes": [_named(line) for line in coming],
        "goes": [_named(line) for line in going],
        "other_places": [_named(line) for line in _laid_out(build, first)],
        "look_again": [_moved(build, entry) for entry in deed.entries if _is_moved(entry)],
    }


def _line_of(build: Build, entry: Entry) -> str | None:
    if isinstance(entry.new, Extra):
        return entry.new.number
    if isinstance(entry.new, Finding):
        return _number(build, entry.new.line)
    return _number(build, entry.subject.key)


def _change(build: Build, entry: Entry) -> tuple[list[Line], list[Line]]:
    if isinstance(entry.new, Chosen):
        from app.assembly.deeds.options import option_change  # brings all that deeds need, wanted by few verbs

        return option_change(build, entry.subject.key, entry.new.choice)
    return [], []


def _laid_out(build: Build, entry: Entry) -> list[Line]:
    """The lines that get other places when the engine itself is laid out otherwise."""
    if isinstance(entry.new, Chosen) and entry.subject.key.startswith(ARRANGEMENT):
        from app.assembly.deeds.options import arrangement_change  # as above

        return arrangement_change(build, entry.subject.key.removeprefix(ARRANGEMENT), int(entry.new.choice))
    return []


def _is_moved(entry: Entry) -> bool:
    return entry.event in _MOVED and isinstance(entry.new, Mark) and entry.new.state is State.LOOK_AGAIN


def _moved(build: Build, entry: Entry) -> Values:
    line = build.by_id[entry.subject.key]
    assert isinstance(entry.new, Mark)  # only marks are moved
    return _named(line) | {"why": entry.new.why}


def _named(line: Line) -> Values:
    return {"line": line.number, "step": line.id, "title": line.step.do}


def _number(build: Build, step: str) -> str | None:
    return build.by_id[step].number if step in build.by_id else None


# --- found, opened, befallen


def finding_values(build: Build) -> list[Values]:
    """The findings with their decisions, oldest first."""
    return [
        {
            "finding": key,
            "line": _number(build, one.line),
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


def extra_values(survey: Survey) -> list[Values]:
    """The lines a person put in: to close what was opened, and steps the plan forgot."""
    extras = survey.build.facts.of(EXTRA)
    return [
        _named(line)
        | {
            "extra": line.extra.value,
            "state": survey.state(line).value,
            "place": extras[line.id, ""].place or None,
            "why": extras[line.id, ""].why or None,
            "disturbs": [_number(survey.build, step) or step for step in extras[line.id, ""].disturbs],
            "by": extras[line.id, ""].by,
            "at": time_text(extras[line.id, ""].at),
        }
        for line in survey.build.lines
        if line.extra is not None
    ]


def happening_values(build: Build) -> list[Values]:
    """The events the plan knows: what each makes unknown, and when it befell this build."""
    befell = build.facts.of(EVENT).values()
    return [
        {
            "event": one.id,
            "title": one.title,
            "note": one.note or None,
            "disturbs": [build.by_id[step].number for step in one.disturbs if step in build.by_id],
            "happened": [
                {"at": time_text(event.at), "by": event.by, "note": event.note or None}
                for event in befell
                if event.what == one.id
            ],
        }
        for one in build.happenings.values()
    ]


# --- parts, temporary things, holes, bolts


def fit_values(build: Build) -> list[Values]:
    """Each part of the plan, and how it was said to be on apart from the plan's own lines."""
    said = build.facts.of(FIT)
    names = {part.id: part.name for line in build.lines for part in line.step.parts}
    return [
        {"part": part, "name": name} | _fit(said.get((part, "")))
        for part, name in sorted(names.items(), key=lambda pair: pair[0])
    ]


def _fit(one: PartFit | None) -> Values:
    if one is None:
        return {"fit": None, "by": None, "at": None, "why": None}
    return {"fit": one.fit.value, "by": one.by, "at": time_text(one.at), "why": one.why or None}


def item_values(survey: Survey) -> list[Values]:
    """The temporary things: those of the plan that are in, then all that were put in or lost on the way."""
    own = survey.build.facts.of(ITEM)
    return [*_plan_items(survey), *(_item(key, one) for (key, _), one in own.items())]


def _item(key: str, one: Item) -> Values:
    return {
        "item": key,
        "name": one.name,
        "count": one.count,
        "where": one.where,
        "state": "out" if one.out_at else "lost" if one.lost else "in",
        "turning_ok": one.turning_ok,
        "line": None,
        "out_line": None,
        "by": one.by,
        "at": time_text(one.at),
        "out_by": one.out_by or None,
        "out_at": time_text(one.out_at),
    }


def _plan_items(survey: Survey) -> Iterator[Values]:
    known = {item.id: item for line in survey.build.lines for item in line.step.puts_in}
    for inside in survey.inside:
        item = known.get(inside.key) if inside.line else None
        if item is not None:
            yield {
                "item": item.id,
                "name": item.name,
                "count": item.count,
                "where": item.where,
                "state": "in",
                "turning_ok": item.turning_ok,
                "line": inside.line,
                "out_line": _number(survey.build, inside.out_line),
                "by": survey.build.facts.lines[survey.build.by_number[inside.line].id].by,
                "at": time_text(inside.since),
                "out_by": None,
                "out_at": None,
            }


def hole_values(survey: Survey, group: str = "", place: str = "") -> list[Values]:
    """The map of holes, or those of one pattern, or one of them; other patterns only where they are asked for."""
    groups = [one for one in survey.build.groups.values() if one.id == group or (not group and _has_holes(survey, one))]
    return [
        _hole(one, standing)
        for one in groups
        for standing in hole_map(survey, one)
        if place.casefold() in ("", standing.place.id.casefold())
    ]


def _has_holes(survey: Survey, group: Group) -> bool:
    return is_holes(group) or any(key == group.id for key, _ in survey.build.facts.of(HOLE))


def _hole(group: Group, one: HoleStanding) -> Values:
    return {
        "group": group.id,
        "place": one.place.id,
        "thread": one.thread or None,
        "depth": one.depth or None,
        "opens_to": one.opens_to,
        "closed_with": one.closed_with or None,
        "length": one.length or None,
        "compound": one.compound or None,
        "refits": one.refits or None,
        "closed": one.closed,
        "hidden_by": one.hidden_by or None,
    }


def count_values(build: Build) -> list[Values]:
    """How often each bolt that is counted has been tightened, how many it has left, and what it measured."""
    counts = build.facts.of(COUNT)
    return [
        {"fasteners": one.id, "title": one.title, "place": place.id, "times": count.times if count else 0}
        | {"limit": one.limit or None, "left": one.limit - (count.times if count else 0) if one.limit else None}
        | {"policy": one.policy or None, "length_mm": count.length_mm if count else None}
        | {"free_mm": count.free_mm if count else None, "neck_mm": count.neck_mm if count else None}
        for one in build.fasteners.values()
        for place in build.places_of(one.places)
        for count in (counts.get((one.id, place.id)),)
    ]


# --- joints and bolts


def joint_values(survey: Survey) -> list[Values]:
    """Every joint that was described: what was said of it, what its last figure comes to, and each bolt's passes."""
    seen: set[str] = set()
    found = []
    for line, said in described_lines(survey):
        key = joint_key(line)
        if key not in seen:
            seen.add(key)
            lines = [other for other in survey.build.lines if other.tightening and joint_key(other) == key]
            found.append({"joint": key, "lines": [one.number for one in lines]} | _joint(survey, said, lines))
    return found


def _joint(survey: Survey, said: JointSaid, lines: list[Line]) -> Values:
    from app.assembly.standing.joints import final_sums  # brings the sums of a joint, wanted by few verbs

    sums = {line.id: total for line, _, total in final_sums(survey)}
    total = next((sums[line.id] for line in lines if line.id in sums), None)
    return {
        "said": dict(said.typed),
        "taken_from": list(said.taken_from),
        "by": said.by,
        "at": time_text(said.at),
        "torque_nm": total.torque_nm if total else None,
        "preload_low_n": total.window.low_n if total else None,
        "preload_high_n": total.window.high_n if total else None,
        "proof_load_n": total.proof_n if total else None,
        "pressure_low_mpa": total.pressure_mpa[0] if total and total.pressure_mpa else None,
        "pressure_high_mpa": total.pressure_mpa[2] if total and total.pressure_mpa else None,
        "pressure_limit_mpa": total.limit_mpa if total else None,
        "engagement_mm": total.engagement_mm if total else None,
        "engagement_needed_mm": total.needed_mm if total else None,
    }


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
        "verdict": (turn.verdict or None) if turn else None,
        "by": turn.by if turn else None,
        "at": time_text(turn.at) if turn else None,
    }


# --- second looks, running, figures, tools, options


def second_look_values(survey: Survey) -> list[Values]:
    """The lines that want a second look and those that had one; first readings stay hidden."""
    seen = survey.build.facts.of(SEEN)
    return [
        _named(line)
        | {
            "state": survey.state(line).value,
            "signed_by": survey.build.facts.lines[line.id].by if survey.done(line) else None,
            "seen": seen_values(survey, line),
        }
        for line in survey.build.lines
        if line.step.second_look or (line.id, "") in seen
    ]


def seen_values(survey: Survey, line: Line) -> Values | None:
    """The second look that counts for a line as it is signed off now; None where there is none."""
    one = survey.build.facts.of(SEEN).get((line.id, ""))
    if one is None or not survey.seen_twice(line):
        return None
    return {"by": one.by, "at": time_text(one.at), "values": list(one.values)}


def run_values(survey: Survey) -> list[Values]:
    """One object: every spell of running, their sums, and the follow-ups that are due."""
    from app.assembly.rules import follow_up_due  # brings all rules, wanted by few verbs

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
            "due": [_named(end.line) | {"why": end.why} for end in follow_up_due.find(survey)],
        }
    ]


def candidate_values(build: Build, line: Line | None = None) -> list[Values]:
    """The figures offered for a line, or for all lines, and which one is in force."""
    return [
        {
            "line": _number(build, step),
            "step": step,
            "figure": key,
            "text": one.text,
            "trust": one.trust,
            "source": one.source,
            "edition": one.edition or None,
            "dated": one.dated or None,
            "converted_by": one.converted_by or None,
            "by": one.by,
            "at": time_text(one.at),
            "chosen": _in_force(build, step, one),
        }
        for (step, key), one in build.facts.of(CANDIDATE).items()
        if line is None or step == line.id
    ]


def _in_force(build: Build, step: str, one: Candidate) -> bool:
    """Choosing a figure makes it the line's own, with its source, edition and date written in one."""
    figure = build.facts.figures.get(step)
    source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
    return figure is not None and (figure.text, figure.source) == (one.text, source)


def tool_values(build: Build) -> list[Values]:
    """The tools with range, graduation and last check."""
    return [
        {
            "tool": key,
            "name": one.name,
            "range": one.span or None,
            "graduation": one.graduation or None,
            "kind": one.sort or None,
            "lever": one.lever or None,
            "cycles": one.cycles,
            "doubt": one.doubt or None,
            "checked": time_text(one.checked),
            "wrong_at": time_text(one.wrong_at),
            "note": one.note or None,
            "by": one.by,
            "at": time_text(one.at),
        }
        for (key, _), one in build.facts.of(TOOL).items()
    ]


def option_values(build: Build) -> list[Values]:
    """The plan's options as they are answered now, then the counts of the engine's arrangement."""
    changed = build.facts.of(OPTION)
    options = [
        {
            "option": one.id,
            "ask": one.ask,
            "choice": build.options.get(one.id, one.default),
            "choices": {choice.id: choice.title for choice in one.choices},
            "made_with": build.made_with.get(one.id, one.default),
        }
        for one in build.plan_options
    ]
    return [one | _chosen(changed.get((one["option"], ""))) for one in (*options, *_counts(build))]


def _counts(build: Build) -> Iterator[Values]:
    from app.assembly.deeds.options import CHANGEABLE  # as above

    for name in CHANGEABLE if build.arrangement is not None else ():
        yield {
            "option": f"{ARRANGEMENT}{name}",
            "ask": f"How many: {name.replace('_', ' ')}?",
            "choice": str(getattr(build.arrangement, name)),
            "choices": {},
            "made_with": str(getattr(build.made_as, name)),
        }


def _chosen(one: Chosen | None) -> Values:
    if one is None:
        return {"by": None, "at": None, "why": None}
    return {"by": one.by, "at": time_text(one.at), "why": one.why or None}


# --- leaving and coming back


def remembered_values(survey: Survey) -> list[Values]:
    """What must be remembered on leaving, one object each."""
    return [{"text": text} for text in must_be_remembered(survey)]


def resume_values(survey: Survey) -> list[Values]:
    """One object: the note left last, the lines to ask about, and after months what is not known to be final."""
    left = last_left(survey.build)
    since = long_pause(survey)
    return [
        {
            "left": _left(left) if left else None,
            "ask": [_named(line) | {"state": survey.state(line).value} for line in to_be_asked(survey)],
            "stood_since": time_text(since),
            "not_final": [
                _named(line) | {"state": survey.state(line).value}
                for line in (not_known_final(survey, since) if since is not None else ())
            ],
        }
    ]


def _left(left: Left) -> Values:
    return {"note": left.note, "by": left.by, "at": time_text(left.at), "items": list(left.items)}


def time_text(at: datetime | None) -> str | None:
    """A time as it is written out: ISO 8601 to the second, in this computer's zone; None stays None."""
    return at.astimezone().isoformat(timespec="seconds") if at is not None else None
