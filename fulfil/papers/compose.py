"""Blocks onto pages: no block is ever split, a heading never stands last, every page has head and foot.

>>> from fulfil.papers.ink import gap
>>> [[y for y, _ in page] for page in paginate([gap(40).kept(), gap(40), gap(40)], room_mm=100)]
[[0.0, 40.0], [0.0]]
>>> [[y for y, _ in page] for page in paginate([gap(40), gap(40).kept(), gap(40)], room_mm=100)]
[[0.0], [0.0, 40.0]]
"""

from collections.abc import Callable, Iterable, Sequence

from fulfil.errors import PaperRefused
from fulfil.papers.ink import Block, Placed
from fulfil.papers.page import PageSize
from fulfil.papers.render import Leaf

_SLACK_MM = 1e-6


def paginate(blocks: Iterable[Block], room_mm: float) -> list[list[tuple[float, Block]]]:
    """Pages of (y, block), filled from the top; ``again`` of a page's first block stands above it, except on page one.

    Raises:
        PaperRefused: blocks that must stand together are higher than a page.
    """
    pages: list[list[tuple[float, Block]]] = [[]]
    y_mm = 0.0
    for run in _runs(blocks):
        height = sum(block.height_mm for block in run)
        if pages[-1] and y_mm + height > room_mm + _SLACK_MM:
            pages.append([])
            y_mm = 0.0
        again = run[0].again
        if not pages[-1] and again is not None and len(pages) > 1:
            pages[-1].append((0.0, again))
            y_mm = again.height_mm
        if y_mm + height > room_mm + _SLACK_MM:
            raise PaperRefused("print a part of the page", f"{height:.0f} mm high", f"at most {room_mm - y_mm:.0f} mm")
        for block in run:
            pages[-1].append((y_mm, block))
            y_mm += block.height_mm
    return pages


def _runs(blocks: Iterable[Block]) -> Iterable[list[Block]]:
    run: list[Block] = []
    for block in blocks:
        run.append(block)
        if not block.keeps_next:
            yield run
            run = []
    if run:
        yield run


def compose(blocks: Sequence[Block], *, size: PageSize, head: Block, foot: Callable[[int, int], Block]) -> list[Leaf]:
    """The pages of one document; ``foot(page, pages)`` is set at the lower margin."""
    head_parts = head.moved(size.side_mm, size.top_mm)
    foot_mm = foot(1, 1).height_mm
    pages = paginate(blocks, size.room_mm - head.height_mm - foot_mm)
    leaves = []
    for number, page in enumerate(pages, start=1):
        parts: list[Placed] = [*head_parts]
        for y_mm, each in page:
            parts.extend(each.moved(size.side_mm, size.top_mm + head.height_mm + y_mm))
        last = foot(number, len(pages))
        parts.extend(last.moved(size.side_mm, size.height_mm - size.bottom_mm - last.height_mm))
        leaves.append(Leaf(size, tuple(parts)))
    return leaves
