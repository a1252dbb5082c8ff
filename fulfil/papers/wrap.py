"""Text that is too long: wrapped, or set smaller, by its measured width; never cut in silence.

Lines break at spaces, but not between a number and its unit nor around the x of a size (common practice); inside a word
only where the word alone is too wide.

>>> lines("Cap screw M3 x 16, hexagon socket", Face.TEXT, 10, 30)
('Cap screw', 'M3 x 16, hexagon', 'socket')
>>> lines("ABCDEFGHIJKLMNOP", Face.CODE, 10, 20)
('ABCDEFGHI', 'JKLMNOP')
>>> fitting_size("250", Face.BOLD, 20, least_pt=7, width=7)
10.5
"""

from collections.abc import Sequence
from functools import lru_cache

from fulfil.errors import PaperRefused
from fulfil.papers.faces import CAP_HEIGHT, MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Mark, Placed, Text
from fulfil.papers.scripts.script_order import runs_both_ways
from fulfil.papers.scripts.shaping import clusters

LINE_PITCH = 1.2
"""From one base line to the next over the type size (common practice)."""
FIRST_BASE_LINE = 0.93
"""From the block's top to the first base line over the type size: room for an accent on a capital."""
LEAST_PT = 7.0
"""No paper prints smaller."""
_STEP_PT = 0.5
_BETWEEN = " / "
"""Between two languages (:func:`fulfil.papers.phrases.beside_english`)."""


@lru_cache(maxsize=20_000)
def lines(text: str, face: Face, size_pt: float, width: float) -> tuple[str, ...]:
    """``text`` in lines that are at most ``width`` mm wide; empty text has none.

    Two languages that run opposite ways get lines of their own, so that nobody has to find where one ends.

    >>> lines("יישלח בהמשך / to follow", Face.TEXT, 10, 90)
    ('יישלח בהמשך', 'to follow')
    """
    if _BETWEEN in text and runs_both_ways(text):
        one, _, other = text.partition(_BETWEEN)
        return (*lines(one, face, size_pt, width), *lines(other, face, size_pt, width))
    found: list[str] = []
    line = ""
    for word in _words(text, face, size_pt, width):
        longer = f"{line} {word}" if line else word
        if width_mm(longer, face, size_pt) <= width:
            line = longer
            continue
        if line:
            found.append(line)
        pieces = _broken(word, face, size_pt, width)
        found.extend(pieces[:-1])
        line = pieces[-1]
    return (*found, line) if line else tuple(found)


_UNITS = frozenset(("mm", "m", "g", "kg", "%", "°C", "dpi", "pcs", "pc"))


def _words(text: str, face: Face, size_pt: float, width: float) -> list[str]:
    """The words of a text; those that shouldn't be parted are one, unless that one is wider than a line.

    >>> _words("Rod 5 x 750, 2.5 mm", Face.TEXT, 10, 40)
    ['Rod', '5 x 750,', '2.5 mm']
    """
    words: list[str] = []
    for word in text.split():
        before = words[-1] if words else ""
        is_unit = word.rstrip(",.;:)") in _UNITS and before[-1:].isdigit()
        is_size = (word == "x" and before[-1:].isdigit()) or (before.endswith(" x") and word[0].isdigit())
        if (is_unit or is_size) and width_mm(f"{before} {word}", face, size_pt) <= width:
            words[-1] = f"{before} {word}"
        else:
            words.append(word)
    return words


def _broken(word: str, face: Face, size_pt: float, width: float) -> list[str]:
    pieces = [""]
    for character in clusters(word):
        if pieces[-1] and width_mm(pieces[-1] + character, face, size_pt) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


@lru_cache(maxsize=20_000)
def fitting_size(text: str, face: Face, size_pt: float, *, least_pt: float, width: float) -> float:
    """The largest size up to ``size_pt``, in half points, at which ``text`` is one line of ``width`` mm.

    Raises:
        PaperRefused: it is wider even at ``least_pt``.
    """
    size = size_pt
    while width_mm(text, face, size) > width:
        size -= _STEP_PT
        if size < least_pt:
            raise PaperRefused("print on one line", text, f"{width:.0f} mm at {least_pt:g} pt to be enough; shorten it")
    return size


def line_mm(size_pt: float) -> float:
    """From one base line to the next, in mm."""
    return LINE_PITCH * size_pt * MM_PER_POINT


def centred_in(height: float, size_pt: float) -> float:
    """The base line at which capitals of ``size_pt`` stand in the middle of ``height`` mm."""
    return (height + CAP_HEIGHT * size_pt * MM_PER_POINT) / 2


def paragraph(text: str, face: Face, size_pt: float, width: float) -> Block:
    """``text`` wrapped to ``width`` mm."""
    return set_lines(lines(text, face, size_pt, width), face, size_pt)


def item_lines(items: Sequence[str], face: Face, size_pt: float, width: float, between: str = " · ") -> tuple[str, ...]:
    """Items in lines that break between items; inside one only where it alone is too long for a line.

    >>> item_lines(("not zinc (SA0030)", "not bush (BU0163)"), Face.TEXT, 10, 40)
    ('not zinc (SA0030)', 'not bush (BU0163)')
    """
    found: list[str] = []
    for item in items:
        longer = f"{found[-1]}{between}{item}" if found else item
        if found and width_mm(longer, face, size_pt) <= width:
            found[-1] = longer
        else:
            found.extend(lines(item, face, size_pt, width))
    return tuple(found)


def led_paragraph(lead: str, text: str, size_pt: float, width: float) -> Block:
    """A code, and ``text`` after it on the same line, wrapped under it; a long code stands on lines of its own."""
    indent = width_mm(lead, Face.CODE, size_pt) + 0.6 * size_pt * MM_PER_POINT
    words = _words(text, Face.TEXT, size_pt, max(width - indent, 1.0))
    fitting = 0
    while indent < width and fitting < len(words):
        if width_mm(" ".join(words[: fitting + 1]), Face.TEXT, size_pt) > width - indent:
            break
        fitting += 1
    below = lines(" ".join(words[fitting:]), Face.TEXT, size_pt, width)
    if not fitting:
        codes = lines(lead, Face.CODE, size_pt, width)
        return _set((*((code, Face.CODE) for code in codes), *((line, Face.TEXT) for line in below)), size_pt)
    pitch, base = line_mm(size_pt), FIRST_BASE_LINE * size_pt * MM_PER_POINT
    first = " ".join(words[:fitting])
    marks = (Text(0.0, base, lead, Face.CODE, size_pt), Text(indent, base, first, Face.TEXT, size_pt))
    rest = set_lines(below, Face.TEXT, size_pt)
    return Block(pitch + rest.height_mm, (Placed(0.0, 0.0, marks), *rest.moved(0.0, pitch)))


def set_lines(texts: Sequence[str], face: Face, size_pt: float) -> Block:
    """Lines as they are, under one another."""
    return _set(tuple((text, face) for text in texts), size_pt)


def _set(texts: Sequence[tuple[str, Face]], size_pt: float) -> Block:
    pitch, first = line_mm(size_pt), FIRST_BASE_LINE * size_pt * MM_PER_POINT
    marks: tuple[Mark, ...] = tuple(
        Text(0.0, first + i * pitch, text, face, size_pt) for i, (text, face) in enumerate(texts)
    )
    return Block(len(texts) * pitch, (Placed(0.0, 0.0, marks),))


def fitting_paragraphs(
    texts: Sequence[str], face: Face, size_pt: float, *, least_pt: float, width: float, height: float
) -> Block:
    """All texts, each from a new line, at the largest size at which they fit into ``width`` by ``height`` mm.

    Raises:
        PaperRefused: they don't fit even at ``least_pt``.
    """
    size = size_pt
    while True:
        wrapped = [line for text in texts for line in lines(text, face, size, width)]
        if len(wrapped) * line_mm(size) <= height:
            return set_lines(wrapped, face, size)
        size -= _STEP_PT
        if size < least_pt:
            raise PaperRefused(
                "fit", " / ".join(texts), f"{width:.0f} by {height:.0f} mm at {least_pt:g} pt to be enough; shorten it"
            )


def shortened(text: str, face: Face, size_pt: float, *, width: float, most_lines: int) -> tuple[str, ...]:
    """``text`` in at most ``most_lines`` lines; what is left out is marked by '…' and stands on the other papers.

    For labels only: a label has the room that it has.

    >>> shortened("Cap screw M3 x 16, hexagon socket, zinc plated", Face.TEXT, 8, width=30, most_lines=1)
    ('Cap screw M3 x 16, …',)
    """
    whole = lines(text, face, size_pt, width)
    if len(whole) <= most_lines:
        return whole
    words = text.split()
    while len(words) > 1:
        words.pop()
        some = lines(" ".join([*words, "…"]), face, size_pt, width)
        if len(some) <= most_lines:
            return some
    kept = whole[most_lines - 1]
    while width_mm(f"{kept}…", face, size_pt) > width:
        kept = kept[:-1]
    return (*whole[: most_lines - 1], f"{kept}…")
