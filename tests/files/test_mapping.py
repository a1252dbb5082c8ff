"""Order files of any source come in through a mapping, and what can't come in goes to a file that can be corrected."""

import io
from collections.abc import Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from fulfil.files.mapping.mapping import mapped_rows
from fulfil.files.mapping.rejects import rejects_csv
from fulfil.files.orders import read_orders
from fulfil.files.orders_given import OrdersRead
from fulfil.files.orders_mapped import PRICE_DIFFERENCE, read_mapped_orders
from fulfil.files.rows.csv_rows import read_rows
from fulfil.files.rows.xlsx_rows import read_xlsx
from fulfil.records.order_mapping import Layout, OrderMapping

COLUMNS = {
    "order": "Nr", "received_at": "Datum", "name": "Kunde", "street": "Straße", "city": "Ort", "country": "Land",
    "part": "Artikel", "pieces": "Menge", "unit_price": "Preis",
}  # fmt: skip
MAPPING = OrderMapping(
    source="alt", encoding="cp1252", delimiter=";", decimal_sign=",", time_format="%d.%m.%Y %H:%M",
    time_zone="Europe/Luxembourg", columns=COLUMNS, fixed={"service": "post"}, return_prefix="S",
    charge_codes=("PORTO",), merges_repeated=True,
)  # fmt: skip
HEAD = "Nr;Datum;Kunde;Straße;Ort;Land;Artikel;Menge;Preis;Bemerkung\n"
ROW = "7;02.03.2026 08:15;Erfundene Person;Musterstraße 1;Musterstadt;{land};{part};{pieces};{price};egal\n"


AT = datetime(2026, 3, 3, 7, 30, tzinfo=UTC)


def written(tmp_path: Path, *rows: str, name: str = "alt.csv", encoding: str = "cp1252") -> Path:
    """A file of the source."""
    path = tmp_path / name
    path.write_text(HEAD + "".join(rows), encoding=encoding)
    return path


def row(part: str = "BALL-3", pieces: str = "5", price: str = "1,50", land: str = "DE", order: str = "7") -> str:
    """One row of the source."""
    return ROW.format(part=part, pieces=pieces, price=price, land=land).replace("7;", f"{order};", 1)


def read(path: Path, mapping: OrderMapping = MAPPING, **countries: str) -> OrdersRead:
    """The file, read."""
    return read_mapped_orders(path, mapping, countries=countries, at=AT)


def said(found: OrdersRead) -> list[str]:
    """Its findings as sentences."""
    return [str(finding) for finding in found.file.findings]


def test_semicolons_code_page_and_decimal_comma(tmp_path: Path) -> None:
    """A file as a European spreadsheet writes it: umlauts in cp1252, 1,50 and local time are what they mean."""
    found = read(written(tmp_path, row()))

    (order,) = found.orders
    assert (said(found), order.values["street"], order.values["service_code"]) == ([], "Musterstraße 1", "post")
    assert order.values["received_at"] == datetime(2026, 3, 2, 7, 15, tzinfo=UTC)
    assert order.lines[0].values["unit_price"] == Decimal("1.50")


def test_what_a_spreadsheet_would_spoil_survives(tmp_path: Path) -> None:
    """Country NA is Namibia; zeros in front and texts like formulas stay as they are."""
    found = read(written(tmp_path, row("00123", land="NA"), row("=M4N", land="NA"), row("-M3", land="NA")))

    assert found.orders[0].values["country"] == "NA"
    assert [line.values["part_number"] for line in found.orders[0].lines] == ["00123", "=M4N", "-M3"]


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (row(price="1.50"), "alt.csv, line 2, Preis '1.50': expected digits with at most one ',', no sign, no unit."),
        (row(pieces="2,5"), "alt.csv, line 2, Menge '2,5': expected a whole number from 1 to 999999999."),
        (row(land="Atlantis"), "expected a country; say once which it is: fulfil orders country 'Atlantis' CODE"),
        (row().replace("08:15", "8 Uhr"), "line 2, Datum '02.03.2026 8 Uhr': expected a time such as %d.%m.%Y %H:%M"),
        (row() + "8;zu;viel;\n", "alt.csv, line 3: has 4 cells, the header has 10."),
    ],
)
def test_a_finding_names_the_files_own_column(tmp_path: Path, bad: str, says: str) -> None:
    """Line, the source's column, the value, and what to do."""
    found = read(written(tmp_path, bad))

    assert found.orders == ()
    assert says in said(found)[0]
    assert "Do: " in said(found)[0]


def test_a_country_name_is_found_or_asked_for_once(tmp_path: Path) -> None:
    """A name of ISO 3166 needs nobody; another one only until a person has said what it is."""
    path = written(tmp_path, row(land="Germany"), row(land="Channel Islands", order="8"))

    assert [finding.value for finding in read(path).file.findings] == ["Channel Islands"]
    assert [order.values["country"] for order in read(path, MAPPING, **{"channel islands": "JE"}).orders] == [
        "DE",
        "JE",
    ]


def test_charges_returns_corrections_and_repeated_parts(tmp_path: Path) -> None:
    """Each row is one of four things; three rows of one part are one line, and the money stays the same."""
    rows = (row(pieces="5"), row(pieces="3", price="1,20"), row("GEAR-12", pieces="1"), row("PORTO", "1", "4,90"),
            row("NUT", "-2", "0,00"), row(order="S9", pieces="-4"))  # fmt: skip

    found = read(written(tmp_path, *rows))

    (order,) = found.orders
    assert [(line.values["part_number"], line.values["pieces"]) for line in order.lines] == [
        ("BALL-3", 8),
        ("GEAR-12", 1),
    ]
    assert [(one.code, one.unit_price) for one in found.charges] == [
        ("PORTO", Decimal("4.90")), (PRICE_DIFFERENCE, Decimal("-0.90"))
    ]  # fmt: skip
    assert [(one.number, one.part_number, one.pieces, one.is_correction) for one in found.returns] == [
        ("7", "NUT", 2, True), ("S9", "BALL-3", 4, False)
    ]  # fmt: skip
    assert found.notes == ("order 7: 2 rows of BALL-3 made one line (rows 2, 3)",)


def test_one_row_an_order(tmp_path: Path) -> None:
    """Columns numbered 1, 2, 3 are the lines of the row's order; empty ones are none."""
    mapping = OrderMapping(
        source="wide", layout=Layout.ORDER,
        columns={"order": "No", "received_at": "At", "country": "To", "part": "Item #", "pieces": "Count #"},
        fixed={"name": "{Who|walk-in}", "street": "Street 1", "city": "Town", "service": "post"},
    )  # fmt: skip
    path = tmp_path / "wide.csv"
    path.write_text(
        "No,At,To,Who,Item 1,Count 1,Item 2,Count 2\n1,2026-03-02T08:00:00,DE,31.0,A,5,B,7\n"
        "2,2026-03-02T08:00:00,NA,,C,1,,\n"
    )

    found = read(path, mapping)

    assert said(found) == []
    told = [[(line.values["part_number"], line.values["pieces"]) for line in one.lines] for one in found.orders]
    assert told == [[("A", 5), ("B", 7)], [("C", 1)]]
    assert [order.values["name"] for order in found.orders] == ["31", "walk-in"]


def test_a_column_that_the_mapping_misses_is_said_before_anything_is_read(tmp_path: Path) -> None:
    """No column and no text for the street: the mapping is to be completed."""
    mapping = MAPPING.model_copy(update={"columns": {k: v for k, v in COLUMNS.items() if k != "street"}})

    found = read(written(tmp_path, row()), mapping)

    assert said(found) == [
        "alt.csv, street '': the mapping alt says nothing of it. "
        "Do: fulfil orders map alt --column NAME=COLUMN, or --fixed NAME=TEXT."
    ]


def test_an_encoding_that_is_named_holds_where_the_bytes_tell_none() -> None:
    """A byte order mark, then UTF-8, then the code page that was named, then the one that is found out and said."""
    columns = {"order": "a"}
    for encoding, named in (("utf-16", ""), ("utf-8", "cp1252"), ("cp1252", "cp1252"), ("cp1252", "")):
        found = mapped_rows(
            "a\nKöln\n".encode(encoding), "x.csv", OrderMapping(source="x", columns=columns, encoding=named)
        )
        assert [row.cells["order"] for row in found.rows] == ["Köln"]
    assert found.notes == ("x.csv: read as CP1252, as in 'Köln' (else name the encoding)",)


def test_rejected_rows_come_in_again_once_corrected(tmp_path: Path) -> None:
    """Rows with what is wrong beside them, in the source's form; corrected, they are an order like any other."""
    first = read(written(tmp_path, row(pieces="2,5"), row("GEAR-12")))
    path = tmp_path / "rejects.csv"
    path.write_bytes(rejects_csv(first.given, first.file.findings, delimiter=";"))
    text = path.read_text("utf-8-sig")
    assert text.splitlines()[0].endswith(";finding")
    assert "Menge '2,5': expected a whole number" in text
    assert "its order stays out: see its other rows" in text

    path.write_text(text.replace(";2,5;", ";25;"), encoding="utf-8")

    again = read(path)
    assert said(again) == []
    assert [line.values["pieces"] for line in again.orders[0].lines] == [25, 5]


def workbook(*rows: Sequence[object]) -> bytes:
    """A workbook with these rows."""
    book = openpyxl.Workbook()
    for values in rows:
        book.active.append(values)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_workbook_keeps_text_and_tells_numbers(tmp_path: Path) -> None:
    """Text stays text, dates and numbers are written out; a part number that is a number is refused by name."""
    head = ["order", "received_at", "source", "name", "street", "city", "country", "service", "part", "pieces"]
    given = ["A-1", "2026-03-02T08:00:00Z", "web", "Invented Person", "Street 1", "Town", "NA", "post"]
    path = tmp_path / "orders.xlsx"
    path.write_bytes(workbook(head, [*given, "00123", 5], [*given, "MAR03", 2.0]))
    (order,) = read_orders(path).orders
    assert [line.values["part_number"] for line in order.lines] == ["00123", "MAR03"]
    assert [line.values["pieces"] for line in order.lines] == [5, 2]

    path.write_bytes(workbook(head, [*given, 123, 5]))
    assert [str(finding) for finding in read_orders(path).file.findings] == [
        "orders.xlsx, line 2, part '': holds numbers in 1 lines, so zeros in front are lost. "
        "Do: make the column text and type them again; where no zero is lost, save the sheet as CSV."
    ]


def test_a_formula_without_its_value_and_a_file_that_is_no_workbook() -> None:
    """Both are findings; a date comes as ISO 8601."""
    (finding,) = read_xlsx(workbook(["part", "pieces"], ["A", "=1+2"]), "a.xlsx").findings
    assert (finding.line, finding.field, finding.says) == (2, "pieces", "is a formula whose value was not saved")
    assert "is no XLSX workbook" in read_xlsx(b"PK no", "a.xlsx").findings[0].says
    assert read_xlsx(workbook(["d"], [date(2026, 3, 2)]), "a.xlsx").csv.splitlines()[1] == b"2026-03-02T00:00:00"


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["zzz", "yyy", "xxx"]]),
        ('aaa,bbb,ccc\r\n"zzz","yyy","xxx"\r\n', [["zzz", "yyy", "xxx"]]),
        ('aaa,bbb,ccc\r\n"z\r\nzz","y,yy","x""xx"\r\n', [["z\r\nzz", "y,yy", 'x"xx']]),
    ],
)
def test_the_cases_of_rfc_4180(text: str, cells: list[list[str]]) -> None:
    """Line ends, a missing last one, quotes, and quoted commas, line ends and quotes (RFC 4180, section 2, 1 to 7)."""
    found = read_rows(text.encode(), "a.csv", needed=("aaa", "bbb", "ccc"), optional=())

    assert (found.findings, [[*one.cells.values()] for one in found.rows]) == ((), cells)
