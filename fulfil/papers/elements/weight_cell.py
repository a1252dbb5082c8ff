"""The weight cell: what the scale must show, or that no weight may be trusted here.

>>> from decimal import Decimal
>>> weight_texts(CountMethod.WEIGH, Decimal("318.40"), Decimal("317.95"), Decimal("318.85"))
('318.40 g', '317.95 – 318.85 g')
>>> weight_texts(CountMethod.TARE, Decimal("2.500"), Decimal("2.476"), Decimal("2.524"))
('tared 2.500 g', '2.476 – 2.524 g')
>>> weight_texts(CountMethod.POUR, Decimal("2.500"), Decimal("2.476"), Decimal("2.524"))
('pour 2.500 g', '2.476 – 2.524 g')
>>> weight_texts(CountMethod.HAND, None, None, None)
('COUNT BY HAND', '')
"""

from decimal import Decimal

from fulfil.errors import PaperRefused
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Box, above, block, text_at
from fulfil.papers.page import STRONG_PT, TARGET_PT
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, centred_in, fitting_size, line_mm
from fulfil.quantities import print_grams
from fulfil.records.plan import CountMethod

HAND = "COUNT BY HAND"
_LOW_MM = 7.0
_WINDOW_MM = 8.0


def weight_texts(
    method: CountMethod, target_g: Decimal | None, lower_g: Decimal | None, upper_g: Decimal | None
) -> tuple[str, str]:
    """Target and window as printed.

    Raises:
        PaperRefused: a bag to be weighed lacks its target or a limit.
    """
    if method is CountMethod.HAND:
        return HAND, ""
    if target_g is None or lower_g is None or upper_g is None:
        raise PaperRefused("print the weight of a bag", (target_g, lower_g, upper_g), "target and both limits in grams")
    what = {CountMethod.TARE: "tared ", CountMethod.POUR: "pour "}.get(method, "")
    return f"{what}{print_grams(target_g)}", f"{lower_g:f} – {print_grams(upper_g)}"


def weight_cell(
    method: CountMethod,
    target_g: Decimal | None,
    lower_g: Decimal | None,
    upper_g: Decimal | None,
    width: float,
    *,
    window_pt: float,
    aim_pt: float,
) -> Block:
    """The window in bold over what to aim at; 'count by hand' stands in a heavy frame instead."""
    window, aim = window_and_aim(method, target_g, lower_g, upper_g)
    if not aim:
        return _hand(width, line_mm(window_pt) + line_mm(aim_pt), max(STRONG_PT, aim_pt))
    rows = []
    for text, face, most in ((window, Face.BOLD, window_pt), (aim, Face.TEXT, aim_pt)):
        size = fitting_size(text, face, most, least_pt=LEAST_PT, width=width)
        base = FIRST_BASE_LINE * most * MM_PER_POINT
        rows.append(block(line_mm(most), text_at(width, base, text, face, size, align="right")))
    return above(*rows)


def window_and_aim(
    method: CountMethod, target_g: Decimal | None, lower_g: Decimal | None, upper_g: Decimal | None
) -> tuple[str, str]:
    """Both as a label has them; no aim where the pieces are counted by hand.

    >>> window_and_aim(CountMethod.TARE, Decimal("2.500"), Decimal("2.476"), Decimal("2.524"))
    ('tared 2.476 – 2.524 g', 'aim 2.500')
    """
    target, window = weight_texts(method, target_g, lower_g, upper_g)
    if not window:
        return target, ""
    what, _, _ = target.rpartition(f"{target_g:f}")
    return f"{what}{window}", f"aim {target_g:f}"


_WITH = {CountMethod.WEIGH: "with bag", CountMethod.TARE: "bag tared", CountMethod.POUR: "each pour"}
"""What lies on the scale, or what it was set to nothing for."""


def aim_words(method: CountMethod, target_g: Decimal | None) -> str:
    """What is on the scale, and at what to aim inside the window.

    >>> aim_words(CountMethod.WEIGH, Decimal("42.97")), aim_words(CountMethod.TARE, Decimal("2.5"))
    ('with bag, aim at 42.97', 'bag tared, aim at 2.5')
    """
    return f"{_WITH[method]}, aim at {target_g:f}" if method in _WITH and target_g is not None else ""


def window_cell(
    method: CountMethod,
    target_g: Decimal | None,
    lower_g: Decimal | None,
    upper_g: Decimal | None,
    width: float,
    *,
    window_pt: float = TARGET_PT,
    high_mm: float = _WINDOW_MM,
) -> Block:
    """The window large: the scale must come to rest between the two figures; on two lines where it is wide."""
    _, window = weight_texts(method, target_g, lower_g, upper_g)
    if not window:
        return _hand(width, high_mm, max(STRONG_PT, window_pt - 3))
    if width_mm(window, Face.BOLD, 0.93 * window_pt) <= width:
        size = fitting_size(window, Face.BOLD, window_pt, least_pt=LEAST_PT, width=width)
        return block(high_mm, text_at(width, centred_in(high_mm, size), window, Face.BOLD, size, align="right"))
    rows = [f"{lower_g:f} –", window.partition(" – ")[2]]
    sizes = [fitting_size(row, Face.BOLD, window_pt, least_pt=LEAST_PT, width=width) for row in rows]
    base = FIRST_BASE_LINE * window_pt * MM_PER_POINT
    marks = (
        text_at(width, base + i * line_mm(window_pt), row, Face.BOLD, min(sizes), align="right")
        for i, row in enumerate(rows)
    )
    return block(2 * line_mm(window_pt), *marks)


def weight_line(
    method: CountMethod,
    target_g: Decimal | None,
    lower_g: Decimal | None,
    upper_g: Decimal | None,
    width: float,
    *,
    window_pt: float,
    aim_pt: float,
) -> Block:
    """Window at the left, aim at the right, on one line; under one another where they are too long for that."""
    window, aim = window_and_aim(method, target_g, lower_g, upper_g)
    if not aim:
        return _hand(width, line_mm(window_pt), STRONG_PT)
    aim_mm = width_mm(aim, Face.TEXT, aim_pt)
    size = window_pt
    while size > LEAST_PT and width_mm(window, Face.BOLD, size) + 2 + aim_mm > width:
        size -= 0.5
    if width_mm(window, Face.BOLD, size) + 2 + aim_mm <= width:
        base = FIRST_BASE_LINE * window_pt * MM_PER_POINT
        return block(
            line_mm(window_pt),
            text_at(0.0, base, window, Face.BOLD, size),
            text_at(width, base, aim, Face.TEXT, aim_pt, align="right"),
        )
    return weight_cell(method, target_g, lower_g, upper_g, width, window_pt=window_pt, aim_pt=aim_pt)


def _hand(width: float, height: float, most_pt: float) -> Block:
    """The words in a heavy frame, on two lines where the cell is narrow."""
    left = min(2.0, width * 0.05)
    wide = width - left
    is_narrow = width_mm(HAND, Face.BOLD, LEAST_PT + 1) > wide - 3
    top = 0.0 if is_narrow or height < _LOW_MM else min(1.1, height * 0.1)
    high = height - 2 * top
    rows = ("COUNT", "BY HAND") if is_narrow else (HAND,)
    longest = max(rows, key=len)
    highest_pt = max(LEAST_PT, (high - 1.8) / len(rows) / (0.95 * MM_PER_POINT))
    size = fitting_size(longest, Face.BOLD, min(most_pt, highest_pt), least_pt=LEAST_PT, width=wide - 3)
    each = (high - 1.8) / len(rows)
    start = 0.9
    words = [
        text_at(left + wide / 2, top + start + i * each + centred_in(each, size), row, Face.BOLD, size, align="centre")
        for i, row in enumerate(rows)
    ]
    return block(height, Box(left + 0.4, top + 0.4, wide - 0.8, high - 0.8, line_mm=0.8), *words)
