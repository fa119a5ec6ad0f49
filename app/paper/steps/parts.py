"""What every step sheet has in common: its title, strips kept together, drawings with their words, and notes."""

import math
from collections.abc import Sequence

from app.paper.pdf.items import Drawing, Item, Rule, Text, line_of
from app.paper.pdf.letters import Span, broken, width_pt, words
from app.paper.pdf.strips import HALF, WIDTH, Strip
from app.sheet.draw import drawing
from app.sheet.draw.drawing import CAPITALS, Anchor
from app.sheet.draw.tokens import HEAD, NUMBER, PAPER_ROW_RULE_PT

NOTE_LINES = 2
# A drawing or table higher than this may go on on the next page.
MOST_HALVES = 40


def title_strips(number: str, text: str) -> list[Strip]:
    """The number and the words of what is worked, large."""
    size = NUMBER.paper_pt
    lines = broken([Span(number, NUMBER.paper_weight), Span(text, 700)], size, WIDTH)
    return [Strip(2, tuple(line_of(pieces, 0, 18.5, size))) for pieces in lines]


def note_strips() -> list[Strip]:
    """Blank lines for whatever happened on the way."""
    rule = Rule(0, 2 * HALF - 2, WIDTH, 2 * HALF - 2, PAPER_ROW_RULE_PT)
    label = Text(0, 2 * HALF - 5, "Notes", HEAD.paper_pt, 700)
    # Under the last stands the rule that ends the block.
    return [Strip(2, (label, rule)), *(Strip(2, (rule,)) for _ in range(NOTE_LINES - 2)), Strip(2, ())]


def together(strips: list[Strip]) -> list[Strip]:
    """Strips as one where they fit a page well."""
    return strips if sum(strip.halves for strip in strips) > MOST_HALVES else [as_one(strips)]


def as_one(strips: Sequence[Strip]) -> Strip:
    """Strips that no page may part, as one."""
    items: list[Item] = []
    halves = 0
    for strip in strips:
        items += [item.moved(0, halves * HALF) for item in strip.items]
        halves += strip.halves
    return Strip(halves, tuple(items))


def drawn_items(drawn: drawing.Drawing, x: float, y: float, scale: float) -> list[Item]:
    """A drawing and its words with its top left corner at x, y; one unit of it is `scale` points."""
    items: list[Item] = [Drawing(x, y, drawn.shapes, scale)]
    for label in drawn.labels:
        size = label.size * scale
        shown = words(label.text)
        wide = width_pt(shown, label.weight, size)
        left = label.x * scale - {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[label.anchor]
        low = label.y * scale + CAPITALS * size / 2
        items.append(Text(x + max(0.0, left), y + low, shown, size, label.weight))
    return items


def halves_for(points: float) -> int:
    """How many half rows a height in points takes."""
    return math.ceil(points / HALF - 1e-9)
