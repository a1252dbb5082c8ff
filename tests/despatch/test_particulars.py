"""What customs are told of an order besides its goods: on the papers, in the data, and why papers are printed again.

The data are held to the content list of a postal advance message (UPU M33, ITMATT: published where the list says so).
"""

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdfium2 import PdfDocument

from fulfil.despatch.abroad.customs import note_particulars
from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.despatch.package_set import print_set
from fulfil.despatch.ship import add_range
from fulfil.errors import UnknownRefused
from fulfil.records.despatch.dispatch import Package
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.records.order import Order
from fulfil.records.revised import revised
from fulfil.standards.itmatt import content, lacking
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four sealed packages; that of order A-2 goes to Namibia by post."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def note(shop: Shop, line_no: int = 0, **said: str) -> None:
    """Notes particulars of the order abroad."""
    note_particulars(shop, "A-2", line_no, at=NOW, person="dan", **said)


def printed(shop: Shop, out: Path) -> tuple[str, list[dict[str, object]], list[dict[str, str]]]:
    """The words of the customs paper, and the data as JSON and as CSV."""
    done = declare_order(shop, "A-2", out, day=DAY, at=NOW, person="dan")
    assert done.findings == ()
    pages = PdfDocument(done.written[0])
    words = " ".join(page.get_textpage().get_text_range() for page in pages).replace("\r\n", " ")
    (as_json,) = [json.loads(path.read_bytes()) for path in done.written if path.suffix == ".json"]
    (as_csv,) = [
        [*csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines())]
        for path in done.written
        if path.suffix == ".csv"
    ]
    return words, as_json, as_csv


def test_an_order_is_a_sale_until_somebody_says_otherwise(shop: Shop, tmp_path: Path) -> None:
    """In French and English on the label, in English in the data."""
    words, rows, _ = printed(shop, tmp_path)
    assert "vente de marchandises / sale of goods" in words
    assert "déclaration en douane / customs declaration" in words
    assert {row["category"] for row in rows} == {"sale of goods"}


def test_one_line_may_be_a_sample(shop: Shop, tmp_path: Path) -> None:
    """Both categories stand on the form; each line of the data has its own."""
    note(shop, 3, category="commercial sample")
    words, rows, _ = printed(shop, tmp_path)
    assert "vente de marchandises / sale of goods, échantillon commercial / commercial sample" in words
    assert {(row["hs_code"], row["line_category"]) for row in rows} == {
        ("911490", "commercial sample"), ("731815", "sale of goods"),
    }  # fmt: skip


def test_references_and_a_comment_stand_on_paper_and_in_the_data(shop: Shop, tmp_path: Path) -> None:
    """Of the whole order."""
    note(shop, category="gift", importer_reference="NA 4711", sender_reference="LU 0815", comment="for a museum")
    words, rows, table = printed(shop, tmp_path)
    for said in ("cadeau / gift", "NA 4711", "LU 0815", "for a museum"):
        assert said in words
    assert [rows[0][name] for name in ("category", "importer_reference", "sender_reference", "comment")] == [
        "gift", "NA 4711", "LU 0815", "for a museum",
    ]  # fmt: skip
    assert {name: str(value) for name, value in rows[0].items()} == table[0]


@pytest.mark.parametrize("said", [{"category": "gift"}, {"importer_reference": "NA 1"}, {"comment": "fragile"}])
def test_a_paper_that_says_otherwise_is_printed_again(shop: Shop, tmp_path: Path, said: dict[str, str]) -> None:
    """What was printed before no longer fits; printed again it does."""
    printed(shop, tmp_path)

    def lacks() -> list[str]:
        with shop.reading() as books:
            package, order = books.need(Package, "P2603020002"), books.need(Order, "A-2")
            return [one.says for one in customs_lacks(books, package, order, day=DAY)]

    assert lacks() == []
    note(shop, 0, **said)
    assert lacks() == ["P2603020002 (order A-2) lacks its CN 22"]
    printed(shop, tmp_path)
    assert lacks() == []


def test_a_category_that_the_forms_dont_have_is_refused(shop: Shop) -> None:
    """And a line that the order doesn't have."""
    with pytest.raises(UnknownRefused, match="expected one of sale of goods, gift"):
        note(shop, category="present")
    with pytest.raises(UnknownRefused):
        note(shop, 9, category="gift")


def test_the_data_have_what_an_advance_message_asks_for(shop: Shop, tmp_path: Path) -> None:
    """With a post's number and a telephone nothing is lacking; without, what is lacking is named."""
    _, rows, _ = printed(shop, tmp_path / "a")
    assert lacking(rows[0]) == (
        "item identifier 'P2603020002' (an S10 number of the post)", "sender's telephone",
    )  # fmt: skip
    given = IdentifierRange(
        code="S1",
        kind=IdentifierKind.S10,
        service_code="POST",
        prefix="RR",
        country="LU",
        first=1,
        last=50,
        given_on=DAY,
    )
    add_range(shop, given, at=NOW, person="dan")
    with shop.writing() as books:
        books.replace([revised(books.settings(), {"phone": "+352 000 000"})])
    print_set(shop, tmp_path / "b", orders=["A-2"], day=DAY, at=NOW, person="dan")
    _, rows, _ = printed(shop, tmp_path / "c")
    assert [lacking(row) for row in rows] == [()] * len(rows)
    assert rows[0]["postage"] == "EUR 5.20"
    assert {element.column for element in content()} <= {*rows[0]}
