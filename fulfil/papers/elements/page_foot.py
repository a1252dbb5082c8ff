"""The page foot: whose paper, which document, page x of y; and the notice, on every page.

>>> page_foot("Example shop", "PL-0007", "", 2, 4, 186).height_mm > 4
True
"""

from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap, text_at
from fulfil.papers.page import BODY_PT, SMALL_PT
from fulfil.papers.wrap import FIRST_BASE_LINE, line_mm, paragraph


def page_foot(shop_name: str, document_number: str, notice: str, page: int, pages: int, width: float) -> Block:
    """One rule, then shop, document and notice at the left, the page at the right."""
    count = f"page {page} of {pages}"
    # Room for the widest count, so that every page's foot breaks its lines alike and is equally high.
    reserve = width_mm("page 9999 of 9999", Face.BOLD, BODY_PT)
    words = [f"{shop_name} · {document_number}", *([notice] if notice else [])]
    left = above(*(paragraph(text, Face.TEXT, SMALL_PT, width - reserve - 2) for text in words))
    base = FIRST_BASE_LINE * BODY_PT * MM_PER_POINT
    right = block(line_mm(BODY_PT), text_at(0.0, base, count, Face.BOLD, BODY_PT, align="right"))
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.3))
    return above(gap(2.0), rule, gap(0.8), beside((0.0, left), (width, right)))
