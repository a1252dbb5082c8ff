"""The papers of counting by weight: unit-weight card, counting table, drift charts; and pictures of them."""

import io
import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from PIL import Image

from fulfil.papers import twin
from fulfil.papers.bench.counting_table import CountingTable, CountingTableSheet
from fulfil.papers.bench.drift_chart import DriftChartSheet, drift_chart
from fulfil.papers.bench.unit_weight_card import CardLot, CardReach, CardSample, UnitWeightCardSheet
from fulfil.papers.door import leaves, pdf
from fulfil.papers.elements.line_chart import ChartLine, LineChart, line_chart
from fulfil.papers.ink import Strokes, extent_mm
from fulfil.papers.picture import png
from fulfil.records.settings import Paper
from tests.papers import geometry

DAY = date(2026, 3, 2)
CHART = LineChart(
    x_label="pieces in the sample",
    y_label="largest count",
    x_ticks=(2.0, 5.0, 10.0, 100.0, 1000.0),
    y_ticks=(5.0, 10.0, 100.0),
    lines=(
        ChartLine(label="FINE-1, d = 0.001 g", points=((2.0, 7.0), (50.0, 40.0), (1000.0, 95.0))),
        ChartLine(label="BENCH-1, d = 0.01 g", points=((10.0, 6.0), (1000.0, 60.0)), kind="dashed"),
        ChartLine(label="each", points=((3.0, 20.0), (700.0, 30.0)), kind="dots"),
    ),
    rings=((50.0, 40.0),),
    is_log=True,
)
CARD = UnitWeightCardSheet(
    document_number="BELL-12",
    shop_name="Bell Shop (invented)",
    day=DAY,
    notice="All data invented.",
    part_number="BELL-12",
    description="Bell 12 mm",
    family="bell",
    size="12 mm",
    finish="brass",
    lots=(
        CardLot(
            lot="L26-1",
            unit_weight="0.90000 g",
            uncertainty="0.00032 g",
            piece_sd="0.0045 g",
            how="sample of 200 pieces, 3 bags learned from, piece s.d. from single pieces, as of 2026-03-02",
        ),
        CardLot(
            lot="", unit_weight="0.9 g", uncertainty="0.05 g", piece_sd="0.01 g", how="handbook: for planning only"
        ),
    ),
    reaches=(
        CardReach(
            scale="BENCH-1", interval_g=Decimal("0.01"), most=0, why_not="One piece is lighter than 3 e = 0.3 g."
        ),
        CardReach(scale="FINE-1", interval_g=Decimal("0.001"), most=1234),
    ),
    samples=tuple(
        CardSample(day=DAY, lot="L26-1", pieces=n, gross_g=Decimal("181.85"), tare_g=Decimal("1.85"), scale="FINE-1")
        for n in range(1, 13)
    ),
    older_samples=4,
    chart=CHART,
    advice=("Sample lot L26-2: it is in a bin, and nobody has weighed it.",),
    risk_statement="One piece off passes at most 0.10% of the time.",
)
TABLE = CountingTableSheet(
    document_number="SCALE-FINE-1",
    shop_name="Bell Shop (invented)",
    day=DAY,
    scale="FINE-1",
    plate="class II, e = 0.01 g, d = 0.001 g, Max 220 g, Min 0.2 g",
    tables=tuple(
        CountingTable(
            sample_pieces=n,
            scatters=("0.2%", "1.0%", "5.0%"),
            rows=tuple((f"{unit} g", ("12345", str(unit), "–")) for unit in range(1, 11)),
        )
        for n in (50, 200)
    ),
    rules=("Each shift: level, clean pan, still air, zero, check weight.",),
    risk_statement="One piece off passes at most 0.10% of the time.",
    cautions=("A scale's counting feature is in general not legal for trade.",),
)
PAPERS = {
    "card": CARD,
    "bare card": replace(CARD, lots=(), reaches=(), samples=(), chart=None, older_samples=0),
    "table": TABLE,
}


@pytest.fixture(params=[(name, page) for name in PAPERS for page in Paper], ids=lambda pair: " ".join(map(str, pair)))
def paper(request):
    """One paper of one sheet on one page size."""
    name, page = request.param
    return PAPERS[name], page


def test_pages_keep_the_house_s_geometry(paper):
    """Inside the margins, readable, no text on text, bar codes free."""
    sheet, page = paper

    drawn = leaves([sheet], page=page)

    geometry.assert_inside_margins(drawn)
    geometry.assert_readable_sizes(drawn)
    geometry.assert_no_text_on_text(drawn)
    geometry.assert_quiet_zones(drawn)


def test_pages_say_every_figure(paper, read_text):
    """What a reader of the file finds is what the sheet says."""
    sheet, page = paper

    text = "".join(read_text(pdf([sheet], page=page)))

    for row in getattr(sheet, "lots", ()):
        assert row.unit_weight.replace(" ", "") in text
    for row in getattr(sheet, "reaches", ()):
        assert row.scale in text
    if isinstance(sheet, CountingTableSheet):
        for table in sheet.tables:
            assert f"unitweightfrom{table.sample_pieces}pieces" in text
            assert all("".join((label, *counts)).replace(" ", "") in text for label, counts in table.rows)
    for words in (*getattr(sheet, "advice", ()), *getattr(sheet, "rules", ()), sheet.risk_statement):
        assert words.replace(" ", "") in text


def test_the_same_sheet_gives_the_same_bytes(paper):
    """A reprint is the same file."""
    sheet, page = paper

    assert pdf([sheet], page=page) == pdf([sheet], page=page)


@pytest.mark.parametrize("sheet", [CARD, TABLE])
def test_the_twin_says_every_word_and_the_picture_s_numbers(sheet):
    """A reader who doesn't see the chart gets its points."""
    said = twin.text(sheet)

    assert json.loads(twin.json_text(sheet))["document_number"] == sheet.document_number
    assert sheet.risk_statement in said
    if sheet is CARD:
        assert "FINE-1, d = 0.001 g (heavy): (2, 7) (50, 40) (1000, 95)" in said


def test_a_chart_stays_in_its_frame_and_tells_its_lines_apart():
    """No mark leaves the chart's box; no two lines are drawn alike; points outside lie on the edge."""
    chart = replace(CHART, lines=(*CHART.lines, ChartLine(label="", points=((1.0, 1.0), (5e3, 1e6)), kind="light")))

    block = line_chart(chart, 150.0, 60.0)

    marks = [mark for part in block.parts for mark in part.marks]
    for mark in marks:
        left, top, right, bottom = extent_mm(mark)
        assert left >= -0.01
        assert top >= -0.01
        assert right <= 150.01
        assert bottom <= 60.01
    curves = [mark for mark in marks if isinstance(mark, Strokes) and len(mark.lines[0]) >= 2 and mark.line_mm != 0.25]
    assert len({(mark.line_mm, mark.is_dashed) for mark in curves}) >= 2


def test_a_long_series_is_drawn_thin():
    """Three hundred weighings don't become a black band."""
    many = ChartLine(label="", points=tuple((float(n), 10.0 + n % 7) for n in range(2, 302)))

    block = line_chart(replace(CHART, lines=(many,), rings=()), 90.0, 42.0)

    assert min(mark.line_mm for part in block.parts for mark in part.marks if isinstance(mark, Strokes)) <= 0.3


def test_an_alarm_is_drawn_with_its_sentence():
    """A part that is out has the caution sign; too few weighings make no picture."""
    out = DriftChartSheet(
        heading="Part BELL-12", sentence="BELL-12 weighs off.", is_out=True, average=CHART, sums=CHART
    )
    few = replace(out, average=None, sums=None)

    assert drift_chart(out, 180.0).height_mm > 50.0
    assert drift_chart(few, 180.0).height_mm < 20.0


def test_the_picture_is_the_block_as_pixels():
    """PNG: as large as the block with its margin, ink where the marks are, white around, the same bytes again."""
    block = line_chart(CHART, 120.0, 60.0)

    picture = png(block, 120.0, dpi=100)
    pixels = np.asarray(Image.open(io.BytesIO(picture)))

    assert pixels.shape == (round(64.0 / 25.4 * 100), round(124.0 / 25.4 * 100))
    assert pixels[:5].min() == 255
    assert pixels.min() < 60
    assert 0.005 < (pixels < 128).mean() < 0.2
    assert png(block, 120.0, dpi=100) == picture
