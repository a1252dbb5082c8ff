"""Tables as people have them: any dialect, encoding, sign and workbook; nothing is decided or lost in silence."""

import csv
import io
from pathlib import Path
from zipfile import ZipFile

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.files.catalogue import CatalogueRead, read_catalogue
from fulfil.files.mapping.number_signs import amount_by, plain, seen
from fulfil.files.rows.csv_rows import read_rows
from fulfil.files.rows.dialect import dialect_of
from fulfil.files.rows.encodings import detected
from fulfil.files.rows.table import read_table


def rows_of(folder: Path) -> list[list[str]]:
    """The rows of the folder's parts.csv."""
    return list(csv.reader((folder / "parts.csv").read_text(encoding="utf-8").splitlines()))


def with_commas(rows: list[list[str]]) -> list[list[str]]:
    """The same rows as a land with decimal commas writes them."""
    decimal = {place for place, name in enumerate(rows[0]) if name in ("unit_weight_g", "piece_sd_g", "price")}
    return [[cell.replace(".", ",") if place in decimal else cell for place, cell in enumerate(row)] for row in rows]


def write(path: Path, rows: list[list[str]], delimiter: str = ",", encoding: str = "utf-8") -> None:
    """The rows as CSV."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(rows)
    path.write_bytes(out.getvalue().encode(encoding))


def workbook(path: Path, rows: list[list[object]]) -> None:
    """The rows as a workbook."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)


def said(read: CatalogueRead) -> list[str]:
    """Its findings as sentences."""
    return [str(finding) for finding in read.findings]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_decimal_commas_in_parts_work_in_any_dialect(folder: Path, delimiter: str, encoding: str) -> None:
    """Parts with decimal commas are the same parts, and a note says so (they were 54 findings before)."""
    rows = rows_of(folder)
    rows[1][1] = "Zahnräder 3 mm"
    write(folder / "parts.csv", rows)
    expected = read_catalogue(folder).catalogue
    write(folder / "parts.csv", with_commas(rows), delimiter, encoding)

    read = read_catalogue(folder)

    assert said(read) == []
    assert read.catalogue == expected
    assert "parts.csv: decimal comma, as in '0,1109'" in read.notes


def test_unquoted_decimal_commas_between_commas_are_one_finding() -> None:
    """Nobody can say which comma is which: one finding that says what to do, not one a row."""
    text = "part,price\n" + "".join(f"P{n},{n},50\n" for n in range(20))
    (finding,) = read_rows(text.encode(), "parts.csv", needed=("part", "price"), optional=()).findings
    assert str(finding) == (
        "parts.csv, line 2: has 20 rows, lines 2 to 21, that are not 2 cells wide as the header is. "
        "Do: save it with semicolons between the cells, or with quotes around cells that hold a comma, as in 1,50."
    )


def test_mixed_signs_are_one_finding_that_says_what_to_do(folder: Path) -> None:
    """Commas in some rows and points in others: one finding, not one a cell; the option settles it."""
    rows = with_commas(rows_of(folder))
    rows[2] = rows_of(folder)[2]
    write(folder / "parts.csv", rows)

    assert said(read_catalogue(folder)) == [
        "parts.csv: has decimal commas ('0,1109') and decimal points ('2.4'). Do: say which sign it is with --decimal."
    ]


def test_a_number_that_may_be_either_is_asked_for(folder: Path) -> None:
    """1,234 alone is a thousand or one and a bit: nobody guesses; with the option it is what was said."""
    rows = rows_of(folder)
    for row in rows[1:]:
        row[5] = row[6] = row[7] = row[8] = ""
        row[18] = "1,234"
    write(folder / "parts.csv", rows)

    (only,) = said(read_catalogue(folder))
    assert "numbers such as '1,234' that may be thousands or decimals" in only
    catalogue = read_catalogue(folder, decimal=".").catalogue
    assert catalogue is not None
    assert catalogue.parts[0].price_minor == 123_400


def test_a_workbook_under_any_name_is_read_as_one(folder: Path) -> None:
    """A workbook named .csv, and parts.xlsx in the folder, are the parts; both files there are one finding."""
    expected = read_catalogue(folder).catalogue
    rows = rows_of(folder)
    typed: list[list[object]] = [[*rows[0]]]
    for row in rows[1:]:
        typed.append([float(cell) if place in (5, 6, 18) and cell else cell for place, cell in enumerate(row)])
    (folder / "parts.csv").unlink()
    workbook(folder / "parts.xlsx", typed)
    assert read_catalogue(folder).catalogue == expected

    (folder / "parts.csv").write_bytes((folder / "parts.xlsx").read_bytes())
    assert said(read_catalogue(folder)) == [
        "parts.csv: is there as parts.csv and as parts.xlsx. Do: keep the one that is right."
    ]
    (folder / "parts.xlsx").unlink()
    assert read_catalogue(folder).catalogue == expected


def test_a_small_weight_in_a_workbook_keeps_its_digits(folder: Path) -> None:
    """0.00001 g is no '1e-05', and a sum of floats no 0.30000000000000004."""
    workbook(folder / "x.xlsx", [["a", "b"], [0.00001, 0.1 + 0.2]])
    assert read_table((folder / "x.xlsx").read_bytes(), "x.xlsx").rows == ((2, ("0.00001", "0.3")),)


def test_numbers_as_part_numbers_are_one_finding(folder: Path) -> None:
    """A workbook that keeps part numbers as numbers has lost their zeros: said once for the column."""
    rows: list[list[object]] = [[*row] for row in rows_of(folder)]
    for place, row in enumerate(rows[1:], start=1):
        row[0] = place
    (folder / "parts.csv").unlink()
    workbook(folder / "parts.xlsx", rows)

    findings = said(read_catalogue(folder))
    assert [one for one in findings if one.startswith("parts.xlsx")] == [
        "parts.xlsx, line 2, part '': holds numbers in 3 lines, so zeros in front are lost. "
        "Do: make the column text and type them again; where no zero is lost, save the sheet as CSV."
    ]


def test_units_and_other_words_above_the_columns(folder: Path) -> None:
    """Kilograms, centimetres and a currency above the columns are read and said; a weight without a unit is asked."""
    expected = read_catalogue(folder).catalogue
    assert expected is not None
    rows = rows_of(folder)
    head = {"part": "Artikelnummer", "description": "Bezeichnung", "unit_weight_g": "Gewicht (kg)",
            "longest_mm": "Länge [cm]", "price": "Preis (EUR)"}  # fmt: skip
    for row in rows[1:]:
        row[5] = str(float(row[5]) / 1000) if row[5] else ""
        row[11] = str(int(row[11]) / 10)
    currency = rows[0].index("currency")
    renamed = [[cell for place, cell in enumerate(row) if place != currency] for row in rows]
    renamed[0] = [head.get(name, name) for name in renamed[0]]
    write(folder / "parts.csv", renamed, ";")

    read = read_catalogue(folder)

    assert said(read) == []
    assert read.catalogue is not None
    assert read.catalogue.parts == expected.parts
    assert [one.mean_g for one in read.catalogue.unit_weights] == pytest.approx(
        [one.mean_g for one in expected.unit_weights]
    )
    assert "parts.csv: 'Gewicht (kg)' is read as unit_weight_g, times 1000" in read.notes
    assert "parts.csv: 'Preis (EUR)' is read as price in EUR" in read.notes

    renamed[0][5] = "Gewicht"
    write(folder / "parts.csv", renamed, ";")
    assert said(read_catalogue(folder)) == [
        "parts.csv, line 1, Gewicht '': has no unit, it may be unit_weight_g. "
        "Do: write the unit beside it, such as 'Gewicht (g)'."
    ]


def test_a_pasted_total_and_empty_rows_are_no_parts_and_are_said(folder: Path) -> None:
    """The total below and the title above are passed over by name; a part that is called Total stays one."""
    expected = read_catalogue(folder).catalogue
    rows = rows_of(folder)
    width = len(rows[0])
    total = [*(["Summe:"] + [""] * (width - 1))]
    total[18] = "6,42"
    title = ["Parts of the invented shop", *[""] * (width - 1)]
    write(folder / "parts.csv", [title, [""] * width, *rows, [""] * width, total])

    read = read_catalogue(folder)

    assert read.catalogue == expected
    assert "parts.csv, line 8: 'Summe:; 6,42' looks like a total and is passed over" in read.notes
    assert "parts.csv, line 1: 'Parts of the invented shop' above the header is passed over" in read.notes
    named = read_table(b"part,description,pieces\nTOTAL,a gauge,5\n", "x.csv")
    assert len(named.rows) == 1


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"\xd0\xcf\x11\xe0rest", "is an old binary workbook"),
        (b"%PDF-1.7", "is a PDF, no table"),
        (b"  <!doctype html><table>", "is a web page, no table"),
    ],
)
def test_what_is_no_table_is_said_in_words(raw: bytes, says: str) -> None:
    """Not 'holds the byte D0'."""
    assert [one.says for one in read_table(raw, "parts.csv").findings] == [says]


def ods(rows: str) -> bytes:
    """A spreadsheet with these table rows.

    Source: OASIS OpenDocument 1.2 (ISO/IEC 26300), part 1: table:table, its rows and cells, office:value-type; part 3:
    the file mimetype is the first of the package (clause numbers not looked up).
    """
    names = {
        "office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0",
        "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
        "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0",
        "manifest": "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0",
    }
    spaces = " ".join(f'xmlns:{name}="{one}"' for name, one in names.items())
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    out = io.BytesIO()
    with ZipFile(out, "w") as packed:
        packed.writestr("mimetype", kind)
        packed.writestr(
            "content.xml",
            f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {spaces} office:version="1.2">'
            "<office:body>"
            f'<office:spreadsheet><table:table table:name="Sheet">{rows}</table:table></office:spreadsheet>'
            "</office:body></office:document-content>",
        )
        packed.writestr(
            "META-INF/manifest.xml",
            f'<manifest:manifest {spaces} manifest:version="1.2">'
            f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/>'
            '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
            "</manifest:manifest>",
        )
    return out.getvalue()


def _text(cell: str) -> str:
    return f'<table:table-cell office:value-type="string"><text:p>{cell}</text:p></table:table-cell>'


def _number(value: str, shown: str, more: str = "") -> str:
    begin = f'<table:table-cell office:value-type="float" office:value="{value}"{more}>'
    return f"{begin}<text:p>{shown}</text:p></table:table-cell>"


_FORMULA = ' table:formula="of:=1+2"'
_EMPTY = '<table:table-cell table:number-columns-repeated="1020"/>'
_SHEET = (
    f"<table:table-row>{_text('part')}{_text('weight (g)')}{_text('since')}{_text('sum')}{_EMPTY}</table:table-row>"
    f"<table:table-row>{_text('0012')}{_number('0.25', '0,25')}"
    '<table:table-cell office:value-type="date" office:date-value="2026-03-02"><text:p>02.03.26</text:p>'
    f"</table:table-cell>{_number('3', '3', _FORMULA)}{_EMPTY}</table:table-row>"
    '<table:table-row table:number-rows-repeated="3"><table:table-cell table:number-columns-repeated="1024"/>'
    "</table:table-row>"
    f"<table:table-row>{_text('NA')}{_number('1200', '1.200')}{_EMPTY}</table:table-row>"
    f'<table:table-row table:number-rows-repeated="1048570"><table:table-cell table:number-columns-repeated="1024"/>'
    "</table:table-row>"
)


def test_an_open_document_sheet_is_read_whatever_its_name() -> None:
    """Text keeps its zeros, numbers are values and not what is shown, a formula is its saved value, lines are rows."""
    table = read_table(ods(_SHEET), "parts.csv")

    assert table.findings == ()
    assert table.header == ("part", "weight (g)", "since", "sum")
    assert table.rows == ((2, ("0012", "0.25", "2026-03-02", "3")), (6, ("NA", "1200", "", "")))
    assert (2, "weight (g)") in table.numbers
    assert (2, "part") not in table.numbers
    assert table.notes[0] == "parts.csv: read as a workbook, its first sheet"


def test_an_open_document_sheet_that_says_too_little() -> None:
    """A formula that was never saved with its value, and a package that holds no sheet, are findings."""
    unsaved = f'<table:table-row>{_text("a")}<table:table-cell table:formula="of:=1+2"/></table:table-row>'
    assert [str(one) for one in read_table(ods(unsaved), "a.ods").findings] == [
        "a.ods: holds the formula of:=1+2 whose value was not saved. "
        "Do: open the file in a spreadsheet, save it, import it again."
    ]
    out = io.BytesIO()
    with ZipFile(out, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    (finding,) = read_table(out.getvalue(), "a.ods").findings
    assert finding.says.startswith("is no OpenDocument spreadsheet")


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("part\nBALL-3\nGEAR-12\n", ","),  # csv.Sniffer: could not determine delimiter
        ("name\nanna\nhanna\njohanna\n", ","),  # csv.Sniffer takes the letter n or a
        ("part;price\nA;1,50\nB;2,75\nC;3,00\n", ";"),  # as many commas as semicolons below the header
        ("part;note\nA;a, b, c\nB;d, e, f\n", ";"),
        ('part,note\nA,"a;b;c"\nB,"d;e;f"\n', ","),  # semicolons inside quotes only
        ("part\tnote\nA\tx, y\nB\tz\n", "\t"),
        ('part;"a\nb";c\n1;"2;2";3\n', ";"),  # a line end and a delimiter inside quotes
        ("time,part\n08:15,A\n09:30,B\n", ","),  # csv.Sniffer may take the colon
        ("", ","),
    ],
)
def test_pitfalls_of_guessing_a_delimiter(text: str, delimiter: str) -> None:
    """Where csv.Sniffer of Python's library errs or gives up (documented as a rough guess; measured for these)."""
    assert dialect_of(text).delimiter == delimiter


CELL = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters='"'), min_size=1, max_size=8).map(
    lambda text: f"x{text.strip()}"
)


@given(st.lists(st.lists(CELL, min_size=3, max_size=3), min_size=4, max_size=8), st.sampled_from(",;\t|"))
def test_whatever_the_cells_hold_they_come_back(rows: list[list[str]], delimiter: str) -> None:
    """With every cell quoted as in RFC 4180, the delimiter is found whatever stands in the cells."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL).writerows(rows)
    table = read_table(out.getvalue().encode(), "x.csv", delimiter=delimiter)
    assert [list(cells) for _, cells in table.rows] == [[cell.strip() for cell in row] for row in rows[1:]]


@pytest.mark.parametrize(
    ("encoding", "text"),
    [
        ("cp1252", "a;Zahnräder\n"), ("cp1252", "Nr;Kunde;Straße\n1;Élodie Façade;Rue du Château\n"),
        ("cp1250", "č;Jméno;Město\n1;Jiří Dvořák;Brno\n"), ("cp1254", "Sipariş;Şehir\n1;İstanbul\n2;Ağaç Işık\n"),
        ("cp850", "Nr;Kunde\n1;Müller\n2;Größe\n"), ("cp1251", "Номер;Имя\n1;Пример\n"),
        ("koi8_r", "Номер;Имя\n1;Пример\n"), ("cp1253", "Αριθμός;Όνομα\n1;Παράδειγμα\n"),
        ("shift_jis", "注文番号,お名前,住所\n1,見本太郎,見本通り一丁目\n"),
        ("gb18030", "订单号,姓名,地址\n1,张三,示例街1号\n"),
        ("big5", "訂單編號,姓名,地址\n1,張三,示例街1號\n"), ("euc_kr", "주문번호,이름,주소\n1,홍길동,견본로 1\n"),
        ("utf-16", "Straße\n"), ("utf-16-le", "part;name\nA;Zahnrad\n"), ("utf-16-be", "part;name\nA;Zahnrad\n"),
    ],
)  # fmt: skip
def test_old_encodings_are_found_out(encoding: str, text: str) -> None:
    """Text in an old code page comes back as it was written."""
    raw = text.encode(encoding)
    assert raw.decode(detected(raw).name) == text


def test_thousands_in_all_habits() -> None:
    """Points, commas, spaces, narrow spaces, apostrophes, lakhs; a minus behind."""
    assert [plain(text, ",") for text in ("1.234.567,5", "1 234,5", "1\u202f234,5", "12,5-")] == [
        "1234567.5", "1234.5", "1234.5", "-12.5"
    ]  # fmt: skip
    assert [plain(text, ".") for text in ("1,234,567.5", "1'234.5", "1’234.50", "12,34,567.00")] == [
        "1234567.5", "1234.5", "1234.50", "1234567.00"
    ]  # fmt: skip
    assert [str(amount_by(text, ",")) for text in ("12,50 €", "€12,50", "12,50 zł", "1.234,00 kr", "R$ 5,00")] == [
        "12.50", "12.50", "12.50", "1234.00", "5.00"
    ]  # fmt: skip
    assert seen(["12", "1.000", "7"]).unclear == "1.000"
