"""Draw shapes into a 1-bit grid with Pillow, to see what a small print leaves of them."""

import itertools

from PIL import Image, ImageDraw

from app.sheet.draw.shapes import Cap, Join, Path
from app.sheet.draw.tokens import PRINT

_FINE = 8
_CURVE_STEPS = 16

Point = tuple[float, float]


def black_pixels(shapes: tuple[Path, ...], size_px: int, box: float = 24.0) -> frozenset[Point]:
    """Return the pixels more than half covered when a square box is drawn `size_px` wide in black on white."""
    side = size_px * _FINE
    image = Image.new("L", (side, side), 255)
    draw = ImageDraw.Draw(image)
    for shape in shapes:
        _draw(draw, shape, side / box)
    small = image.resize((size_px, size_px), Image.Resampling.BOX)
    return frozenset((x, y) for x in range(size_px) for y in range(size_px) if _grey(small, x, y) < 128)


def _grey(image: Image.Image, x: int, y: int) -> int:
    value = image.getpixel((x, y))
    assert isinstance(value, int)
    return value


def _draw(draw: ImageDraw.ImageDraw, shape: Path, scale: float) -> None:
    grey = int(PRINT.colour(shape.ink)[1:3], 16)
    for points, closed in _lines(shape):
        corners = [(x * scale, y * scale) for x, y in points]
        if shape.filled:
            draw.polygon(_whole(corners), fill=grey)
        if shape.stroke is not None:
            assert not shape.dash, "dashes are not drawn here"
            _stroke(draw, shape, corners, closed, shape.stroke * scale / 2, grey)


def _stroke(draw: ImageDraw.ImageDraw, shape: Path, corners: list[Point], closed: bool, half: float, grey: int) -> None:
    ring = corners + corners[:1] if closed else corners
    for index, ((x1, y1), (x2, y2)) in enumerate(itertools.pairwise(ring)):
        length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        if length == 0:
            continue
        along = ((x2 - x1) / length * half, (y2 - y1) / length * half)
        # A mitre at a right angle reaches half a width further; all our mitred corners are right angles.
        mitred = shape.join is Join.MITRE
        before = along if mitred and (closed or index > 0) else (0.0, 0.0)
        after = along if mitred and (closed or index < len(ring) - 2) else (0.0, 0.0)
        across = (-along[1], along[0])
        start, end = (x1 - before[0], y1 - before[1]), (x2 + after[0], y2 + after[1])
        quad = [
            (start[0] + across[0], start[1] + across[1]),
            (end[0] + across[0], end[1] + across[1]),
            (end[0] - across[0], end[1] - across[1]),
            (start[0] - across[0], start[1] - across[1]),
        ]
        draw.polygon(_whole(quad), fill=grey)
    if shape.cap is Cap.ROUND:
        for x, y in ring:
            draw.ellipse((x - half, y - half, x + half - 1, y + half - 1), fill=grey)


def _whole(corners: list[Point]) -> list[Point]:
    """Pillow fills the last row and column too, so pull in by half a fine pixel."""
    mid_x = sum(x for x, _ in corners) / len(corners)
    mid_y = sum(y for _, y in corners) / len(corners)
    return [(x - 0.5 - (0.5 if x > mid_x else -0.5), y - 0.5 - (0.5 if y > mid_y else -0.5)) for x, y in corners]


def _lines(shape: Path) -> list[tuple[list[Point], bool]]:
    """Flatten a path into runs of points, each with whether it is closed."""
    runs: list[tuple[list[Point], bool]] = []
    for letter, numbers in shape.commands:
        if letter == "M":
            runs.append(([(numbers[0], numbers[1])], False))
            continue
        points, _ = runs[-1]
        if letter == "Z":
            runs[-1] = (points, True)
        elif letter == "L":
            points.append((numbers[0], numbers[1]))
        else:
            points.extend(_curve(points[-1], numbers))
    return runs


def _curve(start: Point, numbers: tuple[float, ...]) -> list[Point]:
    x1, y1, x2, y2, x3, y3 = numbers
    points = []
    for step in range(1, _CURVE_STEPS + 1):
        t = step / _CURVE_STEPS
        s = 1 - t
        weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
        points.append(
            (
                weights[0] * start[0] + weights[1] * x1 + weights[2] * x2 + weights[3] * x3,
                weights[0] * start[1] + weights[1] * y1 + weights[2] * y2 + weights[3] * y3,
            )
        )
    return points
