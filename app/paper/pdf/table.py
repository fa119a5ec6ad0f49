"""A table on paper: its columns and rows of words, and how they become lines a page can break between."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from app.paper.pdf.items import MM, Item, Rule, Text
from app.paper.pdf.letters import Span, broken
from app.paper.pdf.strips import WIDTH
from app.sheet.draw.tokens import HEAD, NUMBER, SECOND
from app.sheet.page_breaks import Block
from app.words.table import Column, Table

PITCH = 12.0
_SIZE = SECOND.paper_pt
_BASE = 9.2
_GAP = 2 * MM


class Row(Struct, frozen=True):
    """A row as lines of items; `again` is the title and head of its table, to stand over it on another page."""

    lines: tuple[tuple[Item, ...], ...]
    keep: bool = False
    again: tuple[tuple[Item, ...], ...] = ()
    ruled: bool = False

    def block(self) -> Block:
        """How high it is, for the page breaks."""
        repeated = len(self.again)
        return Block((1,) * len(self.lines), self.keep, top=repeated, again=repeated)


def plain_row(spans: Sequence[Span]) -> Row:
    """A paragraph over the full width."""
    return Row(
        tuple(tuple(Text(p.x, _BASE, p.text, _SIZE, p.weight) for p in line) for line in broken(spans, _SIZE, WIDTH))
    )


def table_rows(table: Table) -> Iterator[Row]:
    """The section's title, its column heads, and its rows; the heads stand again on each page it goes on to."""
    if not table.rows and not table.empty:
        return
    title = Text(0, 8.5, table.title, NUMBER.paper_pt, NUMBER.paper_weight)
    yield Row(((), (title,)), keep=True)
    if not table.rows:
        yield plain_row([Span(table.empty)])
        return
    heads = _heads(table)
    if heads:
        yield Row(heads, keep=True)
    again = ((Text(0, _BASE, f"{table.title}, continued", HEAD.paper_pt, 700),), *heads)
    yield from (_table_row(table, row, again) for row in table.rows)


def _heads(table: Table) -> tuple[tuple[Item, ...], ...]:
    if not any(column.heading for column in table.columns):
        return ()
    texts = [Text(x, _BASE, column.heading, HEAD.paper_pt) for x, column in _placed(table)]
    return ((*texts, Rule(0, PITCH - 0.25, WIDTH, PITCH - 0.25, 1.0)),)


def _placed(table: Table) -> Iterator[tuple[float, Column]]:
    x = 0.0
    for column in table.columns:
        yield x, column
        x += column.wide_mm * MM


def _table_row(table: Table, cells: tuple[str, ...], again: tuple[tuple[Item, ...], ...]) -> Row:
    """One row: each cell broken in its column, as many lines as the longest needs."""
    lines: list[list[Item]] = []
    for (x, column), cell in zip(_placed(table), cells, strict=True):
        room = column.wide_mm * MM - _GAP
        for index, pieces in enumerate(broken([Span(cell, column.weight)], _SIZE, room)):
            if index == len(lines):
                lines.append([])
            lines[index] += [Text(x + piece.x, _BASE, piece.text, _SIZE, piece.weight) for piece in pieces]
    return Row(tuple(tuple(line) for line in lines or [[]]), again=again, ruled=True)
