"""Places on the engine, derived from its arrangement so that nobody types “intake 3” sixteen times."""

from collections.abc import Mapping

from msgspec import Struct

from app.assembly.plan.steps import Arrangement, Group, Measure, Plan, Step

ENGINE = "engine"


class Place(Struct, frozen=True):
    """One place a line is done or read at. `id` is what is typed, `title` what is said."""

    id: str
    title: str


def groups_of(plan: Plan) -> dict[str, tuple[Place, ...]]:
    """Every group of places a step of this plan may name: derived ones first, then the plan's own patterns."""
    found = derived_places(plan.arrangement)
    for group in plan.groups:
        found[group.id] = _pattern(group)
    return found


def places_of_step(step: Step, groups: Mapping[str, tuple[Place, ...]]) -> tuple[Place, ...]:
    """Where a step is done or read: each place of its group, or each point that is read there."""
    places = groups[step.places]
    points = read_points(step.measure)
    if not points:
        return places
    return tuple(Place(f"{place.id} {point}", f"{place.title} {point}") for place in places for point in points)


def read_points(measure: Measure | None) -> tuple[str, ...]:
    """The points a person reads at each place: those that are not taken from elsewhere."""
    if measure is None:
        return ()
    taken = {one.point for one in measure.takes}
    return tuple(point for point in measure.points if point not in taken)


def derived_places(engine: Arrangement) -> dict[str, tuple[Place, ...]]:
    """The groups of places that follow from how an engine is laid out."""
    cylinders = range(1, engine.cylinders + 1)
    intake = _valves("in", "Intake", engine.intake_per_cylinder, engine.cylinders)
    exhaust = _valves("ex", "Exhaust", engine.exhaust_per_cylinder, engine.cylinders)
    valves = tuple(valve for pair in _by_cylinder(intake, exhaust, engine) for valve in pair)
    return {
        "": (Place(ENGINE, "Engine"),),
        ENGINE: (Place(ENGINE, "Engine"),),
        "cylinders": _numbered("Cylinder", engine.cylinders),
        "mains": _numbered("Main", engine.mains),
        "crankpins": _numbered("Crankpin", engine.crankpins),
        "rods": _numbered("Rod", engine.cylinders),
        "cam-journals": _numbered("Cam journal", engine.cam_journals),
        "heads": _numbered("Head", engine.heads),
        "intake-valves": intake,
        "exhaust-valves": exhaust,
        "valves": valves,
        "lobes": valves,
        "lifters": valves,
        "rings": tuple(
            Place(f"{n}-{ring}", f"Cylinder {n} {ring} ring")
            for n in cylinders
            for ring in ring_names(engine.rings_per_piston)
        ),
    }


def ring_names(rings: int) -> tuple[str, ...]:
    """What the rings of a piston are called, from the crown down; the last of three or more is the oil ring."""
    names: dict[int, tuple[str, ...]] = {0: (), 1: ("top",), 2: ("top", "second"), 3: ("top", "second", "oil")}
    between = ("third", *(f"{n}th" for n in range(4, rings)))
    return names.get(rings, ("top", "second", *between, "oil"))


def _numbered(each: str, count: int) -> tuple[Place, ...]:
    return tuple(Place(str(n), f"{each} {n}") for n in range(1, count + 1))


def _valves(short: str, word: str, per_cylinder: int, cylinders: int) -> tuple[Place, ...]:
    letters = "abcdef"[:per_cylinder] if per_cylinder > 1 else ("",)
    return tuple(
        Place(f"{short}{n}{letter}", f"{word} {n}{letter}") for n in range(1, cylinders + 1) for letter in letters
    )


def _by_cylinder(intake: tuple[Place, ...], exhaust: tuple[Place, ...], engine: Arrangement) -> list[tuple[Place, ...]]:
    per_in, per_ex = engine.intake_per_cylinder, engine.exhaust_per_cylinder
    return [
        intake[n * per_in : (n + 1) * per_in] + exhaust[n * per_ex : (n + 1) * per_ex] for n in range(engine.cylinders)
    ]


def _pattern(group: Group) -> tuple[Place, ...]:
    if group.names:
        return tuple(Place(name, f"{group.each} {name}".strip()) for name in group.names)
    return _numbered(group.each or group.title, group.count)
