"""The box frames, pen marks and glyphs of the sheet; without a word on size, in a 24 x 24 box, y down."""

import math
from enum import Enum

from app.sheet.draw.shapes import Cap, Path, dot, parse, pen, polygon, rectangle, ruled, solid
from app.sheet.draw.tokens import PAPER_BOX_MM, PAPER_FRAME_PT, Token
from app.trade.verdict import Verdict

BOX = 24.0
STATES = ("to-do", "started", "done", "later", "not-needed", "stopped", "look-again")

_PT_PER_MM = 72 / 25.4


class Frame(Enum):
    """The kind of line a box belongs to: the number of sides doubled is 0, 1, 2 or 4."""

    DO = "do"
    READ = "read and write"
    MANY = "many alike"
    HOLD = "Hold"


def frame(kind: Frame, size_px: float) -> tuple[Path, ...]:
    """Return the printed box for a 24 x 24 box shown `size_px` wide, its lines set on whole pixels.

    The line is 1 px up to 24 px, 2 px up to 48 px, then size / 24, and lies inside the edges.
    """
    line = 1 if size_px <= 24 else 2 if size_px <= 48 else round(size_px / 24)
    pixel = BOX / size_px

    def edge(units: float) -> float:
        return math.floor(units / pixel + 0.5) * pixel

    return _frame(kind, edge(4), edge(20), (edge(1), edge(7), edge(23)), line * pixel)


def frame_on_paper(kind: Frame) -> tuple[Path, ...]:
    """Return the printed box for a 24 x 24 box that is 7.5 mm wide on paper; its line is 0.75 pt."""
    line = PAPER_FRAME_PT * BOX / (PAPER_BOX_MM * _PT_PER_MM)
    return _frame(kind, 4.0, 20.0, (1.0, 7.0, 23.0), line)


def _frame(kind: Frame, near: float, far: float, outer: tuple[float, float, float], line: float) -> tuple[Path, ...]:
    low, step, high = outer
    half = line / 2
    square = _outline(near, far, line)
    match kind:
        case Frame.DO:
            return (square,)
        case Frame.READ:
            return (square, ruled(f"M{near} {high - half} H{far}", "text", line))
        case Frame.MANY:
            return (square, ruled(f"M{step} {high - half} H{high - half} V{step}", "text", line))
        case Frame.HOLD:
            return (square, _outline(low, high, line))


def _outline(near: float, far: float, line: float) -> Path:
    half = line / 2
    return rectangle(near + half, near + half, far - half, far - half, "text", line)


def mark(state: str, size_px: float) -> tuple[Path, ...]:
    """Return the pen's mark for one of STATES in a 24 x 24 box shown `size_px` wide; nothing for "to-do".

    16 px is the smallest size to rely on; smaller, the state's word must stand beside it. Raises ValueError
    for any other state.
    """
    small, tiny = size_px < 20, size_px < 14

    def width(usual: float) -> float:
        return 2.0 if tiny else 1.95 if small else usual

    match state:
        case "to-do":
            return ()
        case "started":
            return (pen("M8.5 18.5 L18.8 4.2", "ink", width(2.65)),)
        case "done":
            return (pen("M4.6 11.6 L8.5 18.5 L18.8 4.2", "ink", width(2.65)),)
        case "later":
            return (pen("M9 7 V17 H15.5", "mind", width(2.3)),)
        case "not-needed" if tiny:
            return (pen("M9 17 V8.5 L15 15.5 V7", "quiet", 1.5),)
        case "not-needed":
            return (pen("M8 17 V7 L16 17 V7", "quiet", width(2.3)),)
        case "stopped":
            return (pen("M12 6 V12.6", "stop", width(3.1)), dot(12, 17, 1.7, "stop"))
        case "look-again" if tiny:
            return (pen("M9 9.6 V7.5 H15 V10 L12 11.6 V13.4", "mind", 1.7), dot(12, 17.2, 1.45, "mind"))
        case "look-again":
            hook = "M8.6 9.4 C8.6 5.2 15.6 5.2 15.4 9 C15.3 11.4 12 11.3 12 13.6"
            return (pen(hook, "mind", width(2.3)), dot(12, 17.2, 1.45, "mind"))
    raise ValueError(f"“{state}” is not a state of a line; the states are {', '.join(STATES)}.")


def place_arrow() -> tuple[Path, ...]:
    """Return the arrow that stands in the margin of the one line the work is at."""
    return (solid("M1 8.5 H12 V3 L23 12 L12 21 V15.5 H1 Z", "ink"),)


def gate_glyph(*, shut: bool, ink: Token = "text") -> tuple[Path, ...]:
    """Return two posts, joined by bars when the gate is shut; on a solid gate bar use ink "on_gate"."""
    posts = "M4 4 V21 M20 4 V21"
    bars = "M4 9.5 H20 M4 15.5 H20" if shut else "M4 9.5 H8.6 M4 15.5 H8.6 M15.4 9.5 H20 M15.4 15.5 H20"
    return (ruled(f"{posts} {bars}", ink, 2.6),)


# The verdict's colour, and where the diamond sits in the small drawing.
_VERDICTS: dict[Verdict, tuple[Token, float]] = {
    Verdict.IN: ("ink", 16.5),
    Verdict.OUT: ("stop", 30.0),
    Verdict.UNDECIDED: ("mind", 25.0),
}
_DIAMOND = 5.8


def verdict(kind: Verdict, ground: Token = "paper") -> tuple[Path, ...]:
    """Return the 36 x 24 drawing of a verdict: posts are the limits, the diamond the reading.

    `ground` is what it is drawn on; the hollow diamond is filled with it.
    """
    _, x = _VERDICTS[kind]
    return (*_posts((8.0, 25.0)), ruled("M8 12 H25", "rule", 1.2), *_diamond(kind, x, ground))


def verdict_to_scale(
    kind: Verdict,
    band: tuple[float, float],
    limits: tuple[float | None, float | None],
    width: float,
    ground: Token = "paper",
) -> tuple[Path, ...]:
    """Return the drawing, `width` x 24, of a reading's error band against its limits, all in one unit.

    The whiskers are the band, the posts the limits; a limit of None is not drawn. What lies too far out is set at the
    drawing's end. Raises ValueError when there is no limit.
    """
    known = [limit for limit in limits if limit is not None]
    if not known:
        raise ValueError("A reading without a limit cannot be drawn against one.")
    ink, _ = _VERDICTS[kind]
    # The limits take the middle half, so a reading just beyond one still shows where it lies.
    middle = (known[0] + known[-1]) / 2
    span = (known[-1] - known[0]) or 2 * max(band[1] - band[0], abs(sum(band) / 2 - middle)) or 1.0

    def across(figure: float) -> float:
        x = width / 2 + (figure - middle) / span * width / 2
        return min(max(x, _DIAMOND), width - _DIAMOND)

    posts = tuple(across(limit) for limit in known)
    line_from = posts[0] if limits[0] is not None else 0.0
    line_to = posts[-1] if limits[1] is not None else width
    left, right = across(band[0]), across(band[1])
    whiskers = ruled(f"M{left} 12 H{right} M{left} 8 V16 M{right} 8 V16", ink, 1.8)
    line = ruled(f"M{line_from} 12 H{line_to}", "rule", 1.2)
    return (line, *_posts(posts), whiskers, *_diamond(kind, across(sum(band) / 2), ground))


def _posts(at: tuple[float, ...]) -> tuple[Path, ...]:
    return tuple(ruled(f"M{x} 4 V20", "text", 2.0) for x in at)


def _diamond(kind: Verdict, x: float, ground: Token) -> tuple[Path, ...]:
    ink, _ = _VERDICTS[kind]
    corners = ((x - _DIAMOND, 12.0), (x, 12.0 - _DIAMOND), (x + _DIAMOND, 12.0), (x, 12.0 + _DIAMOND))
    if kind is Verdict.UNDECIDED:
        return (polygon(corners, ground), polygon(corners, ink, stroke=1.8))
    return (polygon(corners, ink),)


def wait_bar(width: float, done: float, *, runs_on: bool = False) -> tuple[Path, ...]:
    """Return the `width` x 24 drawing of a wait, `done` (0 to 1) of it over: solid up to now, dots after.

    `runs_on` puts an arrow head in place of the end post: the end lies beyond the drawing.
    """
    now = 1 + (width - 2) * min(max(done, 0.0), 1.0)
    end = width - 1
    shapes = [ruled("M1 4 V20", "text", 2.0)]
    if done > 0:
        shapes += [ruled(f"M1 12 H{now}", "ink", 4.0), ruled(f"M{now} 6 V18", "ink", 2.0)]
    if done < 1:
        # A dash of next to nothing with a round cap is a round dot.
        stop = end - 7 if runs_on else end - 3
        if stop > now + 6:
            shapes.append(Path(parse(f"M{now + 6} 12 H{stop}"), "ink", stroke=4.0, cap=Cap.ROUND, dash=(0.1, 7.0)))
    if runs_on:
        shapes.append(solid(f"M{end - 7} 6 L{end + 1} 12 L{end - 7} 18 Z", "ink"))
    else:
        shapes.append(ruled(f"M{end} 4 V20", "text", 2.0))
    return tuple(shapes)


def concession(*, signed: bool) -> tuple[Path, ...]:
    """Return the 30 x 24 signing line: a printed cross at its left and, when signed, a scrawl; never a tick."""
    printed = (ruled("M1 22 H29", "text", 2.0), ruled("M3 11 L10 18 M10 11 L3 18", "text", 2.0))
    if not signed:
        return printed
    scrawl = "M13 18 C14.5 10 17.5 9 16.5 17 C18.5 10 21.5 10 20 17 C22.5 11 24 12 23.5 16 C24.5 17 26.5 14 28 15"
    return (*printed, pen(scrawl, "ink", 2.3))


def stripes(width: float, height: float, ink: Token, *, on: float = 4.0, off: float = 3.0) -> tuple[Path, ...]:
    """Return 45 degree stripes cut to a `width` x `height` rectangle; `on` and `off` are measured across them.

    In "stop" at the sheet's left edge they mark a Stopped line, in "on_gate" the end of a gate opened in writing.
    """
    pitch, broad = (on + off) * math.sqrt(2), on * math.sqrt(2)
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    bands = []
    start = 0.0
    while start < width + height:
        band = _cut(_cut(corners, start, keep_above=True), start + broad, keep_above=False)
        if len(band) > 2:
            bands.append(polygon(band, ink))
        start += pitch
    return tuple(bands)


def _cut(corners: tuple[tuple[float, float], ...], at: float, *, keep_above: bool) -> tuple[tuple[float, float], ...]:
    """Return the part of a convex polygon where x + y is at least (or at most) `at`."""
    sign = 1 if keep_above else -1
    kept: list[tuple[float, float]] = []
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        from_line, to_line = sign * (x1 + y1 - at), sign * (x2 + y2 - at)
        if from_line >= 0:
            kept.append((x1, y1))
        if from_line * to_line < 0:
            part = from_line / (from_line - to_line)
            kept.append((x1 + (x2 - x1) * part, y1 + (y2 - y1) * part))
    return tuple(kept)
