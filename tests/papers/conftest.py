"""Cases for every paper: its usual sheet and its extremes, on both pages, with what was drawn and what was written."""

import importlib.util
import io
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pypdfium2
import pytest

from fulfil.papers.day import day_report
from fulfil.papers.despatch import manifest, package_label, packing_list
from fulfil.papers.page import LabelSize
from fulfil.papers.render import Leaf
from fulfil.papers.sample_papers import DOCUMENTS as SAMPLED
from fulfil.papers.sample_papers import LABELS, sample_leaves, sample_sheets
from fulfil.papers.stock import short_list
from fulfil.papers.walk import bag_label, cart_card, checklist, pick_list
from fulfil.records.settings import Paper


def _load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"papers_{name}", Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


INVENTED = _load("invented")
GEOMETRY = _load("geometry")


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


DOCUMENTS: dict[str, ModuleType] = {
    "pick_list": pick_list,
    "checklist": checklist,
    "packing_list": packing_list,
    "manifest": manifest,
    "short_list": short_list,
    "day_report": day_report,
    "cart_card": cart_card,
}


def _document(name: str, paper: ModuleType, sheet: Any, page: Paper) -> Case:
    return Case(
        f"{name} {page}",
        [sheet],
        lambda: paper.leaves(sheet, page=page, printer_dpi=300),
        lambda: paper.pdf([sheet], page=page, printer_dpi=300),
    )


def _labels(name: str, paper: ModuleType, sheets: list[Any], size: LabelSize) -> Case:
    return Case(
        f"{name} {size}",
        sheets,
        lambda: paper.leaves(sheets, size=size, printer_dpi=300),
        lambda: paper.pdf(sheets, size=size, printer_dpi=300),
    )


def _cases() -> dict[str, Case]:
    made = []
    for page in Paper:
        for name, paper in DOCUMENTS.items():
            made.append(_document(name, paper, getattr(INVENTED, name)(), page))
        for name, sheet in INVENTED.extremes().items():
            made.append(_document(f"extreme {name}", DOCUMENTS[INVENTED.PAPER_OF[type(sheet).__name__]], sheet, page))
        for name, (paper, sheet) in SAMPLED.items():
            if name.replace("-", "_") not in DOCUMENTS and name != "pick-list-by-order":
                made.append(_document(f"sample {name}", paper, sheet(), page))
    for size in (LabelSize.BAG_60_40, LabelSize.BAG_50_25):
        made.append(_labels("bag_label", bag_label, INVENTED.bag_labels(), size))
    for size in (LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150):
        made.append(_labels("package_label", package_label, INVENTED.package_labels(), size))
    for name, labels in LABELS.items():
        if labels.is_on_pages:
            continue  # cards among lines to cut along: test_bench_papers.py
        options = labels.options(Paper.A4, 300)
        made.append(
            Case(
                f"sample label {name}",
                sample_sheets(name),
                lambda name=name: sample_leaves(name, page=Paper.A4),
                lambda labels=labels, options=options: labels.paper.pdf(labels.sheets(), **options),
            )
        )
    return {case.name: case for case in made}


CASES = _cases()


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for ``case`` runs once for each."""
    if "case" in metafunc.fixturenames:
        metafunc.parametrize("case", list(CASES.values()), ids=list(CASES))


@pytest.fixture(scope="session")
def invented() -> ModuleType:
    """The invented sheets."""
    return INVENTED


@pytest.fixture(scope="session")
def geometry() -> ModuleType:
    """The assertions on drawn pages."""
    return GEOMETRY


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
