"""How fast papers are written, against the PDF library's own pace in the same run.

Protocol: about 100 pick-list pages as they come, and 3000 bag rows (as many as 100 pages of 30 lines), each page with
its bar code; best of three, processor seconds, since the machine may be shared. The reference writes the same strings
and bars straight to the library's canvas, one call each, without layout: the ratio is the price of ours.
Run: python tests/benchmarks/papers.py
"""

import importlib.util
import io
import sys
from pathlib import Path
from time import process_time

import pypdfium2
from reportlab.pdfgen.canvas import Canvas

from fulfil.papers import bag_label, pick_list
from fulfil.papers.faces import Face, loaded
from fulfil.papers.ink import Bars, Text
from fulfil.records.settings import Paper
from fulfil.standards import code128


def _invented():
    path = Path(__file__).parent.parent / "papers" / "invented.py"
    spec = importlib.util.spec_from_file_location("papers_invented", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


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
    made = _invented()
    for face in Face:
        loaded(face)

    def walk(stops, bags):
        return made.pick_list(
            3,
            route_map=None,
            stops=tuple(
                made.stop(i, bags=[made.bag(i * 10 + j, 250 + j, position=j % 10 + 1) for j in range(bags)])
                for i in range(1, stops + 1)
            ),
        )

    cases = {
        "100 pick-list pages": [walk(166, 3) for _ in range(3)],
        "3000 bags, 10 a stop": [walk(300, 10)],
        "walk of 40 stops with its map": [made.pick_list(40)],
    }
    for name, sheets in cases.items():
        seconds, pdf = _best(lambda sheets=sheets: pick_list.pdf(sheets, page=Paper.A4))
        leaves = [leaf for sheet in sheets for leaf in pick_list.leaves(sheet, page=Paper.A4)]
        reference, _ = _best(lambda leaves=leaves: _reference(leaves))
        pages = _pages(pdf)
        bags = sum(sheet.bags for sheet in sheets)
        print(
            f"{name}: {pages} pages, {bags} bags, {seconds:.2f} s ({pages / seconds:.0f} pages/s, "
            f"{bags / seconds:.0f} bags/s, {len(pdf) / pages / 1000:.1f} kB a page); "
            f"reference {reference:.2f} s, ratio {seconds / reference:.2f}"
        )
    labels = [made.bag_label(i) for i in range(1, 601)]
    seconds, pdf = _best(lambda: bag_label.pdf(labels))
    print(f"600 bag labels: {seconds:.2f} s ({600 / seconds:.0f} labels/s)")


if __name__ == "__main__":
    main()
