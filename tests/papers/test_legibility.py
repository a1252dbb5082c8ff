"""Legibility: character heights and contrast by published rules, at the distances from which papers are read.

ISO 9241-303:2011 (quoted from memory): Latin characters subtend 16 minutes of arc at least, 20 to 22 are recommended.
The height is that of a capital without accents, the distance that of the eye. Arm's length is 700 mm for a list on the
cart, 600 mm for a bag in the hand; 400 mm is reading distance for a page held up (common practice for these three).
W3C WCAG 2.2, 1.4.3 and 1.4.6: contrast of text to its ground is at least 4.5 to 1, 7 to 1 for the enhanced level.
"""

import io
import math
import re
from dataclasses import fields, is_dataclass, replace
from importlib.resources import as_file, files

import pypdf
import pytest
from fulfil_demo_catalog.samples.papers import SAMPLES
from fulfil_demo_catalog.samples.stock import bin_labels
from PIL import ImageFont

from fulfil.papers.document import Document
from fulfil.papers.door import leaves
from fulfil.papers.faces import CAP_HEIGHT, FILES, MM_PER_POINT, Face
from fulfil.papers.ink import Text
from fulfil.papers.page import BODY_PT, NUMBER_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.registry import paper_of
from fulfil.papers.wrap import LEAST_PT
from fulfil.records.settings import Paper
from tests.papers import invented

CART_MM, HAND_MM, PAGE_MM, AISLE_MM = 700, 600, 400, 1500
LEAST_ARCMIN, RECOMMENDED_ARCMIN = 16, 20


def arcmin(size_pt: float, distance_mm: float) -> float:
    """What a capital of this type size subtends, in minutes of arc."""
    return math.degrees(2 * math.atan(size_pt * MM_PER_POINT * CAP_HEIGHT / 2 / distance_mm)) * 60


@pytest.mark.parametrize(("face"), list(Face))
def test_the_cap_height_is_the_fonts_own(face):
    """The type scale is reckoned by the height of the letter H, as FreeType draws it from the font file."""
    with as_file(files("fulfil.papers.fonts") / FILES[face]) as path:
        _, top, _, base = ImageFont.truetype(str(path), 1000).getbbox("H", anchor="ls")

    assert (base - top) / 1000 == pytest.approx(CAP_HEIGHT, abs=0.005)


@pytest.mark.parametrize(
    ("size_pt", "distance_mm", "least"),
    [
        (NUMBER_PT, CART_MM, RECOMMENDED_ARCMIN),
        (PLACE_PT, CART_MM, RECOMMENDED_ARCMIN),
        (TARGET_PT, CART_MM, LEAST_ARCMIN),
        (STRONG_PT, HAND_MM, LEAST_ARCMIN),
        (BODY_PT, PAGE_MM, RECOMMENDED_ARCMIN),
        (SMALL_PT, PAGE_MM, LEAST_ARCMIN),
        (LEAST_PT, PAGE_MM - 100, LEAST_ARCMIN),
    ],
)
def test_the_type_scale_is_read_from_where_it_is_read(size_pt, distance_mm, least):
    """Bins, counts and positions from the cart, looks from the hand, the rest from reading distance."""
    assert arcmin(size_pt, distance_mm) >= least


def test_the_numbers_of_a_pick_list_are_large_on_the_page_itself():
    """As drawn: every bin and window of a usual walk is read at arm's length."""
    sheet = invented.pick_list()
    windows = [(bag.lower_g, bag.upper_g) for stop in sheet.stops for bag in stop.bags]
    whole = {f"{lower} – {upper} g" for lower, upper in windows}
    numbers = {stop.bin_code for stop in sheet.stops} | whole | {f"{lower} –" for lower, _ in windows}
    drawn = {}
    for leaf in leaves([sheet], page=Paper.A4)[1:]:
        for mark, _ in leaf.marks():
            if isinstance(mark, Text) and mark.text in numbers:
                drawn[mark.text] = min(mark.size_pt, drawn.get(mark.text, 99))

    assert len(drawn) >= 30
    assert min(arcmin(size_pt, CART_MM) for size_pt in drawn.values()) >= LEAST_ARCMIN


def test_a_bin_label_is_read_from_the_aisle():
    """Its code at 1.5 m."""
    for leaf in leaves(bin_labels(), page=Paper.A4):
        largest = max(mark.size_pt for mark, _ in leaf.marks() if isinstance(mark, Text))

        assert arcmin(largest, AISLE_MM) >= LEAST_ARCMIN


def luminance(grey: float) -> float:
    """Relative luminance of a grey (WCAG 2.2, definition)."""
    return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4


def contrast(a: float, b: float) -> float:
    """Contrast ratio of two greys, 1 to 21."""
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_every_ink_has_the_enhanced_contrast(cases):
    """The files use two greys, black and white, and no colour: every text has 21 to 1 (7 to 1 are asked for)."""
    greys = set()
    for name in ("pick_list A4", "manifest A4", "bag_label 60x40", "day_report A4"):
        for page in pypdf.PdfReader(io.BytesIO(cases[name].pdf)).pages:
            code = re.sub(r"\((\\.|[^()\\])*\)", "", page.get_contents().get_data().decode("latin-1"))
            greys |= {float(number) for number in re.findall(r"(?<![\d.])([\d.]+) [gG]\b", code)}

            assert not re.search(r"[\d.]+ [\d.]+ [\d.]+ (rg|RG)\b", re.sub(r"0 0 0 (rg|RG)", "", code))

    assert greys == {0.0, 1.0}
    assert contrast(0.0, 1.0) == pytest.approx(21.0)
    assert contrast(0.46, 1.0) >= 4.5 > contrast(0.47, 1.0)


def drawn_sizes(leaves, words, but="–", *, is_alone=False):
    """The smallest size at which each of the words is drawn; what is drawn as part of a longer text counts too.

    ``is_alone`` leaves out what stands in a sentence.
    """
    sizes = {}
    for leaf in leaves:
        for mark, _ in leaf.marks():
            if isinstance(mark, Text) and not mark.text.startswith(but):
                parts = set() if is_alone else set(re.split(r"[ ,·]+", mark.text))
                for word in words & {mark.text, *parts}:
                    sizes[word] = min(mark.size_pt, sizes.get(word, 99.0))
    return sizes


def named(sheet, names):
    """The values of fields with these names, anywhere in a sheet."""
    if is_dataclass(sheet):
        for field in fields(sheet):
            value = getattr(sheet, field.name)
            if field.name in names and isinstance(value, str | int) and value:
                yield str(value)
            yield from named(value, names)
    elif isinstance(sheet, tuple):
        for each in sheet:
            yield from named(each, names)


@pytest.mark.parametrize("name", ["pick-list", "pick-list-by-order", "pick-list-large", "pull-slip"])
def test_bins_and_counts_are_read_from_the_cart(name):
    """As drawn in every layout: bins and pieces at 16 pt or more on pick lists (bins 11 pt on the slip in the hand)."""
    sheets = tuple(SAMPLES[name].sheets())
    pages = SAMPLES[name].leaves(page=Paper.A4)
    bins = drawn_sizes(pages, set(named(sheets, {"bin_code"})), is_alone=True)
    counts = [
        mark.size_pt
        for leaf in pages
        for mark, _ in leaf.marks()
        if isinstance(mark, Text) and mark.face is Face.BOLD and mark.text in set(named(sheets, {"pieces"}))
    ]

    assert len(bins) == len(set(named(sheets, {"bin_code"})))
    assert min(bins.values()) >= (STRONG_PT if name == "pull-slip" else PLACE_PT)
    assert counts
    assert max(counts) >= PLACE_PT


@pytest.mark.parametrize(
    "name", sorted(name for name in SAMPLES if isinstance(paper_of(type(SAMPLES[name].sheets()[0])), Document))
)
def test_what_is_read_is_ten_points_or_more(name):
    """Numbers of parts, bags, jobs and packages on every paper of pages, as drawn; a page's foot is looked up only."""
    sheets = tuple(SAMPLES[name].sheets())
    words = set(named(sheets, {"part_number", "bag_code", "package_number", "job_number"}))
    if name.startswith(("pick-list", "checklist")):
        words -= set(named(sheets, {"bag_code"}))  # large by their ends: test_text.py
    sizes = drawn_sizes(SAMPLES[name].leaves(page=Paper.A4), words, but=sheets[0].shop_name)

    assert sizes.keys() >= words
    assert min(sizes.values(), default=BODY_PT) >= BODY_PT


def test_a_walk_s_number_ends_large_and_a_part_s_stays_whole():
    """Of 'W2603020017' the eye compares '017'; 'SCR-0316' is one word. Both are read whole from the file."""
    for number, texts in (("W2603020017", ["W2603020", "017"]), ("SCR-0316", ["SCR-0316"])):
        (leaf, *_) = leaves([replace(invented.checklist(), document_number=number)], page=Paper.A4)
        top = [mark for mark, (_, _, _, bottom) in leaf.marks() if isinstance(mark, Text) and bottom < 22]
        said = [mark for mark in top if mark.face is Face.CODE]
        assert [mark.text for mark in said] == texts
        assert said[-1].size_pt >= 16 > 10 <= said[0].size_pt
