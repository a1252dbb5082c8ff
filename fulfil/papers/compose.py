"""Blocks onto pages: no block is ever split, a heading never stands last, every page has head and foot.

>>> from fulfil.papers.ink import gap
>>> [[y for y, _ in page] for page in paginate([gap(40).kept(), gap(40), gap(40)], room_mm=100)]
[[0.0, 40.0], [0.0]]
>>> [[y for y, _ in page] for page in paginate([gap(40), gap(40).kept(), gap(40)], room_mm=100)]
[[0.0], [0.0, 40.0]]

What blocks note (cautions, most often) stands at the foot of their page, each sentence once.
"""

from collections.abc import Callable, Iterable, Sequence

from fulfil.errors import PaperRefused
from fulfil.papers.ink import Block, Placed, gap
from fulfil.papers.page import PageSize
from fulfil.papers.render import Leaf

_SLACK_MM = 1e-6

Noted = Callable[[tuple[str, ...]], Block]
"""Draws the notes of a page."""


def _unsaid(_: tuple[str, ...]) -> Block:
    return gap(0.0)


def paginate(
    blocks: Iterable[Block], room_mm: float, *, later_mm: float | None = None, noted: Noted = _unsaid
) -> list[list[tuple[float, Block]]]:
    """Pages of (y, block), filled from the top; ``again`` of a page's first block stands above it, except on page one.

    ``later_mm`` is the room of the pages after the first, where it is another one.

    Raises:
        PaperRefused: blocks that must stand together are higher than a page.
    """
    pages: list[list[tuple[float, Block]]] = [[]]
    rooms = (room_mm, room_mm if later_mm is None else later_mm)
    y_mm = 0.0
    for run in _runs(blocks):
        height = sum(block.height_mm for block in run)
        if pages[-1] and y_mm + height > _free_mm(pages, run, rooms, noted):
            pages.append([])
            y_mm = 0.0
        again = run[0].again
        if not pages[-1] and again is not None and len(pages) > 1:
            pages[-1].append((0.0, again))
            y_mm = again.height_mm
        free = _free_mm(pages, run, rooms, noted)
        if y_mm + height > free:
            raise PaperRefused("print a part of the page", f"{height:.0f} mm high", f"at most {free - y_mm:.0f} mm")
        for block in run:
            pages[-1].append((y_mm, block))
            y_mm += block.height_mm
    return pages


def _free_mm(
    pages: Sequence[Sequence[tuple[float, Block]]], run: Sequence[Block], rooms: tuple[float, float], noted: Noted
) -> float:
    """What a page has for blocks when its own notes and those of a run stand at its foot."""
    said = notes_of([*(block for _, block in pages[-1]), *run])
    return rooms[len(pages) > 1] - (noted(said).height_mm if said else 0.0) + _SLACK_MM


def notes_of(blocks: Iterable[Block]) -> tuple[str, ...]:
    """The notes of blocks, each once, in the order in which they come."""
    return tuple(dict.fromkeys(note for block in blocks for note in block.notes))


def _runs(blocks: Iterable[Block]) -> Iterable[list[Block]]:
    run: list[Block] = []
    for block in blocks:
        run.append(block)
        if not block.keeps_next:
            yield run
            run = []
    if run:
        yield run


def compose(
    blocks: Sequence[Block],
    *,
    size: PageSize,
    head: Block,
    foot: Callable[[int, int], Block],
    later_head: Block | None = None,
    noted: Noted = _unsaid,
) -> list[Leaf]:
    """The pages of one document; ``foot(page, pages)`` is set at the lower margin, the page's notes above it.

    ``later_head`` stands on the pages after the first.
    """
    foot_mm = foot(1, 1).height_mm
    heads = (head, later_head or head)
    first_mm, later_mm = (size.room_mm - each.height_mm - foot_mm for each in heads)
    pages = paginate(blocks, first_mm, later_mm=later_mm, noted=noted)
    leaves = []
    for number, page in enumerate(pages, start=1):
        above = heads[number > 1]
        parts: list[Placed] = [*above.moved(size.side_mm, size.top_mm)]
        for y_mm, each in page:
            parts.extend(each.moved(size.side_mm, size.top_mm + above.height_mm + y_mm))
        last = foot(number, len(pages))
        bottom = size.height_mm - size.bottom_mm - last.height_mm
        said = notes_of(block for _, block in page)
        if said:
            notes = noted(said)
            parts.extend(notes.moved(size.side_mm, bottom - notes.height_mm))
        parts.extend(last.moved(size.side_mm, bottom))
        leaves.append(Leaf(size, tuple(parts)))
    return leaves
