"""A reading's band drawn against its limits, with the limits written under their posts: once for screen and paper."""

import math

from app.sheet.drawing import Drawing, Label
from app.sheet.marks import verdict_to_scale

_BAND_HIGH = 24.0
_HEIGHT = 44.0
_WORDS_Y = 34.0
_SIZE = 15.0
LEAST_WIDTH = 80.0


def gauge_drawing(
    kind: str, band: tuple[float, float], limits: tuple[float | None, float | None], width: float, unit: str = ""
) -> Drawing:
    """Draw a band `width` wide against its limits, all in one unit; a limit of None has no post and no figure.

    `kind` is "in", "out" or "undecided"; `unit` is written after the last figure. Raises ValueError when there is no
    limit, for any other kind, for figures that are not finite, the lower limit above the upper, and under 80 in width.
    """
    known = [limit for limit in limits if limit is not None]
    if not all(math.isfinite(figure) for figure in (*band, *known)):
        raise ValueError("A band and its limits have to be figures: one of them is not finite.")
    if known and known[0] > known[-1]:
        raise ValueError(f"The lower limit {known[0]:g} stands above the upper {known[-1]:g}: change them over.")
    if not width >= LEAST_WIDTH:
        raise ValueError(f"A gauge {width:g} wide has no room for its figures: give it {LEAST_WIDTH:g} or more.")
    shapes = verdict_to_scale(kind, band, limits, width)
    return Drawing(width, _HEIGHT, shapes, tuple(_figures(known, width, unit)))


def _figures(known: list[float], width: float, unit: str) -> list[Label]:
    """Each figure under its post; one figure for two limits that are the same."""
    after = f" {unit}" if unit else ""
    if known[0] == known[-1]:
        return [Label(width / 2, _WORDS_Y, f"{known[0]:g}{after}", _SIZE)]
    low, high = known
    return [
        Label(width / 4, _WORDS_Y, f"{low:g}", _SIZE),
        Label(width * 3 / 4, _WORDS_Y, f"{high:g}{after}", _SIZE),
    ]
