"""The rows of a build as it was made, to its values and back."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, cast

from msgspec import to_builtins
from msgspec.structs import replace
from sqlalchemy import Connection, Table, func, insert, select

from app.assembly.build import Build
from app.assembly.lines import Line, StageHead
from app.assembly.make import Blank
from app.assembly.plan.order import needed
from app.assembly.plan.places import Place, groups_of, places_of_step
from app.assembly.plan.steps import (
    Adjuster,
    Arrangement,
    BenchSum,
    Caution,
    Choice,
    Easy,
    Fasteners,
    Fit,
    FollowUp,
    Gate,
    Group,
    Happening,
    Heat,
    How,
    HowTight,
    Layout,
    Level,
    Measure,
    Measured,
    Need,
    Option,
    Order,
    Part,
    Plan,
    Record,
    Role,
    Site,
    Source,
    Spec,
    Step,
    Taken,
    Temporary,
    Tightening,
    Trust,
    Turn,
    When,
    While,
)
from app.store import tables as t
from app.store.facts import read_facts

if TYPE_CHECKING:
    from app.assembly.make import Blank

_SAME_NAME: tuple[str, ...] = (
    "do",
    "note",
    "why",
    "minutes",
    "people",
    "noisy",
    "air",
    "places",
    "gate",
    "hold",
    "harm",
    "act",
)
_SAME_NAME += ("photo", "second_look", "once", "fixed", "block", "any_time", "tightens")
_LISTS = ("tools", "uses", "takes_off", "takes_out")


# --- reading


def read_build(connection: Connection, build_id: int) -> Build | None:
    """The build with this id as it stands, or None."""
    made, plan = t.BUILD, t.PLAN
    head = connection.execute(
        select(
            *(made.c.name, made.c.made, made.c.options, made.c.arrangement),
            *(plan.c.key, plan.c.title, plan.c.edition),
        )
        .join_from(made, plan)
        .where(made.c.id == build_id)
    ).first()
    if head is None:
        return None
    places, named = _places(connection, build_id), _named(connection, build_id)
    stages = [StageHead(r.number, r.key, r.title) for r in _rows(connection, t.STAGE, build_id, "number")]
    return Build(
        key=build_id,
        name=head.name,
        made=head.made,
        plan_id=head.key,
        plan_title=head.title,
        plan_edition=head.edition,
        made_with=head.options,
        stages=tuple(stages),
        plan_lines=tuple(_lines(connection, build_id, places, named)),
        gates=tuple(
            Gate(r.key, r.letter, r.title, r.after, r.means, r.harm)
            for r in _rows(connection, t.GATE, build_id, "position")
        ),
        sources={
            r.key: Source(r.key, r.title, Trust(r.trust), r.edition, r.note)
            for r in _rows(connection, t.SOURCE, build_id, "id")
        },
        facts=read_facts(connection, build_id),
        number=last_number(connection, build_id),
        **_by_name(named),
        group_places=places,
        made_as=_arrangement(head.arrangement),
    )


def last_number(connection: Connection, build_id: int) -> int:
    """The journal number of the last deed of a build, 0 where there is none."""
    deed = t.DEED.c
    return connection.execute(select(func.max(deed.id)).where(deed.build_id == build_id)).scalar() or 0


Named = dict[str, dict[str, Any]]


def _named(connection: Connection, build_id: int) -> Named:
    """What the lines speak of by name, kind by kind."""
    found: Named = {"option": {}, "group": {}, "fasteners": {}, "happening": {}, "tightening": {}, "measure": {}}
    for row in _rows(connection, t.NAMED, build_id, "id"):
        found[row.kind][row.key] = row.value
    return found


def _tightenings(named: Named) -> dict[str, Tightening]:
    """How the bolts of each step are tightened."""
    return {key: _tightening(one) for key, one in named["tightening"].items()}


def _tightening(values: dict[str, Any]) -> Tightening:
    enums = {"kind": HowTight(values["kind"]), "pattern": Order(values["pattern"])}
    lists = {name: tuple(values[name]) for name in ("rows", "lie", "order", "passes")}
    return Tightening(**(values | enums | lists))


def _measures(named: Named) -> dict[str, Measure]:
    """How each step is measured."""
    return {key: _measure(one) for key, one in named["measure"].items()}


def _measure(values: dict[str, Any]) -> Measure:
    enums = {name: kind(values[name]) for name, kind in _MEASURE_ENUMS.items() if values.get(name) is not None}
    takes = tuple(Taken(**one) for one in values["takes"])
    return Measure(**(values | enums | {"points": tuple(values["points"]), "takes": takes}))


_MEASURE_ENUMS: dict[str, Any] = {"how": How, "heat": Heat, "adjuster": Adjuster, "sum": BenchSum}


def _by_name(found: Named) -> dict[str, Any]:
    """What the lines speak of by name, as the build takes it."""
    return {
        "plan_options": tuple(
            Option(**(one | {"choices": tuple(Choice(**choice) for choice in one["choices"])}))
            for one in found["option"].values()
        ),
        "groups": {key: Group(**(one | {"names": tuple(one["names"])})) for key, one in found["group"].items()},
        "fasteners": {key: Fasteners(**one) for key, one in found["fasteners"].items()},
        "happenings": {
            key: Happening(**(one | {"disturbs": tuple(one["disturbs"])})) for key, one in found["happening"].items()
        },
    }


def _arrangement(values: dict[str, Any]) -> Arrangement:
    order, intervals = tuple(values["firing_order"]), tuple(values.get("intervals", ()))
    return Arrangement(**(values | {"layout": Layout(values["layout"]), "firing_order": order, "intervals": intervals}))


def arrangement_values(arrangement: Arrangement) -> dict[str, Any]:
    """How the engine is laid out, as plain values."""
    return cast(dict[str, Any], to_builtins(arrangement))


def _places(connection: Connection, build_id: int) -> dict[str, tuple[Place, ...]]:
    places: dict[str, list[Place]] = defaultdict(list)
    for row in _rows(connection, t.PLACE, build_id, "position"):
        places[row.group].append(Place(row.key, row.title))
    return {group: tuple(found) for group, found in places.items()}


def _rows(connection: Connection, table: Table, build_id: int, order: str) -> Iterable[Any]:
    return connection.execute(select(table).where(table.c.build_id == build_id).order_by(table.c[order]))


def _by_step(connection: Connection, table: Table, build_id: int) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    query = select(table).join_from(table, t.STEP).where(t.STEP.c.build_id == build_id)
    for row in connection.execute(query.order_by(*table.primary_key)):
        found[row.step_id].append(row)
    return found


def _lines(
    connection: Connection,
    build_id: int,
    groups: Mapping[str, tuple[Place, ...]],
    named: Named,
) -> Iterable[Line]:
    tightenings, measures = _tightenings(named), _measures(named)
    relations = _by_step(connection, t.RELATION, build_id)
    specs = _by_step(connection, t.SPEC, build_id)
    parts = _by_step(connection, t.PART, build_id)
    temporary = _by_step(connection, t.TEMPORARY, build_id)
    for row in _rows(connection, t.STEP, build_id, "position"):
        step = _step(row, relations[row.id], specs[row.id], parts[row.id], temporary[row.id])
        if row.key in tightenings or row.key in measures:
            step = replace(step, tightening=tightenings.get(row.key), measure=measures.get(row.key))
        yield Line(row.number, row.position, row.stage, step, places_of_step(step, groups))


def _step(row: Any, relations: list[Any], specs: list[Any], parts: list[Any], temporary: list[Any]) -> Step:
    related: dict[str, list[Any]] = defaultdict(list)
    for relation in relations:
        related[relation.kind].append(relation)
    return Step(
        id=row.key,
        do=row.do,
        note=row.note,
        why=row.why,
        where=Site(row.where),
        minutes=row.minutes,
        people=row.people,
        noisy=row.noisy,
        air=row.air,
        tools=tuple(row.tools),
        uses=tuple(row.uses),
        parts=tuple(Part(p.key, p.name, p.count, p.one_use, Fit(p.fit) if p.fit else None) for p in parts),
        takes_off=tuple(row.takes_off),
        caution=Caution(Level(row.caution_level), row.caution_text) if row.caution_level else None,
        places=row.places,
        spec=_spec(specs[0]) if specs else None,
        gate=row.gate,
        hold=row.hold,
        harm=row.harm,
        act=row.act,
        needs=tuple(Need(r.target, r.wait, r.within, r.because) for r in related["needs"]),
        before=tuple(r.target for r in related["before"]),
        hides=tuple(r.target for r in related["hides"]),
        disturbs=tuple(r.target for r in related["disturbs"]),
        undoing_disturbs=tuple(r.target for r in related["undoing_disturbs"]),
        shares=tuple(r.target for r in related["shares"]),
        latest=tuple(r.target for r in related["latest"]),
        trial_of=next((r.target for r in related["trial_of"]), ""),
        stands_in_for=next((r.target for r in related["stands_in_for"]), ""),
        turns=Turn(row.turns) if row.turns else None,
        not_while=tuple(While(r.target, r.until, r.because) for r in related["not_while"]),
        tightens=row.tightens,
        when=tuple(When(tuple(r.any_of), r.option, r.target) for r in related["when"]),
        puts_in=tuple(Temporary(i.key, i.name, i.where, i.count, i.turning_ok) for i in temporary),
        takes_out=tuple(row.takes_out),
        follow_up=FollowUp(row.follow_up) if row.follow_up else None,
        photo=row.photo,
        second_look=row.second_look,
        once=row.once,
        easy=tuple(Easy(word) for word in row.easy),
        fixed=row.fixed,
        block=row.block,
        role=Role(row.role) if row.role else None,
        any_time=row.any_time,
    )


def _spec(row: Any) -> Spec:
    return Spec(
        Measured(row.kind),
        row.limits,
        row.unit,
        row.source,
        Record(row.record) if row.record else None,
        row.rounds,
        row.state,
        tuple(row.choices),
        tuple(row.good),
        row.note,
    )


# --- writing


def write_blank(connection: Connection, build_id: int, blank: "Blank") -> None:
    """Write a new build's stages, gates, sources, places and lines."""
    plan = blank.plan
    _insert(
        connection,
        t.STAGE,
        ({"build_id": build_id, "number": s.number, "key": s.id, "title": s.title} for s in blank.stages),
    )
    _insert(
        connection,
        t.GATE,
        (
            {"build_id": build_id, "position": n, "key": g.id, "letter": g.letter, "title": g.title}
            | {"after": g.after, "means": g.means, "harm": g.harm}
            for n, g in enumerate(plan.gates)
        ),
    )
    _insert(
        connection,
        t.SOURCE,
        (
            {"build_id": build_id, "key": s.id, "title": s.title, "trust": s.trust.value}
            | {"edition": s.edition, "note": s.note}
            for s in plan.sources
        ),
    )
    _insert(
        connection,
        t.PLACE,
        (
            {"build_id": build_id, "group": group, "position": n, "key": place.id, "title": place.title}
            for group, places in groups_of(plan).items()
            for n, place in enumerate(places)
        ),
    )
    _write_named(connection, build_id, plan)
    _write_lines(connection, build_id, blank.plan_lines)


def _write_named(connection: Connection, build_id: int, plan: Plan) -> None:
    named: dict[str, tuple[Option | Group | Fasteners | Happening, ...]] = {
        "option": plan.options,
        "group": plan.groups,
        "fasteners": plan.fasteners,
        "happening": plan.happenings,
    }
    _insert(
        connection,
        t.NAMED,
        (
            {"build_id": build_id, "kind": kind, "key": one.id, "value": to_builtins(one)}
            for kind, found in named.items()
            for one in found
        ),
    )
    _insert(
        connection,
        t.NAMED,
        (
            {"build_id": build_id, "kind": "tightening", "key": step.id, "value": to_builtins(step.tightening)}
            for step in plan.steps()
            if step.tightening is not None
        ),
    )
    _insert(
        connection,
        t.NAMED,
        (
            {"build_id": build_id, "kind": "measure", "key": step.id, "value": to_builtins(step.measure)}
            for step in plan.steps()
            if step.measure is not None
        ),
    )


def _write_lines(connection: Connection, build_id: int, lines: Iterable[Line]) -> None:
    for line in lines:
        values = _step_values(line) | {"build_id": build_id}
        step_id = insert_row(connection, t.STEP, values)
        step = line.step
        _insert(connection, t.RELATION, ({"step_id": step_id} | relation for relation in _relations(step)))
        _insert(
            connection,
            t.PART,
            (
                {"step_id": step_id, "key": p.id, "name": p.name, "count": p.count, "one_use": p.one_use}
                | {"fit": p.fit.value if p.fit else None}
                for p in step.parts
            ),
        )
        _insert(
            connection,
            t.TEMPORARY,
            (
                {"step_id": step_id, "key": i.id, "name": i.name, "where": i.where, "count": i.count}
                | {"turning_ok": i.turning_ok}
                for i in step.puts_in
            ),
        )
        if step.spec is not None:
            connection.execute(insert(t.SPEC).values({"step_id": step_id} | _spec_values(step.spec)))


def _step_values(line: Line) -> dict[str, Any]:
    step = line.step
    values = {name: getattr(step, name) for name in _SAME_NAME}
    values |= {name: list(getattr(step, name)) for name in _LISTS}
    return values | {
        "position": line.position,
        "number": line.number,
        "stage": line.stage,
        "key": step.id,
        "where": step.where.value,
        "caution_level": step.caution.level.value if step.caution else None,
        "caution_text": step.caution.text if step.caution else None,
        "follow_up": step.follow_up.after if step.follow_up else None,
        "easy": [feature.value for feature in step.easy],
        "role": step.role.value if step.role else None,
        "turns": step.turns.value if step.turns else None,
    }


def _spec_values(spec: Spec) -> dict[str, Any]:
    return {
        "kind": spec.kind.value,
        "limits": spec.limits,
        "unit": spec.unit,
        "source": spec.source,
        "record": spec.record.value if spec.record else None,
        "rounds": spec.rounds,
        "state": spec.state,
        "choices": list(spec.choices),
        "good": list(spec.good),
        "note": spec.note,
    }


def _relations(step: Step) -> Iterable[dict[str, Any]]:
    empty = {"wait": "", "within": "", "because": "", "option": "", "any_of": [], "until": ""}
    for need in needed(step):
        times = {"wait": need.wait, "within": need.within, "because": need.because}
        yield empty | {"kind": "needs", "target": need.step} | times
    for kind in ("before", "hides", "disturbs", "undoing_disturbs", "shares", "latest"):
        for target in getattr(step, kind):
            yield empty | {"kind": kind, "target": target}
    for kind in ("trial_of", "stands_in_for"):
        if getattr(step, kind):
            yield empty | {"kind": kind, "target": getattr(step, kind)}
    for spell in step.not_while:
        yield empty | {"kind": "not_while", "target": spell.after, "until": spell.until, "because": spell.because}
    for when in step.when:
        yield empty | {"kind": "when", "target": when.step, "option": when.option, "any_of": list(when.any_of)}


def _insert(connection: Connection, table: Table, rows: Iterable[dict[str, Any]]) -> None:
    found = list(rows)
    if found:
        connection.execute(insert(table), found)


def insert_row(connection: Connection, table: Table, values: dict[str, Any]) -> int:
    """Insert one row and give its new id."""
    key = connection.execute(insert(table).values(values)).inserted_primary_key
    assert key is not None  # every table with an id of its own gives it
    return int(key[0])
