"""Customs papers of an order: right goods, right paper, nothing vague or restricted gets through unseen."""

import json
from datetime import date
from decimal import Decimal

import pypdfium2
import pytest

from fulfil.despatch.abroad.customs import (
    customs_of,
    customs_stops,
    enter_sdr_rate,
    review_hazards,
    reviewed_hazards,
)
from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.pack import stops
from fulfil.errors import StateRefused
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.shipping.customs import Form
from tests.shipping_shop import DAY, NOW, sealed_shop


@pytest.fixture
def shop(tmp_path):
    """Sealed packages to Germany, Namibia, Great Britain and Greece."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def change(shop, kind, *key, **update):
    """Changes one record."""
    with shop.writing() as books:
        books.replace([books.need(kind, *key).model_copy(update=update)])


def declared(shop, number):
    """The declaration of an order's one package."""
    with shop.reading() as books:
        order = books.need(Order, number)
        return customs_of(books, books.find(Package, order_number=number)[0], order, day=DAY)


def text_of(path):
    """The words of a PDF file."""
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path))


def test_goods_come_from_counted_pieces_and_prices(shop):
    """100 × 1.2034 g + 50 × 1.4012 g of screws are 190.4 g; 12 bushes 5.1 g; 195 g in all; EUR 6 + 4 + 4.20."""
    one = declared(shop, "A-2")

    assert [(line.hs_code, line.pieces, line.net_g, line.value_minor) for line in one.declaration.lines] == [
        ("731815", 150, 190, 1000), ("911490", 12, 5, 420),
    ]  # fmt: skip
    assert one.declaration.net_g == 195
    assert one.form is Form.CN22


@pytest.mark.parametrize(("number", "form"), [("A-1", Form.NONE), ("A-4", Form.NONE), ("A-3", Form.INVOICE)])
def test_the_paper_follows_border_and_service(shop, number, form):
    """Germany and Greece lie in the customs union; a parcel to Great Britain takes a commercial invoice."""
    assert declared(shop, number).form is form


def test_papers_and_their_data_say_the_same(shop, tmp_path):
    """CN 22, CSV and JSON of one package; asked again, byte for byte the same."""
    done = declare_order(shop, "A-2", tmp_path / "a", day=DAY, at=NOW, person="c")
    again = declare_order(shop, "A-2", tmp_path / "b", day=DAY, at=NOW, person="c")

    assert [path.name for path in done.written] == ["A-2-customs-cn22.pdf", "A-2-customs.json", "A-2-customs.csv"]
    assert [path.read_bytes() for path in done.written] == [path.read_bytes() for path in again.written]
    words = text_of(done.written[0])
    for word in (
        "CN 22",
        "steel cap screws",
        "7318.15 DE",
        "0.190",
        "10.00",
        "SDR 12.35 (1 SDR = EUR 1.15 on 2026-02-27)",
    ):
        assert word in words.replace("\r\n", " ")
    # No invoice is printed, so none is named.
    assert "invoice" not in words
    rows = json.loads(done.written[1].read_text(encoding="utf-8"))
    assert [(row["hs_code"], row["pieces"], row["net_kg"], row["value"]) for row in rows] == [
        ("731815", 150, "0.190", "10.00"), ("911490", 12, "0.005", "4.20"),
    ]  # fmt: skip
    assert len(done.written[2].read_text(encoding="utf-8").splitlines()) == 3


def test_the_data_say_who_sends_what_to_whom_by_which_form(shop, tmp_path):
    """A parcel by post says CN 23 on screen, in JSON and in CSV alike, with both parties and the category."""
    change(shop, Service, "POST", size_preset="parcel, 1.05 m")
    done = declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="c")

    assert done.written[0].name == "A-2-customs-cn23.pdf"
    assert {one.form for one in done.declared} == {Form.CN23}
    rows = json.loads((tmp_path / "A-2-customs.json").read_text(encoding="utf-8"))
    assert {row["paper"] for row in rows} == {"CN 23"}
    first = rows[0]
    assert (first["item_number"], first["category"]) == ("P2603020002", "sale of goods")
    assert (first["consignee_city"], first["consignee_phone"]) == ("Sampleberg", "+352 000 000 0000")
    assert (first["sender"], first["sender_country"]) == ("Invented Escapement Works", "LU")


def test_goods_too_long_for_a_label_say_cn_23_everywhere(shop, tmp_path):
    """The label has no room for them; the data follow the paper that is printed."""
    change(shop, Part, "SCR-16", customs_description="steel cap screws " + "of very many different sizes " * 6)
    change(shop, Part, "SCR-20", customs_description="steel set screws " + "of very many different sizes " * 6)
    change(shop, Part, "BUSH-3", customs_description="turned brass bushes " + "of very many different sizes " * 6)
    done = declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="c")

    assert done.written[0].name == "A-2-customs-cn23.pdf"
    rows = json.loads((tmp_path / "A-2-customs.json").read_text(encoding="utf-8"))
    assert {row["paper"] for row in rows} == {"CN 23"}


def test_above_300_sdr_a_postal_package_takes_cn_23_and_an_invoice(shop, tmp_path):
    """100 screws at EUR 3.50 are EUR 350.00, above 300 SDR of EUR 1.15."""
    change(shop, OrderLine, "A-2", 1, unit_price_minor=350)
    done = declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="c")

    assert [path.name for path in done.written][:2] == ["A-2-customs-cn23.pdf", "A-2-customs-invoice.pdf"]
    assert "CN 23" in text_of(done.written[0])
    assert "EUR 358.20" in text_of(done.written[1])
    assert "postal charges: EUR 5.20" in text_of(done.written[0])
    assert all("I2603020002" in text_of(path) for path in done.written[:2])


def test_the_newest_rate_up_to_the_day_decides(shop):
    """A rate of tomorrow isn't used; a dearer SDR entered today is."""
    change(shop, OrderLine, "A-2", 1, unit_price_minor=350)
    enter_sdr_rate(shop, SdrRateEntry(currency="EUR", as_of=date(2026, 3, 3), per_sdr="9"), at=NOW, person="c")
    assert declared(shop, "A-2").form is Form.CN23
    enter_sdr_rate(shop, SdrRateEntry(currency="EUR", as_of=DAY, per_sdr="1.30"), at=NOW, person="c")
    assert declared(shop, "A-2").form is Form.CN22


def test_a_currency_without_a_rate_takes_cn_23(shop):
    """Nobody can say that CN 22 is enough; the paper says so."""
    change(shop, Order, "A-2", currency="USD")

    assert declared(shop, "A-2").form is Form.CN23


@pytest.mark.parametrize(
    ("update", "field"),
    [
        ({"customs_description": "parts"}, "customs_description"),
        ({"hs_code": ""}, "hs_code"),
        ({"origin": ""}, "origin"),
    ],
)
def test_what_can_not_be_declared_stops_the_package_and_its_papers(shop, tmp_path, update, field):
    """Named at the packing bench, at the papers, and nothing is printed; inside the union nobody asks."""
    change(shop, Part, "SCR-16", **update)
    done = declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="c")

    assert [finding.field for finding in done.findings] == [field]
    assert done.written == ()
    with shop.reading() as books:
        at_bench = stops(books, books.need(Package, "P2603020002"), books.need(Order, "A-2"))
        assert [finding.field for finding in at_bench] == [field]
        assert customs_stops(books, books.need(Package, "P2603020001"), books.need(Order, "A-1")) == []


def test_restricted_goods_wait_for_a_trained_person(shop):
    """Enamel is flammable: refused by post whatever is said, let through by road only after a recorded review."""
    for bag, package in (("B11", "P2603020001"), ("B21", "P2603020002")):
        change(shop, Bag, bag, part_number="ENAMEL")
        change(shop, Package, package, state=PackageState.STOP)

    def hazards(package, order):
        with shop.reading() as books:
            found = stops(books, books.need(Package, package), books.need(Order, order))
        return [finding.says for finding in found if finding.field == "hazard"]

    assert hazards("P2603020001", "A-1") == ["flammable goods are restricted in transport"]
    for package in ("P2603020001", "P2603020002"):
        review_hazards(shop, package, "UN 1263, limited quantity, label on", at=NOW, person="trained-1")
    assert hazards("P2603020001", "A-1") == []
    assert hazards("P2603020002", "A-2") == ["the service refuses flammable goods"]
    with shop.reading() as books:
        assert reviewed_hazards(books, books.need(Package, "P2603020001")) == ("flammable",)


def test_no_paper_says_reviewed_before_anyone_did(shop, tmp_path):
    """A flammable package to Great Britain: no paper until the review, then its declaration says so."""
    change(shop, Bag, "B31", part_number="ENAMEL")
    change(shop, Order, "A-3", service_code="POST")
    change(shop, Service, "POST", refuses="")
    change(shop, Package, "P2603020003", service_code="POST", gross_g=Decimal(900), state=PackageState.STOP)
    waits = declare_order(shop, "A-3", tmp_path, day=DAY, at=NOW, person="c")

    assert [finding.field for finding in waits.findings] == ["hazard"]
    assert waits.written == ()
    review_hazards(shop, "P2603020003", "UN 1263, limited quantity, label on", at=NOW, person="trained-1")
    done = declare_order(shop, "A-3", tmp_path, day=DAY, at=NOW, person="c")
    assert "reviewed by a trained person" in " ".join(text_of(done.written[0]).split())


def test_a_review_needs_goods_to_review_and_a_reason(shop):
    """Screws need none; an empty reason is no review."""
    with pytest.raises(StateRefused, match="goods that are restricted in transport"):
        review_hazards(shop, "P2603020001", "x", at=NOW, person="t")
    change(shop, Bag, "B11", part_number="ENAMEL")
    with pytest.raises(StateRefused, match="a reason"):
        review_hazards(shop, "P2603020001", " ", at=NOW, person="t")


def test_a_shop_without_a_country_has_no_border(shop):
    """XX stands for 'not set': nobody can say what crosses it."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"country": "XX"})])

    assert declared(shop, "A-2").form is Form.NONE
