"""The crank as a dial, and the valves of the whole cycle beside it: once for screen and paper.

Crank angles are in degrees, 0 to 720 to a cycle, 0 at the first cylinder's firing TDC, growing in the running
direction.
"""

import math
from collections.abc import Sequence

from msgspec import Struct

from app.assembly.said.marks import State
from app.sheet.draw import marks
from app.sheet.draw.drawing import Anchor, Drawing, Label, Target
from app.sheet.draw.marks import Frame
from app.sheet.draw.shapes import Command, Path, dot, placed, polygon, rectangle, ruled
from app.sheet.draw.tokens import Token
from app.trade.verdict import Verdict

CYCLE_DEG, TURN_DEG = 720.0, 360.0

# The dial, for a drawing 360 wide.
_WIDE = 360.0
_RADIUS = 150.0
_SPAN = 164.0
_SPAN_STROKE = 8.0
_END = 11.0
_HUB = 9.0
_WAY = 40.0
_WAY_DEG = (30.0, 80.0)
_BELOW = 30.0
# The least degrees between a figure and the hand that would lie over it.
_CLEAR_DEG = 20.0
_WORDS, _STRONG = 17.0, 20.0


def dial_drawing(stop_deg: float, back_deg: float, forward_deg: float, *, width: float, paper: bool = False) -> Drawing:
    """Draw the crank at a stop, and the span it may stand in with the offered valves still free.

    `stop_deg` is the crank angle, 0 to 720; the dial shows one turn, and words say which. `back_deg` and `forward_deg`
    are how far the crank may stand before and past it, 0 or more. Raises ValueError for any other figure and for a
    width that is not more than 0.
    """
    _check(stop_deg, back_deg, forward_deg, width)
    k, hand = width / _WIDE, stop_deg % TURN_DEG
    centre = width / 2
    printed: Token = "text" if paper else "ink"
    shapes = [dot(centre, centre, _RADIUS * k, "text", 2.5 * k), *_ticks(centre, k)]
    shapes += _span(centre, k, hand, (back_deg, forward_deg), printed)
    shapes += [*_hand(centre, k, hand), *_way(centre, k, hand)]
    labels = [*_quarters(centre, k, hand), *_safe_words(centre, k, hand, (back_deg, forward_deg), printed)]
    labels.append(Label(centre, width + _BELOW * k / 2, _where(stop_deg), _WORDS * k, 400, "quiet"))
    spoken = f"{_where(stop_deg)}, safe to stand {_safe(back_deg, forward_deg)}"
    targets = (Target("crank", spoken, 0.0, 0.0, width, width),)
    return Drawing(width, width + _BELOW * k, tuple(shapes), tuple(labels), targets)


def _check(stop_deg: float, back_deg: float, forward_deg: float, width: float) -> None:
    if not (math.isfinite(stop_deg) and 0 <= stop_deg <= CYCLE_DEG):
        raise ValueError(f"The crank stands at 0° to 720° of its cycle, not at {stop_deg:g}°: take whole cycles off.")
    for figure in (back_deg, forward_deg):
        if not (math.isfinite(figure) and figure >= 0):
            raise ValueError(f"The crank cannot stand {figure:g}° off its stop: give 0° or more each way.")
    if not (math.isfinite(width) and width > 0):
        raise ValueError(f"A dial {width:g} wide cannot be drawn: give it a width of more than 0.")


def _at(centre: float, radius: float, deg: float) -> tuple[float, float]:
    """The point at a crank angle: 0 at the top, growing clockwise."""
    turn = math.radians(deg)
    return centre + radius * math.sin(turn), centre - radius * math.cos(turn)


def _arc(centre: float, radius: float, start_deg: float, end_deg: float) -> tuple[Command, ...]:
    """An arc of cubics, each of an eighth of a turn at most: off by less than 0.001 % of the radius."""
    pieces = max(1, math.ceil((end_deg - start_deg) / 45 - 1e-9))
    step = (end_deg - start_deg) / pieces
    reach = radius * 4 / 3 * math.tan(math.radians(step) / 4)
    commands: list[Command] = [("M", _at(centre, radius, start_deg))]
    for n in range(pieces):
        a, b = start_deg + n * step, start_deg + (n + 1) * step
        (x1, y1), (x2, y2) = _at(centre, radius, a), _at(centre, radius, b)
        ta, tb = math.radians(a), math.radians(b)
        first = (x1 + reach * math.cos(ta), y1 + reach * math.sin(ta))
        last = (x2 - reach * math.cos(tb), y2 - reach * math.sin(tb))
        commands.append(("C", (*first, *last, x2, y2)))
    return tuple(commands)


def _line(a: tuple[float, float], b: tuple[float, float], ink: Token, stroke: float) -> Path:
    return Path((("M", a), ("L", b)), ink, stroke=stroke)


def _ticks(centre: float, k: float) -> list[Path]:
    """A tick every 15°, longer every 30° and longest at the quarters."""
    found = []
    for deg in range(0, 360, 15):
        long, stroke = (18.0, 2.5) if deg % 90 == 0 else (11.0, 1.4) if deg % 30 == 0 else (6.0, 1.4)
        ends = _at(centre, _RADIUS * k, deg), _at(centre, (_RADIUS - long) * k, deg)
        found.append(_line(*ends, "text", stroke * k))
    return found


def _span(centre: float, k: float, hand: float, off: tuple[float, float], ink: Token) -> list[Path]:
    """The arc the crank may stand on, with an end mark on either side; a whole ring where it may stand anywhere."""
    back, forward = off
    whole = back + forward >= TURN_DEG
    start, end = (0.0, TURN_DEG) if whole else (hand - back, hand + forward)
    drawn = [Path(_arc(centre, _SPAN * k, start, end), ink, stroke=_SPAN_STROKE * k)] if end > start else []
    if whole:
        return drawn
    ends = [
        _line(_at(centre, (_SPAN - _END) * k, deg), _at(centre, (_SPAN + _END) * k, deg), ink, 3.0 * k)
        for deg in (start, end)
    ]
    return [*drawn, *ends]


def _hand(centre: float, k: float, hand: float) -> list[Path]:
    tip, neck = _at(centre, (_RADIUS - 3) * k, hand), _at(centre, (_RADIUS - 28) * k, hand)
    across = math.radians(hand)
    side = (11 * k * math.cos(across), 11 * k * math.sin(across))
    head = polygon((tip, (neck[0] + side[0], neck[1] + side[1]), (neck[0] - side[0], neck[1] - side[1])), "text")
    shaft = _line(_at(centre, -26 * k, hand), neck, "text", 5.0 * k)
    return [shaft, head, dot(centre, centre, _HUB * k, "paper"), dot(centre, centre, _HUB * k, "text", 3.0 * k)]


def _way(centre: float, k: float, hand: float) -> list[Path]:
    """A bent arrow ahead of the hand: the running direction."""
    start, end = hand + _WAY_DEG[0], hand + _WAY_DEG[1]
    bent = Path(_arc(centre, _WAY * k, start, end - 8), "text", stroke=2.0 * k)
    tip = _at(centre, _WAY * k, end + 6)
    sides = _at(centre, (_WAY + 6) * k, end - 10), _at(centre, (_WAY - 6) * k, end - 10)
    return [bent, polygon((tip, *sides), "text")]


def _quarters(centre: float, k: float, hand: float) -> list[Label]:
    found = []
    for deg in (0, 90, 180, 270):
        apart = abs((deg - hand + 180) % 360 - 180)
        if apart >= _CLEAR_DEG:
            x, y = _at(centre, (_RADIUS - (40 if deg % 180 else 34)) * k, deg)
            found.append(Label(x, y, f"{deg}°", _WORDS * k, 400, "quiet"))
    return found


def _safe_words(centre: float, k: float, hand: float, off: tuple[float, float], ink: Token) -> list[Label]:
    """How far off the crank may stand, in the half of the dial the hand is not in."""
    below = math.cos(math.radians(hand)) >= -1e-9
    near, far = (58.0, 80.0) if below else (-80.0, -58.0)
    return [
        Label(centre, centre + near * k, "safe to stand", _WORDS * k, 400, "quiet"),
        Label(centre, centre + far * k, _safe(*off), _STRONG * k, 700, ink),
    ]


def _safe(back_deg: float, forward_deg: float) -> str:
    """“97° either way”; rounded down, so that no one stands on a ramp for half a degree."""
    if back_deg + forward_deg >= TURN_DEG:
        return "anywhere"
    # What stands a hair under a whole degree only by the sums that led to it is that degree.
    back, forward = (math.floor(figure + 1e-6) for figure in (back_deg, forward_deg))
    return f"{back}° either way" if back == forward else f"{back}° back, {forward}° on"


def _where(stop_deg: float) -> str:
    turn = "second" if TURN_DEG <= stop_deg < CYCLE_DEG else "first"
    return f"crank at {stop_deg % CYCLE_DEG:g}°, {turn} turn"


# --- the valves against the cycle


class ValveRow(Struct, frozen=True):
    """One valve on the map.

    `arc` is the crank degree at which it starts to lift, 0 to 720, and for how many degrees it stays lifted;
    `margin_deg` how far the crank stands off that, negative while it is lifted. A valve that is `offered` has a box
    with its `state` and a field with its `value` and `verdict`; any other says
    `other` (“stop 2”).
    """

    key: str
    title: str
    intake: bool
    arc: tuple[float, float]
    margin_deg: float
    offered: bool
    state: State = State.TO_DO
    value: str = ""
    other: str = ""
    verdict: Verdict | None = None


LEAST_WIDTH, LEAST_ROW = 480.0, 32.0
_BOX_AT = 122.0
_BOX = 24.0
_MAP_LEFT, _MAP_RIGHT = 175.0, 228.0
_MARGIN_FROM_RIGHT = 178.0
_FIELD_FROM_RIGHT, _FIELD_WIDE, _FIELD_HIGH = 112.0, 84.0, 30.0
_HEAD, _LEGEND = 30.0, 44.0
HEAD_AND_LEGEND = _HEAD + _LEGEND
_BAR = 20.0
_SMALL, _TITLE = 15.0, 19.0
_VERDICT = 0.72


def valve_map(
    rows: Sequence[ValveRow],
    stop_deg: float,
    *,
    width: float,
    row_height: float,
    chosen: str = "",
    paper: bool = False,
    fields: bool = True,
) -> Drawing:
    """Draw each valve's lift against 0 to 720 degrees: exhaust solid, intake hatched, a line where the crank stands.

    The field of the `chosen` valve is drawn as the one in hand. On paper a box is empty unless its valve is done.
    Without `fields` nothing is written on the map, and each row says only at which stop its valve is set.
    Raises ValueError for a crank angle outside 0 to 720, for less than 480 in width or 32 in row height, and for a lift
    that begins outside the cycle.
    """
    _check(stop_deg, 0.0, 0.0, width)
    if width < LEAST_WIDTH or row_height < LEAST_ROW:
        raise ValueError(f"A valve map needs {LEAST_WIDTH:g} in width and {LEAST_ROW:g} for each row: give it more.")
    shapes: list[Path] = [ruled(f"M0 {_HEAD} H{width}", "text", 2.0)]
    labels = _heads(width, fields=fields)
    targets: list[Target] = []
    low = _HEAD + len(rows) * row_height
    for n, row in enumerate(rows):
        top = _HEAD + n * row_height
        drawn, words = _row(row, top + row_height / 2, width, paper=paper, fields=fields)
        if fields and row.offered and row.key == chosen:
            drawn += _in_hand(width - _FIELD_FROM_RIGHT, top + row_height / 2)
        shapes += [*drawn, ruled(f"M0 {top + row_height} H{width}", "hair", 1.0)]
        labels += words
        targets.append(Target(row.key, _spoken(row), 0.0, top, width, top + row_height))
    shapes += _crank_line(_across(stop_deg, width), _HEAD, low, paper=paper)
    drawn, words = _legend(low + _LEGEND / 2, paper=paper)
    return Drawing(width, low + _LEGEND, (*shapes, *drawn), (*labels, *words), tuple(targets))


def _across(deg: float, width: float) -> float:
    """Where a crank angle stands on the map."""
    return _MAP_LEFT + deg / CYCLE_DEG * (width - _MAP_LEFT - _MAP_RIGHT)


def _heads(width: float, *, fields: bool) -> list[Label]:
    degrees = [
        Label(_across(deg, width), 14.0, f"{deg}°", _SMALL, 400, "quiet")
        for deg in ((0, 180, 360, 540, 720) if width >= 720 else (0, 360, 720))
    ]
    named = (
        (0.0, "Valve"),
        (width - _MARGIN_FROM_RIGHT, "Margin"),
        (width - _FIELD_FROM_RIGHT, "Lash" if fields else "Set at"),
    )
    return [*degrees, *(Label(x, 14.0, text, _SMALL, 400, "quiet", Anchor.START) for x, text in named)]


def _row(row: ValveRow, y: float, width: float, *, paper: bool, fields: bool) -> tuple[list[Path], list[Label]]:
    ink: Token = "text" if row.offered else "quiet"
    shapes = [ruled(f"M{_across(0, width)} {y} H{_across(CYCLE_DEG, width)}", "rule", 1.2)]
    for start, end in lifted(row.arc):
        shapes += _bar(_across(start, width), _across(end, width), y, hatched=row.intake)
    weight = 700 if row.offered else 400
    margin = "open" if row.margin_deg < 0 else f"{math.floor(row.margin_deg + 1e-6)}°"
    labels = [
        Label(0.0, y, row.title, _TITLE, weight, ink, Anchor.START),
        Label(width - _MARGIN_FROM_RIGHT, y, margin, _TITLE, weight, ink, Anchor.START),
    ]
    if not row.offered:
        other = Label(width - _FIELD_FROM_RIGHT, y, row.other, _SMALL, 400, "quiet", Anchor.START)
        return shapes, [*labels, other] if row.other else labels
    if not fields:
        return shapes, [*labels, Label(width - _FIELD_FROM_RIGHT, y, "this stop", _SMALL, 700, ink, Anchor.START)]
    shapes += [*_box(row, y, paper=paper), *_field(width - _FIELD_FROM_RIGHT, y)]
    if row.value:
        end = width - _FIELD_FROM_RIGHT + _FIELD_WIDE - 8
        labels.append(Label(end, y, row.value, _TITLE, 700, "ink", Anchor.END))
    if row.verdict:
        left = width - _FIELD_FROM_RIGHT + _FIELD_WIDE + 1
        shapes += placed(marks.verdict(row.verdict), left, y - 12 * _VERDICT, _VERDICT)
    return shapes, labels


def lifted(arc: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    """The pieces of a lift inside 0 to 720 degrees: one that runs past the end begins anew at 0.

    `arc` is where it begins and for how many degrees it lasts. Raises ValueError for a beginning outside 0 to 720, and
    for one that lasts for less than 0.
    """
    opens, lasts = arc
    if not (0 <= opens <= CYCLE_DEG and 0 <= lasts < math.inf):
        raise ValueError(
            f"A valve that lifts at {opens:g}° for {lasts:g}° is not of one cycle: begin within 0° to 720°."
        )
    if lasts >= CYCLE_DEG:
        return ((0.0, CYCLE_DEG),)
    end = opens + lasts
    if end <= CYCLE_DEG:
        return ((opens, end),)
    return tuple(piece for piece in ((0.0, end - CYCLE_DEG), (opens, CYCLE_DEG)) if piece[1] > piece[0])


def _bar(left: float, right: float, y: float, *, hatched: bool) -> list[Path]:
    top, low = y - _BAR / 2, y + _BAR / 2
    if not hatched:
        return [rectangle(left, top, right, low, "text")]
    wide = right - left
    ground = rectangle(left, top, right, low, "paper")
    hatch = placed(marks.stripes(wide, _BAR, "text", on=1.8, off=4.2), left, top)
    inset = min(0.75, wide / 2)
    return [ground, *hatch, rectangle(left + inset, top + 0.75, right - inset, low - 0.75, "text", 1.5)]


def _box(row: ValveRow, y: float, *, paper: bool) -> list[Path]:
    shown = row.state if not paper or row.state is State.DONE else State.TO_DO
    drawn = (*marks.frame(Frame.READ, _BOX), *marks.mark(shown.value, _BOX))
    return list(placed(drawn, _BOX_AT, y - _BOX / 2, _BOX / marks.BOX))


def _field(left: float, y: float) -> list[Path]:
    """A field open at the top."""
    top, low, right = y - _FIELD_HIGH / 2, y + _FIELD_HIGH / 2, left + _FIELD_WIDE
    return [ruled(f"M{left} {top} V{low} H{right} V{top}", "text", 1.2)]


def _in_hand(left: float, y: float) -> list[Path]:
    """A frame around the field that the next value goes into."""
    top, low, right = y - _FIELD_HIGH / 2 - 2, y + _FIELD_HIGH / 2 + 2, left + _FIELD_WIDE + 2
    return [rectangle(left - 2, top, right, low, "ink", 2.5)]


def _crank_line(x: float, top: float, low: float, *, paper: bool) -> list[Path]:
    """The line where the crank stands, with a little ground beside it, so that it shows on a solid bar too."""
    return [
        rectangle(x - 4, top + 1, x + 4, low, "paper"),
        rectangle(x - 2, top, x + 2, low, "text" if paper else "ink"),
    ]


def _legend(y: float, *, paper: bool) -> tuple[list[Path], list[Label]]:
    shapes = [*_bar(0.0, 36.0, y, hatched=False), *_bar(170.0, 206.0, y, hatched=True)]
    shapes.append(rectangle(338.0, y - _BAR / 2, 342.0, y + _BAR / 2, "text" if paper else "ink"))
    named = ((44.0, "exhaust lifted"), (214.0, "intake lifted"), (350.0, "crank now"))
    return shapes, [Label(x, y, text, _SMALL, 400, "text", Anchor.START) for x, text in named]


def _spoken(row: ValveRow) -> str:
    if not row.offered:
        return ", ".join(word for word in (row.title, "not at this stop", row.other) if word)
    value = row.value or "no value"
    return f"{row.title}, margin {math.floor(row.margin_deg + 1e-6)}°, {row.state.value.replace('-', ' ')}, {value}"
