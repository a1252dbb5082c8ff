"""Cases for every paper: its usual sheet and its extremes, on both pages, with what was drawn and what was written."""

import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pypdfium2
import pytest
from fulfil_demo_catalog.samples.papers import SAMPLES

from fulfil.papers.document import Document
from fulfil.papers.door import leaves, pdf
from fulfil.papers.page import LabelSize
from fulfil.papers.registry import paper_of
from fulfil.papers.render import Leaf
from fulfil.records.settings import Paper
from tests.papers import invented


@dataclass
class Case:
    """One paper of one sheet, drawn and written at most once."""

    name: str
    sheets: list[Any]
    draw: Callable[[], list[Leaf]]
    write: Callable[[], bytes]

    @cached_property
    def leaves(self) -> list[Leaf]:
        """The pages as marks."""
        return self.draw()

    @cached_property
    def pdf(self) -> bytes:
        """The file."""
        return self.write()

    @cached_property
    def texts(self) -> list[str]:
        """The text of each page as a reader of the file finds it, without white space."""
        document = pypdfium2.PdfDocument(self.pdf)
        found = []
        for page in document:
            text_page = page.get_textpage()
            found.append(squeezed(text_page.get_text_range()))
            text_page.close()
            page.close()
        document.close()
        return found

    def picture(self, page: int, dpi: int) -> np.ndarray:
        """A page as grey pixels."""
        document = pypdfium2.PdfDocument(self.pdf)
        one = document[page]
        bitmap = one.render(scale=dpi / 72, grayscale=True)
        pixels = np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)
        bitmap.close()
        one.close()
        document.close()
        return pixels


def squeezed(text: str) -> str:
    """Text without any white space."""
    return "".join(text.split())


DOCUMENTS = ("pick_list", "checklist", "packing_list", "manifest", "short_list", "day_report", "cart_card")


def _case(name: str, sheets: list[Any], page: Paper, size: LabelSize | None = None) -> Case:
    return Case(name, sheets, lambda: leaves(sheets, page=page, size=size), lambda: pdf(sheets, page=page, size=size))


def _cases() -> dict[str, Case]:
    made = []
    for page in Paper:
        for name in DOCUMENTS:
            made.append(_case(f"{name} {page}", [getattr(invented, name)()], page))
        for name, sheet in invented.extremes().items():
            made.append(_case(f"extreme {name} {page}", [sheet], page))
    for size in (LabelSize.BAG_60_40, LabelSize.BAG_50_25):
        made.append(_case(f"bag_label {size}", invented.bag_labels(), Paper.A4, size))
    for size in (LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150):
        made.append(_case(f"package_label {size}", invented.package_labels(), Paper.A4, size))
    for name, sample in SAMPLES.items():
        is_document = isinstance(paper_of(type(sample.sheets()[0])), Document)
        if sample.on_sheets or name == "bench-cards":
            continue  # labels among lines to cut along: walk/test_bag_label.py, bench/test_bench_papers.py
        if not is_document:
            made.append(_case(f"sample label {name}", list(sample.sheets()), Paper.A4, sample.size))
        elif name.replace("-", "_") not in DOCUMENTS and name != "pick-list-by-order":
            made += [_case(f"sample {name} {page}", list(sample.sheets()), page) for page in Paper]
    return {case.name: case for case in made}


CASES = _cases()


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for ``case`` runs once for each."""
    if "case" in metafunc.fixturenames:
        metafunc.parametrize("case", list(CASES.values()), ids=list(CASES))


@pytest.fixture(scope="session")
def cases() -> dict[str, Case]:
    """All cases by name."""
    return CASES


@pytest.fixture(scope="session")
def read_text() -> Callable[[bytes], list[str]]:
    """The squeezed text of each page of a file."""
    return lambda pdf: Case("", [], list, lambda: pdf).texts


@pytest.fixture(scope="session")
def open_pdf() -> Callable[[bytes], Any]:
    """A file opened by an independent reader."""
    import pypdf

    return lambda pdf: pypdf.PdfReader(io.BytesIO(pdf))
