"""Page breaks: which pieces of a sheet stand on which page. Pure counting, so every paper breaks at the same line."""

from collections.abc import Iterator, Sequence

from msgspec import Struct


class Block(Struct, frozen=True):
    """What should stand on one page if it can: the heights of its strips, in units the page is counted in.

    `keep` holds it together with the block that follows. `top` is the height of what is repeated above it when a page
    begins with it, `again` of what is repeated when a page begins in the middle of it. Where moving it on would leave a
    large gap and its first `head` strips fit, it is broken instead; 0 for one that is not broken for that.
    """

    strips: tuple[int, ...]
    keep: bool = False
    top: int = 0
    again: int = 0
    head: int = 0


# A gap of more than this part of a page is worth breaking a long block for.
LARGE_GAP = 1 / 4


class Part(Struct, frozen=True):
    """The strips `first` to `last` (not counted in) of a block, all on one page; `height` is in page units."""

    block: int
    first: int
    last: int
    height: int

    @property
    def goes_on(self) -> bool:
        """Whether the block began on an earlier page."""
        return self.first > 0


def page_breaks(
    blocks: Sequence[Block], page: int, *, grid: int = 1, first: int | None = None
) -> tuple[tuple[Part, ...], ...]:
    """Which parts stand on which page; a page is `page` units high and each part takes a multiple of `grid`.

    `first` is the height of the first page where that is less. Raises ValueError when a strip is higher than a page.
    """
    builder = _Builder(blocks, page, grid, page if first is None else first)
    for chain in _chains(blocks):
        builder.put(chain)
    return tuple(tuple(parts) for parts in builder.pages if parts)


def _chains(blocks: Sequence[Block]) -> Iterator[range]:
    """Runs of blocks that are kept together."""
    begin = 0
    for index, block in enumerate(blocks):
        if not block.keep or index == len(blocks) - 1:
            yield range(begin, index + 1)
            begin = index + 1


class _Builder:
    """Fills page after page."""

    def __init__(self, blocks: Sequence[Block], page: int, grid: int, first: int) -> None:
        self.blocks = blocks
        self.later = page
        self.page = first
        self.grid = grid
        self.pages: list[list[Part]] = [[]]
        self.used = 0

    def put(self, chain: range) -> None:
        """Put blocks that belong together on this page, else on the next, else let them run over several."""
        height = sum(self._height(self.blocks[index].strips) for index in chain)
        if self.used + height > self.page and self.pages[-1] and not self._begins_here(chain):
            self._turn()
        for index in chain:
            self._put_one(index)

    def _begins_here(self, chain: range) -> bool:
        """Whether a chain that does not fit begins on this page all the same, because the gap would be too large."""
        last = self.blocks[chain[-1]]
        room = self.page - self.used
        if not last.head or room <= self.page * LARGE_GAP:
            return False
        before = sum(self._height(self.blocks[index].strips) for index in chain[:-1])
        return before + self._height(last.strips[: last.head]) <= room

    def _put_one(self, index: int) -> None:
        block = self.blocks[index]
        first = 0
        while first < len(block.strips):
            if not self.pages[-1]:
                self.used = block.again if first else block.top
            last = self._fitting(block.strips, first)
            if last == first:
                if not self.pages[-1]:
                    raise ValueError(f"A strip {block.strips[first]} high does not fit a page of {self.page}.")
                self._turn()
                continue
            height = self._height(block.strips[first:last])
            self.pages[-1].append(Part(index, first, last, height))
            self.used += height
            first = last

    def _fitting(self, strips: tuple[int, ...], first: int) -> int:
        """How far the strips from `first` on still fit this page."""
        last, height = first, 0
        while last < len(strips) and self.used + self._height((height, strips[last])) <= self.page:
            height += strips[last]
            last += 1
        return last

    def _height(self, strips: tuple[int, ...]) -> int:
        return -(-sum(strips) // self.grid) * self.grid

    def _turn(self) -> None:
        self.pages.append([])
        self.page = self.later
        self.used = 0
