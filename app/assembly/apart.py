"""What the plan does not foresee: things opened, found, put in, lost, offered, changed; and leaving and coming back."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import count, islice

from app.assembly import actions as a
from app.assembly.build import ARRANGEMENT, Build, laid_out
from app.assembly.conditions import check_condition
from app.assembly.deciding import (
    clock,
    decided,
    disturbances,
    doubted,
    entry,
    find_line,
    find_place,
    once,
    opened,
    voided,
)
from app.assembly.disturb import disturbed_by_event
from app.assembly.facts import (
    About,
    Candidate,
    Chosen,
    Deed,
    Disposition,
    Entry,
    Event,
    Extra,
    ExtraKind,
    Finding,
    Fitted,
    Hole,
    Item,
    Left,
    PartFit,
    Resumed,
    Run,
    Seen,
    State,
    Subject,
    Tightened,
    Tool,
)
from app.assembly.figures import reading_verdict
from app.assembly.leaving import must_be_remembered
from app.assembly.lines import Line, working_lines
from app.assembly.make import check_option, letters
from app.assembly.places import derived_places, places_of_step
from app.assembly.plan import Fit, Measured
from app.assembly.refusal import Refused
from app.assembly.survey import Survey
from app.assembly.tools import check_doubt
from app.trade.notation import NotationError, read_quantity, read_spec
from app.trade.quantity import Kind
from app.trade.verdict import Verdict

# The same person's second look counts in another session: after leaving, or after a night's distance.
ANOTHER_SESSION = timedelta(hours=4)
CHANGEABLE = (
    "mains",
    "crankpins",
    "cam_journals",
    "intake_per_cylinder",
    "exhaust_per_cylinder",
    "rings_per_piston",
    "heads",
)
TOOL_SORTS = ("click", "beam", "dial", "electronic", "gauge")
OPENS_TO = ("", "nothing", "oil", "coolant", "air", "unknown")


# --- events, things opened, lines put in


@decided.register
def _happen(action: a.Happen, survey: Survey) -> Deed:
    build = survey.build
    wanted = action.what.strip().casefold()
    known = {one.id: one for one in build.happenings.values() if wanted in (one.id.casefold(), one.title.casefold())}
    if not known:
        raise Refused(f"The plan knows no event “{action.what}”; it has {', '.join(build.happenings) or 'none'}.")
    happening = next(iter(known.values()))
    event = Event(happening.id, action.note.strip(), action.by, action.at)
    entries = [entry(build, "happened", Subject(About.EVENT, _next_key(build, About.EVENT, "e")), event)]
    entries += _voided(build, happening.disturbs, action.by, action.at, happening.title)
    return Deed("happen", happening.title, action.by, action.at, once(entries), action.note.strip())


def _voided(build: Build, targets: Iterable[str], by: str, at: datetime, why: str) -> Iterator[Entry]:
    """What an event makes unknown, along chains; what was read or ticked of a line only begun counts no more."""
    named = tuple(targets)
    for line, cause in disturbed_by_event(build, named):
        words = f"{why}." if cause is None else f"{cause.number} {cause.step.do}: is no longer known"
        yield from doubted(build, line, by, at, words)
    known = {line.id: line for line in (*build.plan_lines, *build.lines)}  # also those an option took away for now
    for line in (known[step] for step in named if step in known and step in build.facts.lines):
        if build.facts.lines[line.id].state is not State.DONE:
            yield from voided(build, line, at)
        elif line.id not in build.by_id:
            yield from doubted(build, line, by, at, f"{why}.")


@decided.register
def _open_up(action: a.OpenUp, survey: Survey) -> Deed:
    what = _said(action.what, "what was opened")
    if action.line:
        return _opened_line(action, survey, what)
    after = find_line(survey.build, action.after) if action.after else _last_worked(survey)
    extra = Extra(
        ExtraKind.OPENED,
        _free_number(survey.build, after),
        after.id,
        f"Close again: {what}",
        action.why.strip(),
        "what was opened is run open, loose or dirty",
        action.place.strip(),
        _steps(survey.build, action.disturbs),
        action.by,
        action.at,
    )
    key = _next_key(survey.build, About.EXTRA, "x")
    entries = [entry(survey.build, "opened up", Subject(About.EXTRA, key), extra)]
    entries += _voided(survey.build, extra.disturbs, action.by, action.at, f"{what} was opened")
    return Deed("open", f"{extra.number} {extra.do}", action.by, action.at, once(entries), action.why.strip())


def _opened_line(action: a.OpenUp, survey: Survey, what: str) -> Deed:
    line = find_line(survey.build, action.line)
    place = find_place(survey, line, action.place) if action.place else None
    said = f"{what}, {place.title}" if place else what
    if survey.state(line) is not State.DONE:
        raise Refused(
            f"{line.number} is {survey.state(line).word}, so there is nothing of it to open; say it without --line."
        )
    entries = list(opened(survey, line, action.by, action.at, said))
    return Deed("open", f"{line.number} {said}", action.by, action.at, once(entries), action.why.strip())


@decided.register
def _put_in(action: a.PutIn, survey: Survey) -> Deed:
    after = find_line(survey.build, action.after)
    extra = Extra(
        ExtraKind.FORGOTTEN,
        _free_number(survey.build, after),
        after.id,
        _said(action.what, "what is to be done"),
        action.why.strip(),
        "",
        "",
        _steps(survey.build, action.disturbs),
        action.by,
        action.at,
    )
    subject = Subject(About.EXTRA, _next_key(survey.build, About.EXTRA, "x"))
    made = entry(survey.build, "put in", subject, extra)
    return Deed("put in", f"{extra.number} {extra.do}", action.by, action.at, (made,), action.why.strip())


def _free_number(build: Build, after: Line) -> str:
    """The line's number with the next letter that no line has, nor ever had."""
    base = after.number.rstrip("abcdefghijklmnopqrstuvwxyz")
    taken = {line.number for line in build.plan_lines}
    taken |= {extra.number for extra in build.facts.of(About.EXTRA, Extra).values()}
    return next(f"{base}{letters(n)}" for n in range(1000) if f"{base}{letters(n)}" not in taken)


def _last_worked(survey: Survey) -> Line:
    """The line marked last before the next gate's bar: what is opened on the way keeps that gate shut."""
    marks, bar = survey.build.facts.lines, survey.build.bars.get(survey.next_gate, len(survey.build.lines))
    worked = [line for line in survey.build.lines[:bar] if line.id in marks]
    return max(worked, key=lambda line: marks[line.id].at, default=survey.build.lines[0])


def _steps(build: Build, numbers: Iterable[str]) -> tuple[str, ...]:
    return tuple(find_line(build, number).id for number in numbers if number.strip())


# --- findings and decisions


@decided.register
def _find(action: a.Find, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    place = find_place(survey, line, action.place).id if action.place else ""
    what = _said(action.what, "what was found")
    finding = Finding(line.id, place, what, action.measured.strip(), action.symptom, action.by, action.at)
    key = _next_key(survey.build, About.FINDING, "f")
    made = entry(survey.build, "found", Subject(About.FINDING, key), finding)
    return Deed("find", f"{line.number} found: {what} ({key})", action.by, action.at, (made,))


@decided.register
def _decide_finding(action: a.DecideFinding, survey: Survey) -> Deed:
    findings = {key: one for (key, _), one in survey.build.facts.of(About.FINDING, Finding).items()}
    if action.finding not in findings:
        raise Refused(f"There is no finding “{action.finding}”; there is {', '.join(findings) or 'none'}.")
    old = findings[action.finding]
    if action.decision is Disposition.OPEN:
        raise Refused(f"{action.finding}: say what is decided, for example rework or use as is.")
    if old.symptom and action.decision is Disposition.USE_AS_IS:
        raise Refused(
            f"{action.finding} is a symptom: it is explained or mended, by evidence, or gone on with in a concession."
        )
    why = _said(action.why, "why it is decided so")
    decided_one = replace(
        old,
        decision=action.decision,
        decided_by=action.by,
        decided_at=action.at,
        why=why,
        watch=action.watch.strip(),
        reopens=tuple(check_condition(survey.build, text) for text in action.reopens),
    )
    made = entry(survey.build, "decided", Subject(About.FINDING, action.finding), decided_one)
    return Deed("decide", f"{action.finding} {action.decision.value}: {old.what}", action.by, action.at, (made,), why)


# --- temporary things


@decided.register
def _put_temporary(action: a.PutTemporary, survey: Survey) -> Deed:
    name, where = _said(action.name, "what it is"), _said(action.where, "where it is")
    if not 1 <= action.count <= 1000:
        raise Refused(f"{name}: the count must be 1 to 1000, not {action.count}.")
    item = Item(name, action.count, where, action.turning_ok, action.lost, action.by, action.at)
    key = _next_key(survey.build, About.ITEM, "t")
    made = entry(survey.build, "lost" if action.lost else "went in", Subject(About.ITEM, key), item)
    word = "lost" if action.lost else "in"
    return Deed("temporary", f"{key} {word}: {action.count} × {name}, {where}", action.by, action.at, (made,))


@decided.register
def _take_out(action: a.TakeOut, survey: Survey) -> Deed:
    wanted = action.item.strip().casefold()
    inside = {key: item for (key, _), item in survey.build.facts.of(About.ITEM, Item).items() if item.out_at is None}
    found = [key for key, item in inside.items() if wanted in (key.casefold(), item.name.casefold())]
    if len(found) != 1:
        known = ", ".join(f"{key} {item.name}, {item.where}" for key, item in inside.items()) or "nothing"
        raise Refused(f"“{action.item}” does not say which thing comes out; in are: {known}.")
    item = inside[found[0]]
    if action.count != item.count:
        raise Refused(
            f"{item.count} × {item.name} went in and {action.count} came out: find the rest before it counts as out."
        )
    made = entry(
        survey.build,
        "came out",
        Subject(About.ITEM, found[0]),
        replace(item, out_by=action.by, out_at=action.at),
    )
    return Deed("temporary", f"{found[0]} out: {item.count} × {item.name}", action.by, action.at, (made,))


# --- holes, parts, fasteners


@decided.register
def _hole(action: a.DescribeHole, survey: Survey) -> Deed:
    build = survey.build
    if action.group not in build.groups:
        raise Refused(f"There are no holes “{action.group}”; there are {', '.join(build.groups) or 'none'}.")
    places = {place.id.casefold(): place for place in build.places_of(action.group)}
    place = places.get(action.place.strip().casefold())
    if place is None:
        raise Refused(f"“{action.group}” has no hole “{action.place}”; it has {', '.join(places)}.")
    if action.opens_to not in OPENS_TO:
        raise Refused(f"“{action.opens_to}” is nothing a hole opens to; it is one of {', '.join(OPENS_TO[1:])}.")
    old = build.facts.of(About.HOLE, Hole).get((action.group, place.id))
    names = ("thread", "depth", "opens_to", "closed_with", "length", "compound", "refits")
    kept = {name: getattr(action, name).strip() or (getattr(old, name) if old else "") for name in names}
    hole = Hole(**kept, by=action.by, at=action.at)
    made = entry(build, "hole", Subject(About.HOLE, action.group, place.id), hole)
    return Deed("hole", f"{build.groups[action.group].title}, {place.title}", action.by, action.at, (made,))


@decided.register
def _fit(action: a.FitPart, survey: Survey) -> Deed:
    names = {part.id: part.name for line in survey.build.lines for part in line.step.parts}
    if action.part not in names:
        raise Refused(f"No line of this build needs a part “{action.part}”.")
    fit = PartFit(action.fit, action.by, action.at, action.why.strip())
    entries = [entry(survey.build, "fit", Subject(About.FIT, action.part), fit)]
    label = f"{names[action.part]} {action.fit.value}"
    if action.fit is not Fitted.FINAL:
        for line in _fitting(survey, action.part):
            entries += opened(survey, line, action.by, action.at, f"{label} again")
    return Deed("fit", label, action.by, action.at, once(entries), action.why.strip())


def _fitting(survey: Survey, part: str) -> Iterator[Line]:
    """The Done lines that put a part on for good: taking it off, or having it on for a look, undoes them."""
    for line in survey.build.lines:
        if survey.done(line) and any(one.id == part and one.fit is Fit.FINAL for one in line.step.parts):
            yield line


@decided.register
def _count(action: a.CountTightenings, survey: Survey) -> Deed:
    build = survey.build
    if action.fasteners not in build.fasteners:
        raise Refused(f"There are no fasteners “{action.fasteners}”; there are {', '.join(build.fasteners) or 'none'}.")
    if not 0 <= action.times <= 100:
        raise Refused(f"{action.times} tightenings cannot be: write 0 for new bolts, or how often they were tightened.")
    fasteners = build.fasteners[action.fasteners]
    places = build.places_of(fasteners.places)
    chosen = [place for place in places if action.place.strip() in ("", place.id)]
    if not chosen:
        raise Refused(f"{fasteners.title} has no “{action.place}”; it has {', '.join(place.id for place in places)}.")
    fact = _measured(action)
    entries = tuple(entry(build, "tightened", Subject(About.COUNT, fasteners.id, place.id), fact) for place in chosen)
    return Deed(
        "count", f"{fasteners.title}: {action.times} tightenings", action.by, action.at, entries, action.why.strip()
    )


_LONGEST_BOLT_MM = 2000.0


def _measured(action: a.CountTightenings) -> Tightened:
    """The count with what was measured; raises Refused for a length that cannot be."""
    length, free, neck = (_bolt_mm(text) for text in (action.length, action.free, action.neck))
    if (free is None) is not (neck is None):
        raise Refused("A neck is told by two diameters: give the thread where it was free and where it is thinnest.")
    if free is not None and neck is not None and neck > free:
        raise Refused(f"The thinnest place, “{action.neck}”, cannot be thicker than where it is free, “{action.free}”.")
    return Tightened(action.times, action.by, action.at, action.times == 0, length, free, neck)


def _bolt_mm(text: str) -> float | None:
    if not text.strip():
        return None
    try:
        found = read_quantity(text, Kind.LENGTH, unit="mm").magnitude
    except NotationError as error:
        raise Refused(f"What the bolt measures: {error}") from error
    if not 0 < found <= _LONGEST_BOLT_MM:
        raise Refused(
            f"A bolt measures more than 0 and at most {_LONGEST_BOLT_MM:g} mm, not “{text}”: measure it again."
        )
    return found


# --- second looks, running, figures, tools


@decided.register
def _second(action: a.LookSecond, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    mark = survey.build.facts.lines.get(line.id)
    if mark is None or mark.state is not State.DONE:
        raise Refused(f"{line.number} is {survey.state(line).word}: a second look comes after it is Done.")
    if action.by == mark.by and not _later_session(survey.build, mark.at, action.at):
        raise Refused(
            f"{line.number} was signed by {mark.by} on {clock(mark.at)}: the second look is another person's, "
            "or yours in a later session."
        )
    values, out = _second_values(survey, line, action)
    seen = Seen(action.by, action.at, values)
    entries = [entry(survey.build, "second look", Subject(About.SEEN, line.id), seen)]
    if out:
        entries += opened(survey, line, action.by, action.at, f"second look: {', '.join(out)} out of limits")
    return Deed("second look", f"{line.number} second look", action.by, action.at, once(entries))


def _later_session(build: Build, first: datetime, second: datetime) -> bool:
    left = any(first <= one.at <= second for one in build.facts.of(About.LEFT, Left).values())
    return left or second - first >= ANOTHER_SESSION


def _second_values(survey: Survey, line: Line, action: a.LookSecond) -> tuple[tuple[str, ...], list[str]]:
    """The second readings as kept, and the places where they are out."""
    spec = line.step.spec
    if not line.reads or spec is None:
        return (), []
    out, kept = [], []
    values = {find_place(survey, line, place).id: text for place, text in action.values.items()}
    for place in survey.places(line):
        text = values.get(place.id, "").strip()
        if not text:
            raise Refused(f"{line.number}: the second look reads every place anew; {place.title} has no value.")
        if spec.kind not in (Measured.CHOICE, Measured.TEXT):
            first = survey.build.facts.readings[line.id][place.id, 1]
            quantity = _quantity(line, text, Kind(spec.kind.value), spec.unit)
            reading = replace(first, text=text, magnitude=quantity, by=action.by, at=action.at)
            if reading_verdict(reading, line.step, survey.bounds(line), place.id) is Verdict.OUT:
                out.append(f"{place.title} {text}")
        kept.append(f"{place.id}={text}")
    return tuple(kept), out


def _quantity(line: Line, text: str, kind: Kind, unit: str) -> float:
    try:
        return read_quantity(text, kind, unit=unit or None).magnitude
    except NotationError as error:
        raise Refused(f"{line.number}: {error}") from error


@decided.register
def _run(action: a.LogRun, survey: Survey) -> Deed:
    amounts = (action.hours, action.distance_km, float(action.heat_cycles))
    if any(amount < 0 for amount in amounts) or not any(amounts):
        raise Refused("A run needs hours, a distance or heat cycles, none of them less than 0.")
    run = Run(action.hours, action.distance_km, action.heat_cycles, action.note.strip(), action.by, action.at)
    made = entry(survey.build, "ran", Subject(About.RUN, _next_key(survey.build, About.RUN, "r")), run)
    label = f"ran {action.hours:g} h, {action.distance_km:g} km, {action.heat_cycles} heat cycles"
    return Deed("run", label, action.by, action.at, (made,), action.note.strip())


@decided.register
def _offer(action: a.OfferFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        raise Refused(f"{line.number} has no figure to offer one for.")
    text = _said(action.text, "the figure as printed")
    source = _said(action.source, "where it is from")
    try:
        read_spec(text, Kind(spec.kind.value), unit=spec.unit or None)
    except NotationError as error:
        if "(" not in text:  # one that contradicts itself in brackets is kept and flagged; it stands so in print
            raise Refused(f"{line.number}: {error}") from error
    shelf = survey.build.facts.of(About.CANDIDATE, Candidate)
    key = f"c{1 + sum(step == line.id for step, _ in shelf)}"
    edition, dated, converted = action.edition.strip(), action.dated.strip(), action.converted_by.strip()
    candidate = Candidate(text, action.trust.value, source, edition, dated, converted, action.by, action.at)
    made = entry(survey.build, "offered", Subject(About.CANDIDATE, line.id, key), candidate)
    return Deed("source", f"{line.number} {key}: {text} ({source})", action.by, action.at, (made,))


@decided.register
def _choose_figure(action: a.ChooseFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    shelf = {
        key: one for (step, key), one in survey.build.facts.of(About.CANDIDATE, Candidate).items() if step == line.id
    }
    if action.candidate not in shelf:
        raise Refused(
            f"{line.number} has no figure “{action.candidate}” to choose; it has {', '.join(shelf) or 'none'}."
        )
    why = _said(action.why, "why this one")
    one = shelf[action.candidate]
    source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
    deed = decided(a.EnterFigure(line.id, one.text, source, action.by, action.at), survey)
    return replace(deed, verb="source", label=f"{line.number} {action.candidate} chosen: {one.text}", why=why)


@decided.register
def _tool(action: a.KeepTool, survey: Survey) -> Deed:
    key = _said(action.tool, "what the tool is called")
    old = survey.build.facts.of(About.TOOL, Tool).get((key, ""))
    name = action.name.strip() or (old.name if old else "")
    tool = Tool(
        _said(name, "what the tool is"),
        action.span.strip() or (old.span if old else ""),
        action.graduation.strip() or (old.graduation if old else ""),
        action.checked or (old.checked if old else None),
        action.by,
        action.at,
        # Only a later check speaks for it again, not a new word about its range.
        old.wrong_at if old else None,
        old.note if old else "",
        action.sort.strip() or (old.sort if old else ""),
        action.lever.strip() or (old.lever if old else ""),
        action.cycles if action.cycles is not None else old.cycles if old else 0,
        action.doubt.strip() or (old.doubt if old else ""),
    )
    _check_tool(tool)
    made = entry(survey.build, "tool", Subject(About.TOOL, key), tool)
    return Deed("tool", f"{key}: {tool.name}", action.by, action.at, (made,))


def _check_tool(tool: Tool) -> None:
    """What is said of a torque wrench must be readable: its kind, and the length of its lever."""
    if tool.sort and tool.sort not in TOOL_SORTS:
        raise Refused(f"“{tool.sort}” is no kind of tool here; it is one of {', '.join(TOOL_SORTS)}.")
    if tool.lever:
        try:
            lever = read_quantity(tool.lever, Kind.LENGTH)
        except NotationError as error:
            raise Refused(f"{tool.name}, lever: {error}") from error
        if lever.magnitude <= 0:
            raise Refused(f"{tool.name}, lever: {tool.lever} is no length; measure from the drive to where it is held.")
    if tool.doubt:
        check_doubt(tool)
    if not 0 <= tool.cycles <= 10**7:
        raise Refused(f"{tool.name}: {tool.cycles} is no count of uses since the check.")


@decided.register
def _tool_wrong(action: a.ToolWrong, survey: Survey) -> Deed:
    build = survey.build
    tool = build.facts.of(About.TOOL, Tool).get((action.tool, ""))
    if tool is None:
        known = ", ".join(key for key, _ in build.facts.of(About.TOOL, Tool)) or "none"
        raise Refused(f"There is no tool “{action.tool}”; there is {known}.")
    found = replace(tool, wrong_at=action.at, note=action.note.strip(), by=action.by, at=action.at)
    entries = [entry(build, "found wrong", Subject(About.TOOL, action.tool), found)]
    touched = [line.id for line in build.lines if _measured_by(build, line, action.tool, tool.checked)]
    entries += _voided(build, touched, action.by, action.at, f"{tool.name} was found wrong")
    return Deed("tool", f"{action.tool} found wrong", action.by, action.at, once(entries), action.note.strip())


def _measured_by(build: Build, line: Line, tool: str, checked: datetime | None) -> bool:
    readings = build.facts.readings.get(line.id, {}).values()
    return any(one.tool == tool and (checked is None or one.at >= checked) for one in readings)


# --- options, leaving, coming back


@decided.register
def _option(action: a.ChooseOption, survey: Survey) -> Deed:
    build = survey.build
    if action.option.startswith(ARRANGEMENT):
        return _arrangement(action, survey)
    check_option({option.id: option for option in build.plan_options}, action.option, action.choice)
    if build.options.get(action.option) == action.choice:
        raise Refused(f"Option “{action.option}” is {action.choice} already.")
    chosen = Chosen(action.choice, action.by, action.at, action.why.strip())
    entries = [entry(build, "option", Subject(About.OPTION, action.option), chosen)]
    _, going = option_change(build, action.option, action.choice)
    for line in going:
        if survey.done(line):
            entries += disturbances(build, line, action.by, action.at, State.LOOK_AGAIN)
    entries += _left_inside(survey, going, action)
    label = f"option {action.option}: {action.choice}"
    return Deed("option", label, action.by, action.at, once(entries), action.why.strip())


def _left_inside(survey: Survey, going: Iterable[Line], action: a.ChooseOption) -> Iterator[Entry]:
    """What a line that goes had put in is in still: it stays on the list, to be taken out and counted."""
    inside = {thing.key for thing in survey.inside}
    items = [item for line in going for item in line.step.puts_in if item.id in inside]
    for n, item in enumerate(items):
        thing = Item(item.name, item.count, item.where, item.turning_ok, False, action.by, action.at)
        yield entry(survey.build, "went in", Subject(About.ITEM, _next_key(survey.build, About.ITEM, "t", n)), thing)


def _arrangement(action: a.ChooseOption, survey: Survey) -> Deed:
    """The engine itself is laid out otherwise: lines keep what was written, and Done ones with other places open."""
    build, name = survey.build, action.option.removeprefix(ARRANGEMENT)
    if build.arrangement is None or name not in CHANGEABLE:
        raise Refused(f"The arrangement has no “{name}” to change; it has {', '.join(CHANGEABLE)}.")
    if not action.choice.strip().isdigit() or not 0 <= int(action.choice) <= 16:
        raise Refused(f"{name}: “{action.choice}” is not a count from 0 to 16.")
    if getattr(build.arrangement, name) == int(action.choice):
        raise Refused(f"{name} is {action.choice} already.")
    chosen = Chosen(action.choice.strip(), action.by, action.at, action.why.strip())
    entries = [entry(build, "option", Subject(About.OPTION, action.option), chosen)]
    for line in arrangement_change(build, name, int(action.choice)):
        if survey.done(line):
            why = f"the engine has {action.choice} {name.replace('_', ' ')} now"
            entries += opened(survey, line, action.by, action.at, why)
    label = f"{name.replace('_', ' ')}: {action.choice}"
    return Deed("option", label, action.by, action.at, once(entries), action.why.strip())


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
    extras = {key: fact for (key, _), fact in build.facts.of(About.EXTRA, Extra).items()}
    after = working_lines(build.plan_lines, {**build.options, option: choice}, extras)
    ids = {line.id for line in after}
    coming = [line for line in after if line.id not in build.by_id]
    return coming, [line for line in build.lines if line.id not in ids]


@decided.register
def _leave(action: a.Leave, survey: Survey) -> Deed:
    items = tuple(must_be_remembered(survey))
    left = Left(action.note.strip(), action.by, action.at, items)
    made = entry(survey.build, "left", Subject(About.LEFT, _next_key(survey.build, About.LEFT, "l")), left)
    return Deed("leave", "left the work", action.by, action.at, (made,), action.note.strip())


@decided.register
def _resume(action: a.Resume, survey: Survey) -> Deed:
    confirmed, doubts = _steps(survey.build, action.confirmed), _steps(survey.build, action.doubted)
    resumed = Resumed(action.by, action.at, confirmed, doubts)
    key = _next_key(survey.build, About.RESUMED, "b")
    entries = [entry(survey.build, "came back", Subject(About.RESUMED, key), resumed)]
    for step in doubts:
        line = survey.build.by_id[step]
        if survey.done(line):
            entries += opened(survey, line, action.by, action.at, "doubted on coming back")
    return Deed("resume", "came back", action.by, action.at, once(entries))


# --- shared


def _next_key(build: Build, about: About, letter: str, skipped: int = 0) -> str:
    """The next key of a kind: f1, f2, and on, or the one so many further."""
    taken = {key for key, _ in build.facts.further.get(about, {})}
    free = (f"{letter}{n}" for n in count(1) if f"{letter}{n}" not in taken)
    return next(islice(free, skipped, None))


def _said(text: str, what: str) -> str:
    if not text.strip():
        raise Refused(f"Say {what}.")
    return text.strip()
