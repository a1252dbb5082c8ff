"""Customs papers, invoices, logistic labels and reconciliations: whole, inside their margins, read by a scanner.

Independent readers: pypdfium2 renders, zxing-cpp decodes, biip and python-stdnum parse what was decoded.
"""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import biip
import numpy as np
import pypdfium2
import pytest
import zxingcpp
from stdnum import gs1_128

from fulfil.despatch.manifest_paper import sheet_json, sheet_of_json
from fulfil.errors import PaperRefused
from fulfil.papers.day.reconciliation import DifferenceRow, ReconciliationSheet, SumRow
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import CustomsRow
from fulfil.papers.despatch.invoice import InvoiceRow, InvoiceSheet
from fulfil.papers.despatch.logistic_label import LogisticLabelSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.door import leaves, pdf
from fulfil.papers.ink import Bars, Text
from fulfil.papers.page import LabelSize
from fulfil.records.settings import Paper
from tests.papers import geometry, invented

DAY = date(2026, 3, 2)
SHOP, NOTICE = "Invented Escapement Works", "Demo shop: all data invented, weighings simulated."
FROM = (SHOP, "1, rue du Modèle", "L-4750 MUSTERDUERF", "LUXEMBOURG")
TO = ("Επινοημένος Πελάτης 4", "Invented Clockworks 2", "Οδός Παραδείγματος 1", "151 24 ΠΑΡΆΔΕΙΓΜΑ", "GREECE")
LONG = "turned brass collets with set screws for the seconds arbors of clock movements and for the cams of automata"


def customs(form, rows, words="turned brass collets for clock movements"):
    """A declaration of so many kinds of goods."""
    made = tuple(
        CustomsRow(description=f"{words} {n}", pieces=12_345, net_g=1900, value_minor=123_456, hs_code="9114.90",
                   origin="DE") for n in range(rows)
    )  # fmt: skip
    kind = {"CN 22": Cn22Sheet, "CN 23": Cn23Sheet}[form]
    return kind(
        document_number="C2603020002", shop_name=SHOP, day=DAY, notice=NOTICE, item_number="RR473124829GB",
        order_number="260302-044", invoice_number="I2603020002", from_lines=FROM, to_lines=TO, category="sale of goods",
        from_contact="+352 000 000 0000 · shop@example.org", importer_contact="+30 000 000 0002 · two@example.org",
        currency="EUR", rows=made, gross_g=Decimal(1999), sdr_sentence="SDR 312.35 (1 SDR = EUR 1.15 on 2026-02-27)",
    )  # fmt: skip


def bill(rows):
    """An invoice of so many lines."""
    made = tuple(
        InvoiceRow(line_no=n, part_number=f"CE{n:04d}-O", description=LONG, pieces=1500, unit_price_minor=12_345,
                   hs_code="9114.90.00.10", origin="LU") for n in range(1, rows + 1)
    )  # fmt: skip
    return InvoiceSheet(
        document_number="I2603020002", shop_name=SHOP, day=DAY, notice=NOTICE, order_number="260302-044",
        from_lines=FROM, to_lines=TO, service="Pendulum Parcel (invented)", country_of_destination="Greece",
        countries_of_origin=("DE", "LU"), terms="DAP Παράδειγμα, Greece (Incoterms 2020)", currency="JPY", rows=made,
        packages=(PackedPackage(number="P2603020002", gross_g=Decimal(1999)),), net_g=1850, declaration="True.",
    )  # fmt: skip


def label(sscc="095200012300000028", item="RR473124829GB", to=TO, **change):
    """A logistic label with both numbers."""
    words = PackageLabelSheet(
        package_number="P2603020002", order_number="260302-044", service="Sundial Post Small Packet (invented)",
        from_lines=FROM, to_lines=to, package_no=1, packages=2, gross_g=Decimal(1999), notice=NOTICE, **change,
    )  # fmt: skip
    return LogisticLabelSheet(label=words, sscc=sscc, item_number=item)


def reconciled(rows):
    """A reconciliation of so many differences and orders."""
    made = tuple(
        DifferenceRow(code=f"{n:08X}", cause="billed weight", subject=f"package P260302{n:04d}", says=LONG, do="ask",
                      money="EUR 1234567.89", outcome="Settled by clerk-1: credit note 17" if n % 2 else "")
        for n in range(rows)
    )  # fmt: skip
    return ReconciliationSheet(
        document_number="R26030201", shop_name=SHOP, day=DAY, notice=NOTICE, state_sentence="5 differences are open.",
        is_closed=False, sums=(SumRow(label="grams: manifests; packages", ours="1 g", theirs="2 g", agrees=False),),
        differences=made, costs=tuple((f"260302-{n:03d}", "2", "EUR 9.90", "–") for n in range(rows)),
    )  # fmt: skip


def _cases():
    cases = {
        "CN 22": leaves([customs("CN 22", 1), customs("CN 22", 6)], page=Paper.A4),
        "logistic A6": leaves([label(), label(sscc=""), label(item="")], page=Paper.A4),
        "logistic 100 x 150": leaves([label()], page=Paper.A4, size=LabelSize.PACKAGE_100_150),
        "logistic 203": leaves([label()], page=Paper.A4, printer_dpi=203),
    }
    for page in Paper:
        cases[f"CN 23 {page}"] = leaves([customs("CN 23", 40, LONG)], page=page)
        cases[f"invoice {page}"] = leaves([bill(40)], page=page)
        cases[f"invoice, one line {page}"] = leaves([bill(1)], page=page)
        cases[f"reconciliation {page}"] = leaves([reconciled(30)], page=page)
    return cases


CASES = _cases()


@pytest.mark.parametrize("name", CASES)
def test_the_house_rules_of_geometry_hold(name):
    """Inside the margins, 7 pt and more, no text on text, quiet zones free: usual and extreme sheets."""
    drawn = CASES[name]

    geometry.assert_inside_margins(drawn)
    geometry.assert_readable_sizes(drawn)
    geometry.assert_no_text_on_text(drawn)
    geometry.assert_black_on_white(drawn)
    geometry.assert_quiet_zones(drawn)


def decoded(made, dpi):
    """What a scanner reads from the first page, laid on a dark ground with 5 mm of it around."""
    page = pypdfium2.PdfDocument(made)[0]
    bitmap = page.render(scale=dpi / 72, grayscale=True)
    pixels = np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)
    dark = np.zeros((pixels.shape[0] + dpi // 2, pixels.shape[1] + dpi // 2), dtype=np.uint8)
    edge = dpi // 4
    dark[edge : edge + pixels.shape[0], edge : edge + pixels.shape[1]] = pixels
    found = zxingcpp.read_barcodes(dark, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.Code128))
    return {one.text: (one.symbology_identifier, bytes(one.bytes).decode()) for one in found}


@pytest.mark.parametrize("dpi", [203, 300])
@pytest.mark.parametrize("size", [LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150])
def test_a_label_is_read_at_203_and_300_dpi_on_a_dark_ground(dpi, size):
    """SSCC as GS1-128 (]C1), item number as plain Code 128 (]C0), and two independent parsers agree on both."""
    read = decoded(pdf([label()], page=Paper.A4, size=size, printer_dpi=dpi), dpi)

    assert {kind for kind, _ in read.values()} == {"]C1", "]C0"}
    said = next(data for kind, data in read.values() if kind == "]C1")
    assert said == "00095200012300000028"
    assert biip.parse(f"]C1{said}").sscc.value == "095200012300000028"
    assert gs1_128.info(said) == {"00": "095200012300000028"}
    assert next(data for kind, data in read.values() if kind == "]C0") == "RR473124829GB"


@pytest.mark.parametrize("dpi", [203, 300])
def test_bars_of_the_sscc_have_the_guidelines_size(dpi):
    """Module 0.495 to 0.94 mm in whole dots, bars 31.75 mm high, lowest on the label.

    Source: GS1 General Specifications, logistic units (quoted from memory); GS1 Logistic Label Guideline 1.3.
    """
    (leaf,) = leaves([label()], page=Paper.A4, printer_dpi=dpi)
    bars = [(mark, extent) for mark, extent in leaf.marks() if isinstance(mark, Bars)]
    lowest, _ = max(bars, key=lambda one: one[1][3])

    assert lowest.text == "(00)095200012300000028"
    assert 0.495 <= lowest.module_mm <= 0.94
    assert lowest.height_mm == 31.75
    dots = lowest.module_mm * (8 if dpi == 203 else dpi / 25.4)
    assert abs(dots - round(dots)) < 1e-9


@pytest.mark.parametrize("dpi", [203, 300])
def test_the_item_number_of_a_cn_22_is_read(dpi):
    """From a label printer of 203 and 300 dpi."""
    assert list(decoded(pdf([customs("CN 22", 6)], page=Paper.A4, printer_dpi=dpi), dpi)) == ["RR473124829GB"]


def test_every_particular_stands_on_the_papers(read_text):
    """Words, codes, masses and totals as given; Greek letters too."""
    cn22 = "".join(read_text(pdf([customs("CN 22", 2)], page=Paper.A4)))
    cn23 = "".join(read_text(pdf([customs("CN 23", 12)], page=Paper.A4)))
    paper = "".join(read_text(pdf([bill(2)], page=Paper.A4)))

    for word in ("CN22", "saleofgoods", "9114.90DE", "1.900", "1234.56", "2469.12", "valueEUR", "12345", "3.800"):
        assert word in cn22
    for word in ("ΕπινοημένοςΠελάτης4", "RR473124829GB", "gross", "1.999kg", "EUR14814.72", "148140", "22.800"):
        assert word in cn23.replace("\N{NARROW NO-BREAK SPACE}", "")
    for word in ("9114.90.00.10", "CE0002-O", "JPY37035000", "DAPΠαράδειγμα,Greece(Incoterms2020)", "netmass1.850kg"):
        assert word in paper


def test_too_many_goods_for_a_label_and_foreign_letters_are_refused():
    """Nothing is cut in silence; the remedy is said."""
    with pytest.raises(PaperRefused):
        pdf([customs("CN 22", 6, LONG)], page=Paper.A4)
    with pytest.raises(PaperRefused, match="write this text in Latin, Greek or Cyrillic letters"):
        pdf([label(to=("አዲስ", "JAPAN"))], page=Paper.A4)


def test_the_same_sheet_gives_the_same_bytes():
    """No clock in any of them."""
    for make in (
        lambda: pdf([customs("CN 22", 3)], page=Paper.A4),
        lambda: pdf([customs("CN 23", 3)], page=Paper.A4),
        lambda: pdf([bill(3)], page=Paper.LETTER),
        lambda: pdf([label()], page=Paper.A4),
        lambda: pdf([reconciled(3)], page=Paper.A4),
    ):
        assert make() == make()


def test_a_closed_day_has_a_light_frame():
    """Closed and settled: no caution sign stays."""
    open_day = pdf([reconciled(1)], page=Paper.A4)
    closed = pdf([replace(reconciled(1), is_closed=True)], page=Paper.A4)

    assert open_day != closed


def test_a_manifest_that_was_closed_before_keeps_its_drawing():
    """Kept without an edition it says 'given', kilograms among grams; one of today has one unit and 'handed over'."""
    today = invented.manifest()
    kept = json.loads(sheet_json(today))
    del kept["content"]["edition"]
    before = sheet_of_json(json.dumps({"version": 2, "content": kept["content"]}))
    old, new = (
        {mark.text for leaf in leaves([sheet], page=Paper.A4) for mark, _ in leaf.marks() if isinstance(mark, Text)}
        for sheet in (before, today)
    )

    assert sheet_of_json(sheet_json(today)) == today
    assert {"given", "1950 g", "2.260 kg"} <= old
    assert {"1950 g", "2260 g"} <= new
    assert not {"given", "2.260 kg"} & new
