"""Pages of a demo day by kind of paper, and the sheets of A4 that they take.

An A5 page is half a sheet of A4 (ISO 216). Labels are counted apart: they come from a roll.
Run: python -m tests.benchmarks.printed.pages DEMO [EARLIER_DEMO], each a folder of ``fulfil demo --out DEMO``.
"""

import re
import sys
from collections import Counter
from pathlib import Path

import pypdfium2

SIZES = {(210, 297): ("A4", 1.0), (148, 210): ("A5", 0.5)}
"""Width and height in mm: the page's name and how many sheets of A4 it is (ISO 216)."""


def pages(folder):
    """Pages by kind and size in whole mm."""
    found = Counter()
    for path in sorted(folder.rglob("*.pdf")):
        kind = re.sub(r"^[A-Z]*\d[\dA-Z-]*?-(?=[a-z])", "", path.stem)
        document = pypdfium2.PdfDocument(str(path))
        for page in document:
            width, height = (round(side * 25.4 / 72) for side in page.get_size())
            found[kind, (width, height)] += 1
        document.close()
    return found


def main():
    """Prints the table."""
    days = [pages(Path(folder) / "papers") for folder in sys.argv[1:]]
    for key in sorted(set().union(*days)):
        kind, size = key
        name = SIZES.get(size, (f"{size[0]} x {size[1]}", 0.0))[0]
        print(f"{kind:24} {name:10}" + "".join(f"{day[key]:6}" for day in days))
    for day, folder in zip(days, sys.argv[1:], strict=True):
        sheets = sum(count * SIZES[size][1] for (_, size), count in day.items() if size in SIZES)
        documents = sum(count for (_, size), count in day.items() if size in SIZES)
        labels = sum(day.values()) - documents
        print(f"{folder}: {documents} pages of documents = {sheets:g} sheets of A4 on one side; {labels} labels")


if __name__ == "__main__":
    main()
