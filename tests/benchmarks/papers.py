"""How fast papers are written, against the PDF library's own pace in the same run.

Protocol: about 100 pick-list pages as they come, and 3000 bag rows (as many as 100 pages of 30 lines), each page with
its bar code; best of three, processor seconds, since the machine may be shared. The reference writes the same strings
and bars straight to the library's canvas, one call each, without layout: the ratio is the price of ours.
With the folder of a demo (``fulfil demo --out DEMO``) all papers of its day are printed again from a copy of its shop:
what is read from the books, the look-alikes and the writing of files are in the figure, planning and checking aren't.
Run: python -m tests.benchmarks.papers [DEMO]
"""

import io
import shutil
import sys
import tempfile
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from time import process_time

import pypdfium2
from reportlab.pdfgen.canvas import Canvas

from fulfil.papers.door import leaves, pdf
from fulfil.papers.faces import Face, loaded
from fulfil.papers.ink import Bars, Text
from fulfil.records.settings import Paper
from fulfil.standards import code128
from tests.papers import invented


def _best(work):
    times = []
    for _ in range(3):
        begin = process_time()
        made = work()
        times.append(process_time() - begin)
    return min(times), made


def _reference(leaves):
    """The same strings and bars, one call each."""
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    for leaf in leaves:
        for mark, (left, _, _, bottom) in leaf.marks():
            x, y = left * 72 / 25.4, (leaf.size.height_mm - bottom) * 72 / 25.4
            if isinstance(mark, Text):
                canvas.setFont(loaded(mark.face).name, mark.size_pt)
                canvas.drawString(x, y, mark.text)
            elif isinstance(mark, Bars):
                for first, width in code128.bars(mark.symbol):
                    canvas.rect(x + first * mark.module_mm, y, width * mark.module_mm, mark.height_mm, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _pages(pdf):
    document = pypdfium2.PdfDocument(pdf)
    count = len(document)
    document.close()
    return count


def main():
    """Prints the figures."""
    for face in Face:
        loaded(face)

    def walk(stops, bags):
        return invented.pick_list(
            3,
            route_map=None,
            stops=tuple(
                invented.stop(i, bags=[invented.bag(i * 10 + j, 250 + j, position=j % 10 + 1) for j in range(bags)])
                for i in range(1, stops + 1)
            ),
        )

    cases = {
        "100 pick-list pages": [walk(166, 3) for _ in range(3)],
        "3000 bags, 10 a stop": [walk(300, 10)],
        "walk of 40 stops with its map": [invented.pick_list(40)],
    }
    for name, sheets in cases.items():
        seconds, made_file = _best(lambda sheets=sheets: pdf(sheets, page=Paper.A4))
        drawn = leaves(sheets, page=Paper.A4)
        reference, _ = _best(lambda drawn=drawn: _reference(drawn))
        pages = _pages(made_file)
        bags = sum(sheet.bags for sheet in sheets)
        print(
            f"{name}: {pages} pages, {bags} bags, {seconds:.2f} s ({pages / seconds:.0f} pages/s, "
            f"{bags / seconds:.0f} bags/s, {len(made_file) / pages / 1000:.1f} kB a page); "
            f"reference {reference:.2f} s, ratio {seconds / reference:.2f}"
        )
    labels = [invented.bag_label(i) for i in range(1, 601)]
    seconds, _ = _best(lambda: pdf(labels, page=Paper.A4))
    print(f"600 bag labels: {seconds:.2f} s ({600 / seconds:.0f} labels/s)")
    if sys.argv[1:]:
        demo_day(Path(sys.argv[1]))


def demo_day(demo):
    """Prints what all papers of a demo day cost, kind by kind."""
    from fulfil_demo_catalog.demo_day import DAY

    from fulfil.counting.papers import need_counting_tables
    from fulfil.despatch.abroad.customs_papers import declare_order
    from fulfil.despatch.day_papers import day_report_sheet, short_list_sheet
    from fulfil.despatch.manifest_paper import printed_manifest
    from fulfil.despatch.package_papers import order_sheets, orders_with_packages
    from fulfil.despatch.report import report_day
    from fulfil.records.despatch.dispatch import Manifest
    from fulfil.records.plan import WalkRecord
    from fulfil.shop.printing import print_papers
    from fulfil.store.shop import open_shop
    from fulfil.walks.releasing import release_walks

    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        shutil.copy(demo / "shop.sqlite", out / "shop.sqlite")
        with open_shop(out / "shop.sqlite") as shop:
            with shop.reading() as books:
                walks = [walk.number for walk in books.find(WalkRecord)]
                orders = [order.number for order in orders_with_packages(books)]
                manifests = [one.number for one in books.find(Manifest)]
            at = datetime(DAY.year, DAY.month, DAY.day, 17, tzinfo=UTC)
            steps = {
                "walks": lambda: release_walks(shop, walks, out, at=at, person="bench"),
                "orders": lambda: [
                    path
                    for number in orders
                    for path in print_papers(shop, out, partial(order_sheets, number=number, day=DAY))
                ],
                "customs": lambda: [
                    path
                    for number in orders
                    for path in declare_order(shop, number, out, day=DAY, at=at, person="bench").written
                ],
                "manifests": lambda: [
                    path
                    for number in manifests
                    for path in print_papers(shop, out, partial(printed_manifest, number=number))
                ],
                "the day's": lambda: [
                    *print_papers(shop, out, partial(short_list_sheet, day=DAY)),
                    *print_papers(shop, out, partial(need_counting_tables, day=DAY)),
                    *print_papers(shop, out, partial(day_report_sheet, report=report_day(shop, day=DAY))),
                ],
            }
            spent = {}
            files = 0
            for name, step in steps.items():
                begin = process_time()
                files += len(step())
                spent[name] = process_time() - begin
        each = ", ".join(f"{name} {seconds:.2f}" for name, seconds in spent.items())
        print(f"papers of the demo day: {files} files, {sum(spent.values()):.2f} s ({each})")


if __name__ == "__main__":
    main()
