r"""Rows in columns that fit the terminal: 80 signs, or as many as a terminal has.

>>> print("\n".join(table([("W-1", 2, "two boxes"), ("W-22", 13, "one box, and a tube beside it")], ("order", "kg", "goes as"), 28)))
order  kg  goes as
W-1     2  two boxes
W-22   13  one box, and a
           tube beside it

Numbers stand to the right. What is too wide for its line goes on below, in its own column: the widest column of words
first, and of those a sign at a time, so the narrow ones stay whole. Whoever wants a row on a line asks for `--json`, or
for `--table` where there is one.
"""  # noqa: E501 - a line that is typed

import shutil
import sys
from collections.abc import Iterator, Sequence
from decimal import Decimal
from textwrap import wrap

WIDTH = 80
_LEAST = 5
"""Signs of a column that is made narrower."""
_GAP = "  "


def terminal_width() -> int:
    """How many signs fit a line."""
    return max(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns) if sys.stdout.isatty() else WIDTH


def table(rows: Sequence[Sequence[object]], heads: Sequence[str], width: int = 0) -> list[str]:
    """Rows in columns as wide as their widest cell, or as narrow as ``width`` asks for; numbers to the right."""
    cells = [[str(cell) for cell in row] for row in rows]
    right = [
        bool(rows) and all(isinstance(row[column], int | float | Decimal) for row in rows)
        for column in range(len(heads))
    ]
    widths = _widths([list(heads), *cells], (width or terminal_width()) - len(_GAP) * (len(heads) - 1))
    return [line for row in [list(heads), *cells] for line in _lines(row, widths, right)]


def _widths(cells: Sequence[Sequence[str]], room: int) -> list[int]:
    """The columns' widths: the widest gives way, a sign at a time; words are cut only where nothing else helps."""
    columns = [*zip(*cells, strict=True)]
    widths = [max(map(len, column)) for column in columns]
    words = [max(len(word) for cell in column for word in cell.split() or [""]) for column in columns]
    said = [max((len(word) for cell in column[1:] for word in cell.split()), default=_LEAST) for column in columns]
    for least in (words, said, [_LEAST] * len(words)):  # a head is cut before a number or a code is
        while sum(widths) > room and any(map(int.__gt__, widths, least)):
            _, widest = max((width, -place) for place, width in enumerate(widths) if width > least[place])
            widths[-widest] -= 1
    return widths


def _lines(row: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> Iterator[str]:
    """A row; more lines where a cell goes on below."""
    folded = [
        [cell] if len(cell) <= width else wrap(cell, width, break_on_hyphens=False) or [""]
        for cell, width in zip(row, widths, strict=True)
    ]
    for number in range(max(map(len, folded), default=1)):
        shown = [lines[number] if number < len(lines) else "" for lines in folded]
        yield _GAP.join(
            cell.rjust(width) if is_number else cell.ljust(width)
            for cell, width, is_number in zip(shown, widths, right, strict=True)
        ).rstrip()
