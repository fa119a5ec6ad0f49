"""The bolts of a joint drawn as the part lies, and the wrench with its adapter: once for screen and paper."""

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from app.assembly.said.marks import State
from app.sheet.draw import marks
from app.sheet.draw.drawing import Drawing, Label, Target
from app.sheet.draw.marks import Frame
from app.sheet.draw.shapes import Path, dot, placed, polygon, rectangle, ruled, solid
from app.sheet.draw.tokens import Token
from app.trade.pattern import Pattern


class BoltMark(Struct, frozen=True):
    """One bolt as it is drawn: its number in the order, the state of each of its passes, and whether it comes next."""

    key: str
    title: str
    number: int
    passes: tuple[State, ...]
    here: bool = False
    trouble: bool = False


HEX = 26.0
BOX = 24.0
GAP = 30.0
# From a bolt's middle to its boxes', and the room kept free at the frame's sides, all at full size.
_TO_BOXES = HEX + 22.0
_SIDE = 66.0
_END = 82.0


def bolt_drawing(
    bolts: Sequence[BoltMark], pattern: Pattern, *, width: float, height: float, bores: int = 0, paper: bool = False
) -> Drawing:
    """Draw bolts in a frame `width` x `height`: each a hexagon with its number, its passes as small boxes beside it.

    `bolts` stand in the order of the pattern's own counting; the front of the engine lies at the left. On paper every
    box is empty but the done ones, and nothing is marked as next.
    """
    deep = max((len(bolt.passes) for bolt in bolts), default=1)
    size = _size(pattern, width, height, deep)
    points = [_point(at, pattern, width, height, size) for at in pattern.at]
    shapes: list[Path] = [rectangle(1, 1, width - 1, height - 1, "text", 2.0)]
    labels: list[Label] = []
    targets: list[Target] = []
    shapes += _bores(bores, points, width, size, labels)
    for bolt, (x, y) in zip(bolts, points, strict=True):
        up = -1 if y <= height / 2 else 1
        drawn, words = _bolt(bolt, size, paper=paper)
        shapes += placed(drawn, x, y)
        labels += [Label(x, y, one.text, one.size, one.weight, one.ink) for one in words]
        row_y = y + up * _TO_BOXES * size
        shapes += _boxes(bolt, x, row_y, size)
        half = max(deep * GAP / 2, HEX + 6) * size
        ends = sorted((row_y + up * 14 * size, y - up * HEX * size))
        targets.append(Target(bolt.key, _spoken(bolt), x - half, ends[0], x + half, ends[1]))
    return Drawing(width, height, tuple(shapes), tuple(labels), tuple(targets))


def _size(pattern: Pattern, width: float, height: float, deep: int) -> float:
    """How large a bolt is drawn, 1 at the most: what the nearest neighbours across and down leave room for."""
    columns = _apart([at[0] for at in pattern.at], width)
    rows = len({round(at[1], 6) for at in pattern.at})
    # The outermost rows stand by their boxes from the frame; between rows there is a hexagon's room and a little air.
    down = min(height / max(rows * 2.0 * (HEX + BOX), 150.0), height / (2 * _END + (rows - 1) * 2.3 * HEX))
    across = columns / (max(deep * GAP, 2 * HEX) + 8)
    return max(0.3, min(1.0, across, down))


def _apart(values: Sequence[float], length: float) -> float:
    """The least distance between two different columns of bolts."""
    found = sorted({round(value, 6) for value in values})
    gaps = [b - a for a, b in pairwise(found)]
    if not gaps:
        return length
    return min(gaps) / (found[-1] - found[0]) * (length - 2 * _SIDE)


def _point(at: tuple[float, float], pattern: Pattern, width: float, height: float, size: float) -> tuple[float, float]:
    """A bolt's place in the frame: the outermost stand as near the frame as their boxes allow."""
    (left, right), (top, bottom) = (_ends([point[axis] for point in pattern.at]) for axis in (0, 1))
    x = (at[0] - left) / (right - left) if right > left else 0.5
    y = (at[1] - top) / (bottom - top) if bottom > top else 0.5
    side, end = _SIDE * max(size, 0.6), _END * size
    return side + x * (width - 2 * side), end + y * (height - 2 * end)


def _ends(values: Sequence[float]) -> tuple[float, float]:
    return min(values), max(values)


def _bores(
    count: int, points: Sequence[tuple[float, float]], width: float, size: float, labels: list[Label]
) -> list[Path]:
    """The cylinders between the rows, so that nobody holds the drawing the wrong way round."""
    if not count:
        return []
    top, bottom = _ends([y for _, y in points])
    room = (width - 1.4 * _SIDE) / count
    radius = min(room * 0.42, (bottom - top) / 2 - HEX * size - 6)
    if radius < 8:
        return []
    drawn = []
    for n in range(count):
        x = width / 2 + (n - (count - 1) / 2) * room
        drawn.append(dot(x, (top + bottom) / 2, radius, "rule", 1.5))
        labels.append(Label(x, (top + bottom) / 2, str(n + 1), 17, 400, "quiet"))
    return drawn


def _bolt(bolt: BoltMark, size: float, *, paper: bool) -> tuple[list[Path], list[Label]]:
    corners = [
        (HEX * size * math.sin(math.radians(60 * n)), HEX * size * math.cos(math.radians(60 * n))) for n in range(6)
    ]
    done = bool(bolt.passes) and all(state is State.DONE for state in bolt.passes)
    ink: Token = "stop" if bolt.trouble else "ink" if bolt.here and not paper else "text"
    heavy = 4.0 if (bolt.here and not paper) or bolt.trouble else 2.0
    filled = done and not paper
    shapes = [polygon(corners, "ink")] if filled else []
    shapes.append(polygon(corners, "ink" if filled else ink, heavy * max(size, 0.7)))
    word: Token = "paper" if filled else "text"
    return shapes, [Label(0, 0, str(bolt.number), 20 * size, 700, word)]


def _boxes(bolt: BoltMark, x: float, y: float, size: float) -> list[Path]:
    side = BOX * size
    drawn: list[Path] = []
    for n, state in enumerate(bolt.passes):
        left = x + (n - (len(bolt.passes) - 1) / 2) * GAP * size - side / 2
        drawn += placed(marks.frame(Frame.DO, side), left, y - side / 2, side / marks.BOX)
        drawn += placed(marks.mark(state.value, max(side, 16)), left, y - side / 2, side / marks.BOX)
    return drawn


def _spoken(bolt: BoltMark) -> str:
    done = sum(state is State.DONE for state in bolt.passes)
    here = ", next" if bolt.here else ""
    return f"{bolt.number}, {bolt.title}, {done} of {len(bolt.passes)} passes done{here}"


# --- the wrench and its adapter


def wrench_drawing(lever: str, adapter: str, angle_deg: float, *, width: float = 300.0) -> Drawing:
    """Draw a wrench from where it is held to the bolt, with its adapter at the angle it is on, and the two lengths.

    The lengths are words, as typed; the picture is not to scale. Straight ahead is 0°, square 90°, folded back 180°.
    """
    axis, drive = 40.0, width - 96.0
    handle = rectangle(0, axis - 8, 62, axis + 8, "text")
    shaft = rectangle(62, axis - 3.5, drive - 9, axis + 3.5, "text")
    head = rectangle(drive - 9, axis - 9, drive + 9, axis + 9, "text")
    shapes: list[Path] = [handle, shaft, head]
    labels: list[Label] = []
    ends = [(30.0, drive)]
    if adapter:
        turn = math.radians(angle_deg)
        x, y = drive + 56 * math.cos(turn), axis - 56 * math.sin(turn)
        shapes += [ruled(f"M{drive:.1f} {axis:.1f} L{x:.1f} {y:.1f}", "ink", 9.0), dot(x, y, 14, "paper")]
        shapes += [dot(x, y, 14, "ink", 3.0), dot(x, y, 6, "ink", 2.0)]
        labels.append(_length_label((drive, x), adapter, 84.0, "ink"))
        ends.append((min(drive, x), max(drive, x)) if abs(x - drive) > 12 else (drive, drive))
    else:
        shapes += [dot(drive, axis, 5, "paper")]
    labels.append(_length_label((30.0, drive), lever, 100.0 if adapter and _behind(angle_deg) else 84.0, "text"))
    for n, (left, right) in enumerate(ends):
        row = 70.0 if n or not (adapter and _behind(angle_deg)) else 86.0
        if right - left > 12:
            shapes += _measure(left, right, row)
    return Drawing(width, 112.0, tuple(shapes), tuple(labels))


def _behind(angle_deg: float) -> bool:
    """Whether the adapter lies back over the handle, so that the two lengths need a row each."""
    return math.cos(math.radians(angle_deg)) < 0


def _length_label(between: tuple[float, float], text: str, y: float, ink: Token) -> Label:
    return Label(sum(between) / 2, y, text, 17, 700 if ink == "ink" else 400, ink)


def _measure(left: float, right: float, y: float) -> list[Path]:
    line = ruled(
        f"M{left:.1f} {y - 7} V{y + 5} M{right:.1f} {y - 7} V{y + 5} M{left:.1f} {y} H{right:.1f}", "text", 1.2
    )
    heads = f"M{left:.1f} {y} L{left + 7:.1f} {y - 3} V{y + 3} Z M{right:.1f} {y} L{right - 7:.1f} {y - 3} V{y + 3} Z"
    return [line, solid(heads, "text")]
