"""The order in which the bolts of a joint are tightened and slackened, and its passes."""

from app.sheet.draw.bolts import BoltMark, bolt_drawing
from app.sheet.draw.drawing import Drawing
from app.sheet.sections import Section
from app.sheet.setting import TRAY_DRAWING
from app.sheet.sums.reading import numbers, split
from app.sheet.sums.shown import both, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.sheet.tighten import CAUTION
from app.trade.notation import read_quantity
from app.trade.pattern import MOST_BOLTS, Pattern, circle, from_list, slackening, spiral
from app.trade.quantity import Kind
from app.trade.tables import Known
from app.trade.tightening import Pass, listed_passes, passes

ROWS, CIRCLE, OWN = "rows", "circle", "own order"
ASKS = (
    Ask("stand", "The bolts stand", choices=(ROWS, CIRCLE, OWN), default=ROWS),
    Ask("bolts", "Bolts in each row", "5, 5; on a circle how many, 8"),
    Ask("order", "Own order", "the sheet's: 3, 8, 2, 7 …", optional=True),
    Ask("torque", "Torque", "60 N·m", optional=True),
    Ask("passes", "Passes", "30 %, 70 %, 100 %, or 20, 40, 60 N·m", optional=True),
)
_SPIRAL = formula("From the middle outwards in a spiral", "cylinder heads", Known.PRACTICE)
_CIRCLE = formula("Crosswise on a circle", "US Army TM 5-3805-248-23-1", Known.READ)
_OWN = "The order as it was typed: note the sheet it is from"
_PASSES = formula("First pass at 70 %", "US Army TM 5-3805-248-23-1", Known.READ)
_BACK = formula("Slackened from the ends to the middle", "makers' service data", Known.READ)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The order, drawn as the part lies, the slackening order, and every pass."""
    pattern = _pattern(typed)
    steps = _passes(typed)
    back = slackening(pattern)
    first = {ROWS: _SPIRAL, CIRCLE: _CIRCLE, OWN: _OWN}[typed.text("stand")]
    sources = [first, _BACK, *([_PASSES] if steps and not typed.text("passes") else [])]
    counted = "from the top, clockwise" if typed.text("stand") == CIRCLE else "row by row, from the left"
    sections = [
        Section("Tighten in this order", (), drawing=_drawing(pattern)),
        section("", f"Counted {counted}, that is bolt {_listed(pattern.order)}."),
        section("Slacken in this order", _listed(back.order)),
    ]
    if steps:
        rows = [_pass(one, _unit(typed)) for one in steps]
        sections.append(section("Passes", *rows, "Every bolt gets a pass before the next one begins."))
    sections += [
        section("Before you trust it", "The maker's order goes first where there is one.", CAUTION),
        sources_section(sources),
    ]
    values = {
        "order": list(pattern.order),
        "slackening": list(back.order),
        "passes_nm": [one.torque_nm for one in steps],
        "sources": sources,
    }
    return Answer(tuple(sections), values)


def _pattern(typed: Typed) -> Pattern:
    counts = typed.of("bolts", numbers)
    stand = typed.text("stand")
    if sum(counts) > MOST_BOLTS:
        raise typed.fault("bolts", f"that is over {MOST_BOLTS} bolts; give one joint at a time.")
    if stand == CIRCLE:
        if len(counts) != 1:
            raise typed.fault("bolts", "a circle takes one number: how many stand on it.")
        return typed.of("bolts", lambda _: circle(counts[0]))
    rows = typed.of("bolts", lambda _: spiral(counts))
    if stand == ROWS:
        return rows
    if not typed.text("order"):
        raise typed.fault(
            "order", "still to be given: the bolts' numbers, row by row from the left, as the sheet has them."
        )
    return typed.of("order", lambda text: from_list(numbers(text), rows.at))


def _passes(typed: Typed) -> tuple[Pass, ...]:
    if not typed.text("passes"):
        return passes(typed.torque("torque").magnitude) if typed.text("torque") else ()
    texts = split(typed.text("passes"))
    if texts and texts[-1].endswith("%"):
        if not typed.text("torque"):
            raise typed.fault("torque", "shares need the torque they are shares of.")
        final = typed.torque("torque").magnitude
        shares = typed.of("passes", lambda _: tuple(_share(one, typed.decimal) for one in texts))
        return typed.of("passes", lambda _: passes(final, shares))
    return typed.of("passes", lambda _: listed_passes(_torques(texts, typed.decimal)))


def _share(text: str, decimal: str) -> float:
    return read_quantity(text, Kind.SHARE, unit="%", decimal=decimal).magnitude / 100


def _torques(texts: list[str], decimal: str) -> tuple[float, ...]:
    """The torques of a list; one without a unit takes the last one's."""
    last = read_quantity(texts[-1], Kind.TORQUE, unit="N·m", decimal=decimal) if texts else None
    unit = last.unit if last else "N·m"
    return tuple(read_quantity(one, Kind.TORQUE, unit=unit, decimal=decimal).magnitude for one in texts)


def _pass(one: Pass, unit: str) -> str:
    return f"Pass {one.number}: {both(one.torque_nm, unit)}" if one.torque_nm is not None else f"Pass {one.number}"


def _unit(typed: Typed) -> str:
    """The unit the torques are written in."""
    if typed.text("torque"):
        return typed.torque("torque").unit
    last = split(typed.text("passes"))[-1]
    return read_quantity(last, Kind.TORQUE, unit="N·m", decimal=typed.decimal).unit


def _listed(order: tuple[int, ...]) -> str:
    return ", ".join(str(bolt) for bolt in order)


def _drawing(pattern: Pattern) -> Drawing:
    when = {bolt: number for number, bolt in enumerate(pattern.order, 1)}
    bolts = [BoltMark(str(bolt), f"Bolt {bolt}", when[bolt], ()) for bolt in range(1, len(pattern.at) + 1)]
    rows = len({round(at[1], 6) for at in pattern.at})
    height = TRAY_DRAWING * (0.42 if rows == 1 else 0.64 if rows == 2 else 0.9)
    return bolt_drawing(bolts, pattern, width=TRAY_DRAWING, height=height)


PATTERN = Sum(
    id="pattern",
    title="Tightening order",
    about="The order for rows of bolts, a circle, or a sheet's own, its reverse, and the passes.",
    group=Group.BOLTS,
    asks=ASKS,
    work=work,
    example={"stand": ROWS, "bolts": "5, 5", "torque": "60 N·m", "passes": "30 %, 70 %, 100 %"},
)
