"""Charts as PNG pictures, for screens and messages; on paper they stay lines."""

import re
from datetime import date
from pathlib import Path

from fulfil.counting.drift import DayDrift
from fulfil.counting.papers import drift_chart_sheets, unit_weight_card_sheet
from fulfil.files.written import write_all
from fulfil.papers.bench.drift_chart import drift_chart
from fulfil.papers.elements.line_chart import line_chart
from fulfil.papers.picture import png
from fulfil.store.shop import Shop

PICTURE_MM = 186.0
"""Width of a picture: as wide as the text of an A4 page."""


def draw_largest_count(shop: Shop, part_number: str, out: Path, *, day: date) -> list[Path]:
    """Draws the chart of a part's unit-weight card; nothing where it has none.

    Raises:
        UnknownRefused: there is no such part.
    """
    with shop.reading() as books:
        chart = unit_weight_card_sheet(books, part_number, day=day).chart
    if chart is None:
        return []
    drawn = line_chart(chart, PICTURE_MM, 0.5 * PICTURE_MM)
    return write_all(out, {f"{part_number}-largest-count.png": png(drawn, PICTURE_MM)})


def draw_drift(drift: DayDrift, out: Path, *, day: date) -> list[Path]:
    """Draws the day's drift charts, one file for each scale and each part that is out."""
    pictures = {}
    for sheet in drift_chart_sheets(drift):
        name = re.sub(r"[^A-Za-z0-9+-]+", "-", sheet.heading).strip("-")
        pictures[f"{day}-drift-{name}.png"] = png(drift_chart(sheet, PICTURE_MM), PICTURE_MM)
    return write_all(out, pictures)
