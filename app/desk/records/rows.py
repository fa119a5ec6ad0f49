"""The rows of what is kept beside the sheet: findings, temporary things, holes, tools, figures, options, running."""

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.deeds.options import CHANGEABLE
from app.assembly.lines import Line
from app.assembly.plan.steps import Role
from app.assembly.rules.follow_up_due import due
from app.assembly.said.counts import COUNT
from app.assembly.said.events import EVENT
from app.assembly.said.figures import CANDIDATE
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.running import RUN
from app.assembly.said.temporary import ITEM
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.conditions import met, totals
from app.assembly.standing.holes import HoleStanding, hole_map, is_holes
from app.assembly.standing.survey import UNKNOWN
from app.assembly.standing.tools import doubt_words
from app.assembly.standing.used_bolts import measured_words
from app.desk.pages.list_page import ListRow
from app.desk.work import Work
from app.sheet.rows import Run as Words


def finding_rows(work: Work) -> list[ListRow]:
    """Findings not decided first, then the decisions, those to be taken again in front."""
    found = {key: one for (key, _), one in work.build.facts.of(FINDING).items()}
    opened = {key: one for key, one in found.items() if one.decision is Disposition.OPEN}
    rows = _group("Not decided", [_finding(work, key, one) for key, one in opened.items()])
    decided = [_finding(work, key, one) for key, one in found.items() if key not in opened]
    return rows + _group("Decided", decided)


def _finding(work: Work, key: str, one: Finding) -> ListRow:
    line = work.build.by_id.get(one.line)
    kind = "Symptom. " if one.symptom else ""
    measured = f"Measured {one.measured}. " if one.measured else ""
    runs = [Words(kind, "stop", bold=True), Words(measured)]
    condition = met(work.survey, one)
    if condition:
        runs.append(Words(f"To be decided again: {condition}. ", "stop", bold=True))
    if one.decision is not Disposition.OPEN:
        runs.append(Words(f"{one.decision.value.capitalize()}, {one.decided_by}: {one.why}. "))
    if one.watch:
        runs.append(Words(f"Watch: {one.watch}. "))
    if one.reopens:
        runs.append(Words(f"Reopens at {', '.join(one.reopens)}."))
    where = f"at {line.number}" if line else one.line
    place = f", {one.place}" if one.place else ""
    return ListRow(
        key=key,
        title=one.what,
        number=key,
        second=tuple(run for run in runs if run.text),
        middle=f"{where}{place}",
        right=f"{one.by}, {one.at.astimezone():%d %b %Y}",
    )


def temporary_rows(work: Work) -> list[ListRow]:
    """What is in now, and what was in and came out."""
    inside = [
        ListRow(
            key=thing.out_line or thing.key,
            title=thing.words,
            number=thing.key if not thing.out_line else "",
            second=(Words("Lost. Nothing is started until it is found. ", "stop", bold=True),) if thing.lost else (),
            middle=f"out at {work.build.by_id[thing.out_line].number}" if thing.out_line else "",
            right=f"since {thing.since.astimezone():%a %d %b}",
        )
        for thing in work.survey.inside
    ]
    gone = [
        ListRow("", f"{one.count} × {one.name}, {one.where}", number=key, right=f"{one.out_by}, {one.out_at:%d %b %Y}")
        for (key, _), one in work.build.facts.of(ITEM).items()
        if one.out_at is not None
    ]
    return _group("In the engine now", inside) + _group("Out again", gone)


def hole_rows(work: Work) -> list[ListRow]:
    """The map of holes, group by group."""
    rows: list[ListRow] = []
    for group in work.build.groups.values():
        if not is_holes(group):
            continue
        holes = hole_map(work.survey, group)
        closed = sum(hole.closed for hole in holes)
        rows.append(ListRow("", group.title, heading=True, right=f"{closed} of {len(holes)} closed"))
        rows += [_hole(group.id, hole) for hole in holes]
    return rows


def _hole(group: str, hole: HoleStanding) -> ListRow:
    known = (hole.thread, hole.depth and f"{hole.depth} deep", hole.length and f"takes {hole.length}")
    words = [word for word in (*known, hole.compound, hole.refits and f"{hole.refits} refits it") if word]
    opens = "what it opens to is unknown" if hole.opens_to == UNKNOWN else f"opens to {hole.opens_to}"
    runs = [Words(f"{opens}. ", "stop" if hole.wet and not hole.closed else "quiet", bold=hole.wet)]
    words += [f"hidden by {hole.hidden_by}"] if hole.hidden_by else []
    return ListRow(
        key=f"{group}/{hole.place.id}",
        title=hole.place.title,
        second=(*runs, Words(", ".join(words))),
        middle="closed" if hole.closed else "open",
        right=hole.closed_with,
    )


def tool_rows(work: Work) -> list[ListRow]:
    """The tools and their checks."""
    return [
        ListRow(
            key=key,
            title=tool.name,
            second=(Words(", ".join(_tool_words(tool))),),
            middle="found wrong" if tool.wrong_at else "",
            right=f"checked {tool.checked.astimezone():%d %b %Y}" if tool.checked else "never checked",
        )
        for (key, _), tool in work.build.facts.of(TOOL).items()
    ]


def _tool_words(tool: Tool) -> list[str]:
    lever = f"lever {tool.lever}" if tool.lever else ""
    steps = f"steps of {tool.graduation}" if tool.graduation else ""
    return [word for word in (tool.span, steps, doubt_words(tool), tool.sort, lever) if word]


def figure_rows(work: Work, line: Line) -> list[ListRow]:
    """The figures offered for a line, side by side, and the one in force."""
    bounds = work.survey.bounds(line)
    force = [ListRow("", bounds.text, second=(Words(bounds.source or "no source given"),))] if bounds else []
    shelf = {k: one for (step, k), one in work.build.facts.of(CANDIDATE).items() if step == line.id}
    offered = [
        ListRow(
            key=key,
            title=one.text,
            number=key,
            second=(Words(", ".join(word for word in (one.source, one.edition, one.dated) if word)),),
            middle=one.trust,
            right=f"converted by {one.converted_by}" if one.converted_by else "",
        )
        for key, one in shelf.items()
    ]
    return _group("In force", force) + _group("Offered", offered)


def option_rows(build: Build) -> list[ListRow]:
    """The plan's questions and the answers in force."""
    rows = []
    for option in build.plan_options:
        chosen = build.options.get(option.id, option.default)
        title = next((choice.title for choice in option.choices if choice.id == chosen), chosen)
        rows.append(ListRow(option.id, option.ask, second=(Words(option.note),) if option.note else (), middle=title))
    if build.arrangement is not None:
        rows.append(ListRow("", "How the engine is laid out", heading=True))
        rows += [
            ListRow(
                f"{ARRANGEMENT}{name}",
                name.replace("_", " ").capitalize(),
                middle=str(getattr(build.arrangement, name)),
            )
            for name in CHANGEABLE
        ]
    return rows


def run_rows(work: Work) -> list[ListRow]:
    """What has run since the first start, and what is due by it."""
    run = totals(work.build)
    head = f"{run.hours:g} h, {run.distance_km:g} km, {run.heat_cycles} heat cycles"
    rows = [ListRow("", f"Run so far: {head}", heading=True)]
    rows += [
        ListRow("", f"{one.hours:g} h, {one.distance_km:g} km, {one.heat_cycles} heat cycles", number=f"{one.at:%d %b}")
        for one in work.build.facts.of(RUN).values()
    ]
    marks = work.build.facts.lines
    starts = [marks[line.id].at for line in work.build.with_role(Role.FIRST_START) if work.survey.done(line)]
    following = [line for line in work.build.lines if line.step.follow_up]
    if following:
        rows.append(ListRow("", "To be done after so much", heading=True))
    for line in following:
        after = line.step.follow_up.after if line.step.follow_up else ""
        state = "due now" if starts and work.survey.open(line) and due(work.survey, after, min(starts)) else ""
        rows.append(ListRow(line.id, line.step.do, number=line.number, middle=f"after {after}", right=state))
    return rows


def event_rows(work: Work) -> list[ListRow]:
    """What befell the build, and what could."""
    told = [
        ListRow(
            "", work.build.happenings[one.what].title, second=(Words(one.note),), right=f"{one.by}, {one.at:%d %b %Y}"
        )
        for one in work.build.facts.of(EVENT).values()
    ]
    known = [
        ListRow(
            one.id,
            one.title,
            second=(Words(one.note),) if one.note else (),
            middle=f"{len(one.disturbs)} lines hang on it",
        )
        for one in work.build.happenings.values()
    ]
    return _group("Happened", told) + _group("Say that it happened", known)


def fastener_rows(work: Work) -> list[ListRow]:
    """Bolts that stand only so many tightenings, and how many each has had."""
    counts = work.build.facts.of(COUNT)
    rows: list[ListRow] = []
    for one in work.build.fasteners.values():
        limit = f"at most {one.limit} times" if one.limit else "no limit"
        rows.append(ListRow("", one.title, heading=True, right=limit))
        for place in work.build.places_of(one.places):
            said = counts.get((one.id, place.id))
            times = said.times if said else 0
            over = bool(one.limit) and times > one.limit
            second = (Words("too often: fit a new one", "stop", bold=True),) if over else (Words(one.policy),)
            rows.append(
                ListRow(
                    f"{one.id}/{place.id}",
                    place.title,
                    second=second,
                    middle="tightened once" if times == 1 else f"tightened {times} times",
                    right=", ".join(measured_words(said)) if said else "",
                )
            )
    return rows


def _group(title: str, rows: list[ListRow]) -> list[ListRow]:
    return [ListRow("", title, heading=True, right=str(len(rows))), *rows] if rows else []
