"""Bar codes read from the dots that each printer profile produces, clean and on simulated poor prints.

Every bag label, package label and CN 22 of a demo day is made for a label printer of the profile, drawn as its dots,
and read by zxing-cpp. Poor prints are simulated, not printed: *blurred* (Gaussian, s.d. 0.8 dot), *faint* (black at
45 % grey and paper at 92 %, a worn head), *specks* (1 dot in 100 turned), *grown* (black grows by a third of a dot to
each side, ink spread), *skew* (turned by 2°). Also: what the 300-dpi paper gives on a 203-dpi printer, the way it was
before printers were settings. ISO/IEC 15416 grades need a verifier and the print in hand: none is claimed. Two of its
parameters are asked of the dots (by its names, from memory): the quiet zones, ten modules free of black on both sides
over the bars' whole height (ISO/IEC 15417), and the symbol contrast, largest less least reflectance, of the clean and
of the faint print. Pick lists go through a 300- and a 600-dpi office printer.
Run: python -m tests.benchmarks.printed.decoding DEMO [LABELS [KIND]...], DEMO a folder of ``fulfil demo --out DEMO``.
"""

import shutil
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pypdfium2
import zxingcpp
from fulfil_demo_catalog.demo_day import DAY
from PIL import Image, ImageFilter

from fulfil.despatch.abroad.customs_papers import customs_set
from fulfil.despatch.package_papers import orders_with_packages, package_label_sheets
from fulfil.errors import PaperRefused
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.door import leaves, pdf
from fulfil.papers.ink import Bars
from fulfil.papers.page import LabelSize
from fulfil.papers.raster.dots import dots
from fulfil.records.plan import WalkRecord
from fulfil.records.settings import Paper
from fulfil.store.shop import open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import walk_sheets

RESOLUTIONS = (203, 300)
OFFICE = (300, 600)
QUIET_MODULES = 10
SEED = 18


def _poor(image, name, random):
    """One kind of poor print, as grey."""
    grey = image.convert("L")
    if name == "blurred":
        return grey.resize((grey.width * 2, grey.height * 2)).filter(ImageFilter.GaussianBlur(1.6))
    if name == "faint":
        return grey.point(lambda value: 115 + value * 120 // 255)
    if name == "specks":
        pixels = np.array(grey)
        turned = random.random(pixels.shape) < 0.01
        return Image.fromarray(np.where(turned, 255 - pixels, pixels).astype(np.uint8))
    if name == "grown":
        return grey.resize((grey.width * 3, grey.height * 3), Image.Resampling.NEAREST).filter(ImageFilter.MinFilter(3))
    if name == "skew":
        return grey.rotate(2, expand=True, fillcolor=255, resample=Image.Resampling.BICUBIC)
    return grey


def _read(image, wanted):
    """How many of the wanted texts are read."""
    margin = 20
    framed = Image.new("L", (image.width + 2 * margin, image.height + 2 * margin), 255)
    framed.paste(image.convert("L"), (margin, margin))
    return sum(text in {one.text for one in zxingcpp.read_barcodes(framed)} for text in wanted)


def _is_quiet(leaf, image, dpi):
    """Whether each symbol of a page has its quiet zones, and its contrast in per cent of full reflectance."""
    grey = np.array(image.convert("L"))
    per_mm = dpi / 25.4
    quiet, contrasts = [], []
    for mark, (left, top, right, bottom) in leaf.marks():
        if not isinstance(mark, Bars):
            continue
        rows = slice(round(top * per_mm) + 1, round(bottom * per_mm) - 1)
        first, last = round(left * per_mm), round(right * per_mm)
        zone = round(QUIET_MODULES * mark.module_mm * per_mm) - 1
        before, after = grey[rows, max(0, first - zone) : first - 1], grey[rows, last + 1 : last + zone]
        is_whole = first >= zone and last + zone <= grey.shape[1]
        quiet.append(is_whole and before.min() == after.min() == 255)
        bars = grey[rows, first:last]
        contrasts.append((int(bars.max()) - int(bars.min())) * 100 / 255)
    return quiet, contrasts


def _sheets(shop):
    """The labels of the day by kind."""
    with shop.reading() as books:
        index = look_alike_index(books)
        walks = [walk_sheets(books, walk, index=lambda _: index) for walk in books.find(WalkRecord)]
        bags = [label for walk in walks for label in walk.bag_labels]
        orders = orders_with_packages(books)
        packages = [label for order in orders for label in package_label_sheets(books, order)]
        customs = [
            paper.sheet
            for order in orders
            for paper in customs_set(books, order, day=DAY).papers
            if isinstance(paper.sheet, Cn22Sheet)
        ]
    return {
        "bag labels 60 x 40": (bags, LabelSize.BAG_60_40),
        "bag labels 50 x 25": (bags, LabelSize.BAG_50_25),
        "package labels 100 x 150": (packages, LabelSize.PACKAGE_100_150),
        "CN 22 102 x 152": (customs, LabelSize.PACKAGE_102_152),
        "pick list A4": ([walk.pick_list for walk in walks], None),
    }


def _drawn(sheet, size, dpi):
    """The label as a page; none where it is refused."""
    try:
        return leaves([sheet], page=Paper.A4, size=size, printer_dpi=dpi)
    except PaperRefused:
        return []


def _texts(leaf):
    return [mark.text for mark, _ in leaf.marks() if isinstance(mark, Bars)]


def main():
    """Prints the table."""
    demo = Path(sys.argv[1])
    most = int(sys.argv[2]) if sys.argv[2:] else 60
    random = np.random.default_rng(SEED)
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(demo / "shop.sqlite", folder)
        with open_shop(Path(folder) / "shop.sqlite") as shop:
            kinds = _sheets(shop)
    only = sys.argv[3:]
    for name, (sheets, size) in kinds.items():
        if only and not any(word in name for word in only):
            continue
        for dpi in RESOLUTIONS if size else OFFICE:
            made = [_drawn(sheet, size, dpi) for sheet in sheets]
            refused = sum(not each for each in made)
            drawn = [leaf for each in made for leaf in each]
            clean = [(dots(leaf, dpi).image(), _texts(leaf)) for leaf in drawn]
            wanted = sum(len(texts) for _, texts in clean)
            read = sum(_read(image, texts) for image, texts in clean)
            row = [f"{refused} of {len(sheets)} refused, clean {read}/{wanted}"]
            asked = [_is_quiet(leaf, image, dpi) for leaf, (image, _) in zip(drawn, clean, strict=True)]
            quiet = [each for zones, _ in asked for each in zones]
            contrast = min((each for _, contrasts in asked for each in contrasts), default=0)
            faint = [
                each
                for leaf, (image, _) in zip(drawn[:most], clean, strict=False)
                for each in _is_quiet(leaf, _poor(image, "faint", random), dpi)[1]
            ]
            row.append(f"quiet zones {sum(quiet)}/{len(quiet)}, contrast {contrast:.0f} % (faint {min(faint):.0f} %)")
            for poor in ("blurred", "faint", "specks", "grown", "skew"):
                some = clean[:most]
                read = sum(_read(_poor(image, poor, random), texts) for image, texts in some)
                row.append(f"{poor} {read}/{sum(len(texts) for _, texts in some)}")
            print(f"{name:26} {dpi} dpi: {', '.join(row)}", flush=True)
        if size is None:
            continue
        fit = [sheet for sheet in sheets[:most] if _drawn(sheet, size, 300)]
        file = pypdfium2.PdfDocument(pdf(fit, page=Paper.A4, size=size, printer_dpi=300))
        shown = [page.render(scale=8 * 25.4 / 72, grayscale=True).to_pil().convert("1", dither=0) for page in file]
        texts = [_texts(leaf) for leaf in leaves(fit, page=Paper.A4, size=size, printer_dpi=300)]
        read = sum(_read(image, each) for image, each in zip(shown, texts, strict=True))
        print(f"{name:26} made for 300, printed at 203 dpi: {read}/{sum(map(len, texts))}", flush=True)


if __name__ == "__main__":
    print(datetime.now(UTC).date(), "simulated prints, none on paper")
    main()
