"""Any carrier's file by a mapping, whole or not at all; each fault named with its line."""

from decimal import Decimal

import pytest

from fulfil.errors import FileRefused, Refusal
from fulfil.files.bill_mapping import BillMapping, read_mapping
from fulfil.files.carrier_bill import read_bill

RIGHT = b"setting,value\npackage_column,Parcel\ncharge_column,Net\ncurrency,EUR\n"


def bill(text, **change):
    """The bill of a text."""
    mapping = BillMapping(**({"package_column": "Parcel", "charge_column": "Net", "currency": "EUR"} | change))
    return read_bill(text.encode(mapping.encoding or "utf-8"), "bill.csv", mapping)


def test_columns_of_any_name_and_order_units_and_signs():
    """Semicolons, a decimal comma, pounds, a word for the service, a currency column, a credit."""
    read = bill(
        "Produkt;Netto;Whrg;Gewicht;Sendung;Bemerkung\nStd;6,90;eur;2,5;P1;x\nStd;-1,10;EUR;;P1;Gutschrift\n",
        package_column="Sendung", charge_column="Netto", currency="", currency_column="Whrg", weight_column="Gewicht",
        weight_unit="lb", service_column="Produkt", services={"std": "ROAD"}, decimal_sign=",", separator=";",
        encoding="cp1252",
    )  # fmt: skip

    assert read.findings == ()
    assert [(one.line_no, one.service_code, one.billed_g, one.charge_minor, one.currency) for one in read.lines] == [
        (2, "ROAD", Decimal("1133.981"), 690, "EUR"), (3, "ROAD", None, -110, "EUR"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "weight", "grams"),
    [
        ("oz", "16", "453.592"),  # a pound
        ("oz", "1000", "28349.523"),  # 28.35 g to the ounce would be half a gram more
        ("oz", "0.5", "14.175"),
        ("lb", "22", "9979.032"),
        ("kg", "1.2345", "1234.5"),
        ("g", "812.4", "812.4"),
    ],
)
def test_a_weight_in_any_unit_is_exact_to_a_milligram(unit, weight, grams):
    """The avoirdupois pound is 0.453 592 37 kg exactly and the ounce a sixteenth of it.

    Source: NIST SP 811 (2008), appendix B.8 and footnote; the sixteenth and the products are worked out by hand.
    """
    read = bill(f"Parcel,Net,Weight\nP1,5,{weight}\n", weight_column="Weight", weight_unit=unit)

    assert [one.billed_g for one in read.lines] == [Decimal(grams)]


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("Parcel,Net\n,5\n", 2, "must not be empty"),
        ("Parcel,Net\nP1,\n", 2, "digits with at most one"),
        ("Parcel,Net\nP1,5 USD\n", 2, "is in USD, the bill in EUR"),
        ("Parcel,Net\nP1,5.0055\n", 2, "at most 2 decimals"),
        ("Parcel,Net\nP1,1,2\n", 2, "has 3 cells"),
        ("Parcel,Price\nP1,5\n", 1, "is missing as a column"),
        ("", 1, "is empty"),
    ],
)
def test_each_fault_keeps_the_file_out(text, line, says):
    """Nothing is half taken; the line is named."""
    read = bill(text)

    assert read.lines == ()
    assert read.findings[0].line == line
    assert says in read.findings[0].says


def test_all_faults_are_named_at_once():
    """Two broken cells, two findings."""
    assert [finding.line for finding in bill("Parcel,Net\nP1,x\nP2,5\nP3,y\n").findings] == [2, 4]


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"setting,value\npackage_column,Parcel\n", "charge_column"),
        (RIGHT + b"colour,red\n", "colour"),
        (RIGHT + b"weight_unit,stone\n", "one of g, kg, lb, oz"),
        (RIGHT + b"decimal_sign,;\n", "'.' or ','"),
        (RIGHT.replace(b"currency,EUR\n", b""), "one such as EUR, or currency_column"),
        (RIGHT.replace(b"EUR", b"EURO"), "ISO 4217"),
        (b"a,b\n1,2\n", "a first line"),
    ],
)
def test_a_mapping_that_says_too_little_or_nonsense_is_refused(raw, says):
    """The setting is named."""
    with pytest.raises(Refusal, match=says):
        read_mapping(raw, "map.csv")


def test_a_mapping_file_turns_words_into_services():
    """A 'service WORD' row gives the shop's own code."""
    mapping = read_mapping(RIGHT + b"service Parcel Plus,ROAD\n", "map.csv")

    assert dict(mapping.services) == {"parcel plus": "ROAD"}
    with pytest.raises(FileRefused):
        read_mapping(b"", "map.csv")


def test_surcharges_in_columns_of_their_own():
    """On top of the charge or part of it; an empty cell is none; the whole charge is the same."""
    columns = {"surcharges": {"fuel surcharge": "Fuel", "remote area surcharge": "Far"}}
    apart = bill("Parcel,Net,Fuel,Far\nP1,6.90,0.62,\n", **columns)
    within = bill("Parcel,Net,Fuel,Far\nP1,7.52,0.62,\n", charge_is_total="yes", **columns)

    assert apart.lines == within.lines
    assert apart.lines[0].charge_minor == 752
    assert apart.lines[0].surcharges == (("fuel surcharge", 62), ("remote area surcharge", 0))


def test_a_surcharge_that_can_not_be_read_keeps_the_file_out():
    """Its column and line are named; so is a column that the file doesn't have."""
    columns = {"surcharges": {"fuel surcharge": "Fuel"}}

    assert [str(one) for one in bill("Parcel,Net,Fuel\nP1,6.90,9 %\n", **columns).findings] == [
        "bill.csv, line 2, fuel '9 %': expected digits with at most one '.', no sign, no unit. "
        "Do: correct the mapping (decimal_sign, weight_unit, currency), or ask the carrier for a right file."
    ]
    assert "is missing as a column" in str(bill("Parcel,Net\nP1,6.90\n", **columns).findings[0])


@pytest.mark.parametrize(
    ("raw", "says", "do"),
    [
        (b"Parcel,Net\n", "has no line below its header", "ask the carrier"),
        (b"", "is empty", "ask the carrier"),
        (b"PK\x03\x04rest of a zip", "is no XLSX workbook", "save it again as XLSX, or as CSV"),
        (b"Parcel;Net\nP1;1,234\n", "may be thousands or decimals", "into the mapping (decimal_sign)"),
        (b"\xef\xbb\xbf" + "Parcel,Net,Straße\n".encode("latin-1"), "holds the byte DF", "into the mapping (encoding"),
        (b"Number,Net\nP1,5\n", "is missing as a column", "the bill has Number, Net"),
        (b"Parcel,Net\n" + b"9" * 41 + b",5\n", "must be at most 40", "the right column"),
        ("Parcel,Net\nPäckchen,5\n".encode(), "without accents", "the right column"),
    ],
)
def test_what_to_do_about_a_file_that_is_not_ours(raw, says, do):
    """Nobody is told to correct a carrier's bill: the mapping is made to fit, or the carrier is asked."""
    mapping = BillMapping(package_column="Parcel", charge_column="Net", currency="EUR")
    finding = read_bill(raw, "bill.csv", mapping).findings[0]

    assert says in finding.says
    assert do in finding.do


def test_a_bill_in_any_dialect_needs_no_setting_for_it():
    """Semicolons, decimal commas, an old code page and a total below are found out and said."""
    raw = "Parcel;Straße;Net\nP1;Köln;1.006,90\nP2;Köln;5,00\nSumme;;1.011,90\n".encode("cp1252")
    read = read_bill(raw, "bill.csv", BillMapping(package_column="Parcel", charge_column="Net", currency="EUR"))

    assert [(one.package_number, one.charge_minor) for one in read.lines] == [("P1", 100_690), ("P2", 500)]
    assert read.notes == (
        "bill.csv: read as CP1252, as in 'Straße', 'Köln' (else name the encoding), cells apart by semicolons",
        "bill.csv, line 4: 'Summe; 1.011,90' looks like a total and is passed over",
        "bill.csv: decimal comma, as in '1.006,90'",
    )
