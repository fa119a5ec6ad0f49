"""The record's sections on what no plan foresees: findings, events, things opened, holes, bolts, tools, running."""

from collections.abc import Iterable, Iterator, Sequence

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.lines import Line, doing
from app.assembly.plan.places import Place
from app.assembly.said.bolts import BoltTurn
from app.assembly.said.counts import COUNT
from app.assembly.said.deeds import EventName
from app.assembly.said.events import EVENT
from app.assembly.said.figures import CANDIDATE
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.holes import HOLE
from app.assembly.said.leaving import LEFT
from app.assembly.said.marks import Mark, State
from app.assembly.said.options import OPTION
from app.assembly.said.put_in import EXTRA
from app.assembly.said.readings import Reading
from app.assembly.said.running import RUN
from app.assembly.said.second_look import SEEN, Seen
from app.assembly.said.temporary import ITEM
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.conditions import met, totals
from app.assembly.standing.holes import HoleStanding, hole_map, is_holes
from app.assembly.standing.joints import final_sums
from app.assembly.standing.lash_stops import cam_said
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines, joint_key, turns_of
from app.assembly.standing.tools import doubt_words
from app.assembly.standing.used_bolts import measured_words
from app.paper.pdf.table import Column, Table, clock
from app.words.english.cam import NAMES
from app.words.journal import Told
from app.words.say import say

_WHO = Column("Who", 12)
_WHEN = Column("When", 34)


# --- found, befallen, changed, opened


def findings(survey: Survey) -> Table:
    """What was found and measured, what was decided by whom and why, and what brings it back."""
    rows = [
        (key, _at(survey.build, one), *_found(one), _decided(one), _watched(survey, one))
        for (key, _), one in survey.build.facts.of(FINDING).items()
    ]
    columns = (
        Column("", 9, 700),
        Column("Where", 25),
        Column("Found", 44, 700),
        Column("By", 22),
        Column("Decided", 44),
        Column("Watch, reopened by", 36),
    )
    return Table("Findings and decisions", columns, tuple(rows), "")


def _at(build: Build, one: Finding) -> str:
    line = build.by_id.get(one.line)
    if line is None:
        return one.line
    place = next((place.title for place in line.places if place.id == one.place), one.place)
    return f"{line.number}, {place}" if place else line.number


def _found(one: Finding) -> tuple[str, str]:
    kind = "Symptom: " if one.symptom else ""
    measured = f", measured {one.measured}" if one.measured else ""
    return f"{kind}{one.what}{measured}", f"{one.by} {clock(one.at)}"


def _decided(one: Finding) -> str:
    if one.decision is Disposition.OPEN or one.decided_at is None:
        return "not decided"
    return f"{one.decision.value.capitalize()}: {one.why} ({one.decided_by}, {clock(one.decided_at)})"


def _watched(survey: Survey, one: Finding) -> str:
    """What to keep an eye on, what would bring the decision back, and whether that has come."""
    words = [f"Watch: {one.watch}."] if one.watch else []
    if one.reopens:
        words.append(f"Decide again {', or '.join(_condition(survey.build, text) for text in one.reopens)}.")
    come = met(survey, one)
    return " ".join([f"To be decided again now: {_condition(survey.build, come)}."] * bool(come) + words)


def _condition(build: Build, text: str) -> str:
    """A condition that is watched, as one says it: “after 500 miles”."""
    kind, _, value = text.partition(":")
    match kind:
        case "event":
            return f"if it happens: {build.happenings[value].title}"
        case "line":
            line = build.by_id.get(value)
            return f"if {line.number if line else value} is opened or out"
        case "option":
            return f"if “{value}” is answered otherwise"
        case "cycles":
            return f"after {value} heat cycles"
        case "date":
            return f"on {value}"
        case _:
            return f"after {value}"


def events(build: Build) -> Table:
    """What befell the build, and which lines hang on it."""
    rows = []
    for one in build.facts.of(EVENT).values():
        happening = build.happenings[one.what]
        lines = ", ".join(build.by_id[step].number for step in happening.disturbs if step in build.by_id)
        rows.append((clock(one.at), one.by, happening.title, one.note, lines))
    columns = (_WHEN, _WHO, Column("What happened", 52, 700), Column("Note", 48), Column("Lines it touches", 34))
    return Table("Events", columns, tuple(rows), "")


def options(build: Build) -> Table:
    """Options answered anew, and the engine laid out otherwise, in the middle of the build."""
    rows = [
        (
            _asked(build, key),
            _answer_before(build, key),
            _answer(build, key, one.choice),
            one.why,
            one.by,
            clock(one.at),
        )
        for (key, _), one in build.facts.of(OPTION).items()
    ]
    columns = (Column("Option", 44, 700), Column("Made with", 28), Column("Now", 28), Column("Why", 34), _WHO, _WHEN)
    return Table("Options changed", columns, tuple(rows), "")


def _asked(build: Build, key: str) -> str:
    if key.startswith(ARRANGEMENT):
        return f"How many: {key.removeprefix(ARRANGEMENT).replace('_', ' ')}?"
    return next((option.ask for option in build.plan_options if option.id == key), key)


def _answer_before(build: Build, key: str) -> str:
    if key.startswith(ARRANGEMENT):
        return str(getattr(build.made_as, key.removeprefix(ARRANGEMENT)))
    return _answer(build, key, build.made_with.get(key, ""))


def _answer(build: Build, key: str, choice: str) -> str:
    choices = next((option.choices for option in build.plan_options if option.id == key), ())
    return next((one.title for one in choices if one.id == choice), choice)


def extras(survey: Survey) -> Table:
    """Lines that were put in, and what was opened on the way."""
    said = survey.build.facts.of(EXTRA)
    rows = []
    for line in survey.build.lines:
        if line.extra is not None:
            one = said[line.id, ""]
            mark = survey.build.facts.lines.get(line.id)
            closed = f"{mark.state.word}, {mark.by} {clock(mark.at)}" if mark else "still to do"
            place = f", {one.place}" if one.place else ""
            rows.append(
                (line.number, f"{doing(one)}{place}", one.kind.value, one.why, f"{one.by} {clock(one.at)}", closed)
            )
    columns = (
        Column("Line", 15, 700),
        Column("What", 54),
        Column("", 18),
        Column("Why", 37),
        Column("By", 23),
        Column("Stands at", 33),
    )
    return Table("Opened on the way, or put in", columns, tuple(rows), "")


def notes_left(build: Build) -> Table:
    """What was written each time the work was left, and what was to be remembered then."""
    rows = [
        (clock(one.at), one.by, one.note, "; ".join(say(item) for item in one.items))
        for one in build.facts.of(LEFT).values()
    ]
    columns = (_WHEN, _WHO, Column("Note", 62, 700), Column("To be remembered", 72))
    return Table("Notes on leaving", columns, tuple(rows), "")


# --- figures, second looks


def offered(build: Build, entries: Sequence[Told]) -> Table:
    """The figures beside each other for a line, the one in force, and why it was chosen."""
    rows = []
    for (step, key), one in build.facts.of(CANDIDATE).items():
        line = build.by_id.get(step)
        number = line.number if line else step
        source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
        figure = build.facts.figures.get(step)
        chosen = figure is not None and (figure.text, figure.source) == (one.text, source)
        converted = f"converted by {one.converted_by}" if one.converted_by else ""
        trust = ", ".join(word for word in (one.trust, source, converted) if word)
        words = f"chosen: {_reason(entries, number)}" if chosen else ""
        rows.append((f"{number} {key}", one.text, trust, f"{one.by} {clock(one.at)}", words))
    columns = (
        Column("Line", 20, 700),
        Column("Figure as printed", 38, 700),
        Column("Source", 56),
        Column("Written by", 24),
        Column("", 42),
    )
    return Table("Figures offered, and the one chosen", columns, tuple(rows), "")


def _reason(entries: Sequence[Told], number: str) -> str:
    """Why the figure in force on a line was taken, as it was last said."""
    return next((one.why for one in reversed(entries) if one.event is EventName.FIGURE and one.line == number), "")


def second_looks(survey: Survey) -> Table:
    """Each second look beside the first: who signed, who looked again, and both readings at each place."""
    rows: list[tuple[str, ...]] = []
    for (step, _), seen in survey.build.facts.of(SEEN).items():
        line = survey.build.by_id.get(step)
        if line is None:
            continue
        mark = survey.build.facts.lines.get(step)
        first = f"{mark.state.word}, {mark.by} {clock(mark.at)}" if mark else "not signed"
        holds = "" if survey.seen_twice(line) else ", before it was signed again"
        rows.append((line.number, line.step.do, "", first, f"{seen.by} {clock(seen.at)}{holds}"))
        rows += _both_readings(survey, line, seen)
    columns = (
        Column("Line", 14, 700),
        Column("What", 51),
        Column("Place", 27),
        Column("First", 45),
        Column("Second look", 43),
    )
    return Table("Second looks", columns, tuple(rows), "")


def _both_readings(survey: Survey, line: Line, seen: Seen) -> Iterator[tuple[str, ...]]:
    readings = survey.build.facts.readings.get(line.id, {})
    titles = {place.id: place.title for place in line.places}
    for value in seen.values:
        place, _, text = value.partition("=")
        first = readings.get((place, 1))
        yield line.number, "", titles.get(place, place), first.text if first else "", text


# --- holes, bolts


def holes(survey: Survey) -> Iterator[Table]:
    """The map of holes, one table for each pattern."""
    said = {group for group, _ in survey.build.facts.of(HOLE)}
    columns = (
        Column("Hole", 34, 700),
        Column("Thread, depth, length", 40),
        Column("Opens to", 20),
        Column("Closed with", 34),
        Column("Compound", 20),
        Column("Closed", 14, 700),
        Column("Hidden by", 18),
    )
    for group in survey.build.groups.values():
        if is_holes(group) or group.id in said:
            rows = tuple(_hole(one) for one in hole_map(survey, group))
            yield Table(f"Hole map: {group.title}", columns, rows, "")


def _hole(one: HoleStanding) -> tuple[str, ...]:
    known = (one.thread, one.depth and f"{one.depth} deep", one.length and f"takes {one.length}")
    closed_with = f"{one.closed_with}, {one.refits} refits it" if one.refits else one.closed_with
    return (
        one.place.title,
        ", ".join(word for word in known if word),
        one.opens_to,
        closed_with,
        one.compound,
        "yes" if one.closed else "no",
        one.hidden_by,
    )


def tightenings(build: Build) -> Table:
    """How often each bolt was tightened, the places with the same count in one row."""
    counts = build.facts.of(COUNT)
    rows = []
    for fasteners in build.fasteners.values():
        limit = str(fasteners.limit) if fasteners.limit else ""
        places = build.places_of(fasteners.places)
        alike: dict[str, list[Place]] = {}
        for place in places:
            if (fasteners.id, place.id) in counts:
                one = counts[fasteners.id, place.id]
                alike.setdefault(", ".join([str(one.times), *measured_words(one)]), []).append(place)
        for times, at in alike.items():
            last = max((counts[fasteners.id, place.id] for place in at), key=lambda one: one.at)
            named = "all" if len(at) == len(places) else ", ".join(place.title for place in at)
            rows.append((fasteners.title, named, times, limit, last.by, clock(last.at)))
    columns = (
        Column("Fasteners", 32, 700),
        Column("Which", 58),
        Column("Times, measured", 28, 700),
        Column("At most", 16),
        _WHO,
        Column("Last counted", 34),
    )
    return Table("Tightenings", columns, tuple(rows), "")


def results(survey: Survey) -> Table:
    """What was worked out from readings: each with the sum that led to it, and its verdict."""
    rows = []
    for line in survey.build.lines:
        title = line.step.do
        for one in survey.worked(line):
            if one.size is not None:
                verdict = one.verdict.value if one.verdict is not None else ""
                rows.append((line.number, title, one.place.title, one.text, one.words, verdict))
                title = ""
    columns = (
        Column("Line", 13, 700),
        Column("What", 38),
        Column("Result", 36),
        Column("Comes to", 22, 700),
        Column("From", 52),
        Column("Verdict", 19),
    )
    return Table("Worked out from the readings", columns, tuple(rows), "")


def cam(survey: Survey) -> Table:
    """The cam's events as its card has them; they say from which stops lash is set."""
    said = cam_said(survey.build)
    typed = ", ".join(f"{NAMES[name]} {text}" for name, text in said.typed.items()) if said else ""
    rows = ((typed, said.by, clock(said.at)),) if said else ()
    return Table("The cam's events", (Column("As its card says", 134, 700), _WHO, _WHEN), rows, "")


def joints(survey: Survey) -> Table:
    """Each described joint: bolts, threads, wrench and adapter, and what its last figure comes to."""
    sums = {joint_key(line): total for line, _, total in final_sums(survey)}
    rows: dict[str, tuple[str, ...]] = {}
    for line, said in described_lines(survey):
        key = joint_key(line)
        total = sums.get(key)
        words = [said.said(name) for name in ("thread", "strength", "state")]
        with_what = [said.said("wrench"), said.said("adapter") and f"adapter {said.said('adapter')}"]
        preload = f"{total.window.low_n / 1000:.1f} to {total.window.high_n / 1000:.1f} kN" if total else ""
        rows[key] = (
            f"{line.number} {line.step.do}",
            ", ".join(word for word in words if word),
            ", ".join(word for word in with_what if word),
            preload,
            said.by,
        )
    columns = (
        Column("Joint, last line", 66, 700),
        Column("Bolts", 44),
        Column("Wrench", 26),
        Column("Preload", 32),
        _WHO,
    )
    return Table(
        "Joints, as described; preload estimated over the spread of friction", columns, tuple(rows.values()), ""
    )


def bolt_turns(survey: Survey) -> Iterator[Table]:
    """Every pass of every bolt that was kept with a value, line by line."""
    columns = (
        Column("Bolt", 44, 700),
        Column("Pass", 14),
        Column("Torque", 30, 700),
        Column("Angle", 20),
        Column("Stretch", 22),
        Column("Wrench, set to", 38),
        _WHO,
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


# --- temporary things, tools, running


def in_and_out(survey: Survey) -> Table:
    """Every temporary thing that ever went in, and when it came out."""
    rows = [*_plan_items(survey), *_own_items(survey.build)]
    columns = (Column("Thing", 76, 700), Column("In", 52), Column("Out", 52))
    return Table("Temporary things, in and out", columns, tuple(rows), "")


_WENT_IN = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)


def _plan_items(survey: Survey) -> Iterator[tuple[str, ...]]:
    marks = survey.build.facts.lines
    ways_out = {item: line for line in survey.build.lines for item in line.step.takes_out}
    inside = {(thing.key, thing.line) for thing in survey.inside}
    for line in survey.build.lines:
        mark = marks.get(line.id)
        if mark is None or mark.state not in _WENT_IN:
            continue
        for item in line.step.puts_in:
            out = ways_out.get(item.id)
            out_mark = marks.get(out.id) if out is not None else None
            if out is None or out_mark is None or (item.id, line.number) in inside:
                came = "still in"
            else:
                came = f"{out.number}, {_signed(out_mark)}"
            yield f"{item.count} × {item.name}, {item.where}", f"{line.number}, {_signed(mark)}", came


def _signed(mark: Mark) -> str:
    return f"{mark.by} {clock(mark.at)}"


def _own_items(build: Build) -> Iterator[tuple[str, ...]]:
    for (key, _), one in build.facts.of(ITEM).items():
        kept = "lost" if one.lost else "still in"
        out = f"{'found, ' if one.lost else ''}{one.out_by} {clock(one.out_at)}" if one.out_at else kept
        yield f"{one.count} × {one.name}, {one.where} ({key})", f"{one.by} {clock(one.at)}", out


def tools(survey: Survey) -> Table:
    """The tools with their checks, and which lines were read with each; one nobody entered is named too."""
    used = _read_with(survey)
    known = {key: one for (key, _), one in survey.build.facts.of(TOOL).items()}
    rows = [(one.name, ", ".join(_reads(one)), _checks(one), used.get(key, "")) for key, one in known.items()]
    rows += [(key, "", "not among the tools", lines) for key, lines in used.items() if key not in known]
    columns = (Column("Tool", 44, 700), Column("Reads", 38), Column("Checked", 54), Column("Used at", 44))
    return Table("Tools and their checks", columns, tuple(rows), "")


def _reads(one: Tool) -> list[str]:
    return [word for word in (one.span, one.graduation, doubt_words(one)) if word]


def _checks(one: Tool) -> str:
    words = f"checked {one.checked.astimezone():%d %b %Y}" if one.checked else "never checked"
    if one.wrong_at is not None:
        words += f", found wrong {clock(one.wrong_at)}"
    return f"{words}: {one.note}" if one.note else words


def _read_with(survey: Survey) -> dict[str, str]:
    """For each tool that readings name the lines it was used at."""
    found: dict[str, list[str]] = {}
    for line in survey.build.lines:
        for tool in _tools_of(survey.build.facts.readings.get(line.id, {}).values()):
            found.setdefault(tool, []).append(line.number)
    return {tool: ", ".join(numbers) for tool, numbers in found.items()}


def _tools_of(readings: Iterable[Reading]) -> list[str]:
    return list(dict.fromkeys(one.tool for one in readings if one.tool))


def running(build: Build) -> Table:
    """Every spell of running since the first start, and their sum."""
    runs = build.facts.of(RUN).values()
    rows = [(clock(one.at), one.by, *_amounts(one.hours, one.distance_km, one.heat_cycles), one.note) for one in runs]
    if rows:
        total = totals(build)
        rows.append(("In all", "", *_amounts(total.hours, total.distance_km, total.heat_cycles), ""))
    columns = (
        Column("When", 34, 700),
        _WHO,
        Column("Hours", 18),
        Column("Distance", 22),
        Column("Heat cycles", 22),
        Column("Note", 72),
    )
    return Table("Running", columns, tuple(rows), "")


def _amounts(hours: float, distance_km: float, heat_cycles: int) -> tuple[str, str, str]:
    return f"{hours:g} h", f"{distance_km:g} km", str(heat_cycles)
