"""Any paper by its number or name, on a shop of four packages in Luxembourg; printed by the one door."""

from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest

from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.package_papers import order_sheets
from fulfil.despatch.ship import add_range, close_manifest, issue_identifiers
from fulfil.documents import NAMES, document_file, sheets_of
from fulfil.errors import FileRefused, PaperRefused, StateRefused, UnknownRefused
from fulfil.papers.registry import paper_of, papers
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.stock.short_list import ShortListSheet
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.shop.asking import ByNumber
from fulfil.shop.printing import print_papers, print_sheets
from tests.shipping_shop import DAY, NOW, sealed_shop


@pytest.fixture
def shop(tmp_path):
    """Four sealed packages, one of them with a post's number; a manifest by road."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        post = IdentifierRange(
            code="S1", kind=IdentifierKind.S10, service_code="POST", prefix="RR", country="GB", first=47312482,
            last=47312484, given_on=date(2026, 1, 5),
        )  # fmt: skip
        add_range(opened, post, at=NOW, person="c")
        issue_identifiers(opened, "A-2", at=NOW, person="c")
        close_manifest(opened, "ROAD", day=DAY, at=NOW, person="c")
        yield opened


@pytest.mark.parametrize(
    ("asked", "kind", "number"),
    [
        ("A-1", "PackingListSheet", "L2603020001"),
        ("a-1", "PackingListSheet", "L2603020001"),
        ("LA-1", "PackingListSheet", "L2603020001"),
        ("L2603020001", "PackingListSheet", "L2603020001"),
        ("P2603020001", "PackageLabelSheet", "P2603020001"),
        ("RR473124829GB", "LogisticLabelSheet", ""),
        ("G2603020002", "Cn22Sheet", "G2603020002"),
        ("I2603020002", "InvoiceSheet", "I2603020002"),
        ("M2603020001", "ManifestSheet", "M2603020001"),
        ("VA-1", "EvidenceSheet", "VA-1"),
        ("B-SCR-16", "BinLabelSheet", "B-SCR-16"),
        ("SCR-16", "UnitWeightCardSheet", "SCR-16"),
        ("JM260302", "MakeListSheet", "JM260302"),
        ("S26030201", "ShortListSheet", "S26030201"),
        ("short list", "ShortListSheet", "S26030201"),
        ("Short_List", "ShortListSheet", "S26030201"),
        ("D26030201", "DayReportSheet", "D26030201"),
        ("R26030201", "ReconciliationSheet", "R26030201"),
    ],
)
def test_a_paper_is_found_by_what_stands_on_it(shop, asked, kind, number):
    """By its number, by that of what it is about, by its name; and made a file again."""
    (sheet,) = sheets_of(shop, asked, at=NOW)

    assert type(sheet).__name__ == kind
    assert paper_of(type(sheet)).number_of(sheet) == number
    with shop.reading() as books:
        assert document_file(books, [sheet]).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("asked", "refusal", "says"),
    [
        ("XA-1", StateRefused, "an order of which bags were pulled"),
        ("NA-1", StateRefused, "an order of which pieces follow"),
        ("G2603020001", StateRefused, "a package that needs one; P2603020001 goes without"),
        ("counting-table", StateRefused, "a scale for bags that may be used"),
        ("S26139901", UnknownRefused, "expected a number that stands on a paper"),
        ("nothing", UnknownRefused, "expected a number that stands on a paper"),
    ],
)
def test_what_there_is_no_paper_of_is_refused(shop, asked, refusal, says):
    """In the words of the paper where the number is right, else with what can be asked for."""
    with pytest.raises(refusal, match=says):
        sheets_of(shop, asked, at=NOW)


def test_every_paper_can_be_asked_for():
    """By a number or by its name; only large print is chosen by its layout."""
    from fulfil import documents

    by_number = {one.sheet for one in documents._BY_NUMBER if isinstance(one, ByNumber)}
    by_name = {one.sheet for one in documents._BY_NAME.values()}
    left = {sheet.__name__ for sheet in papers()} - {sheet.__name__ for sheet in by_number | by_name}

    assert left == {
        "LargePickListSheet",
        "HalfPickListSheet",
        "Cn23Sheet",
    }  # a CN 23 by the number of its package, as a CN 22
    assert len(NAMES) == len(by_name) >= 8


def test_a_paper_of_the_day_is_that_of_the_shops_own_day(shop):
    """Half past eleven at night in Greenwich is the next day in Luxembourg; a number says its day itself."""
    late = datetime(2026, 3, 2, 23, 30, tzinfo=UTC)

    for asked, day in (("short-list", DAY + timedelta(days=1)), ("S26030201", DAY), ("A-1", DAY + timedelta(days=1))):
        (sheet,) = sheets_of(shop, asked, at=late)
        assert isinstance(sheet, DocumentSheet)
        assert sheet.day == day


def test_papers_are_printed_one_file_a_kind(shop, tmp_path):
    """An order's packing list and label; nothing, and no folder, where a maker makes nothing."""
    paths = print_papers(shop, tmp_path / "out", partial(order_sheets, number="A-1", day=DAY))

    assert [path.name for path in paths] == ["A-1-packing-list.pdf", "A-1-package-labels.pdf"]
    assert sorted((tmp_path / "out").iterdir()) == sorted(paths)
    assert print_papers(shop, tmp_path / "none", lambda _: []) == []
    assert not (tmp_path / "none").exists()


def test_what_can_not_be_printed_whole_leaves_no_file(shop, tmp_path):
    """The second paper of two is refused: neither is written."""
    sheets = sheets_of(shop, "A-1", at=NOW)
    bad = ShortListSheet(document_number="S-1", shop_name="አዲስ", day=DAY, rows=())
    with shop.reading() as books, pytest.raises(PaperRefused, match="አዲስ"):
        print_sheets([*sheets, bad], tmp_path / "out", printer=books.settings())

    assert not (tmp_path / "out").exists()


def test_a_folder_that_may_not_be_written_is_refused_in_our_words(shop, tmp_path):
    """Its name is taken by a file."""
    (tmp_path / "out").write_text("a file")
    with pytest.raises(FileRefused, match=r"Cannot make the folder '.*out': expected a name that no file has"):
        print_papers(shop, tmp_path / "out", partial(printed_manifest, number="M2603020001"))
