"""Workbooks from anywhere: damaged, hostile or monstrous ones are a sentence, never an error of a library.

The attacks are those of OWASP's file upload cheat sheet and of defusedxml's documentation (quadratic blow-up, external
entities); the mutants flip, cut and repeat bytes of the zip and of the XML inside it.
"""

import io
import random
import tracemalloc
from collections.abc import Callable
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook

from fulfil.files.rows.table import Table, read_table
from fulfil.files.rows.workbook_limits import MOST_CELLS

ROWS = [["number", "pieces", "price"], ["00123", 5, 1.25], ["M4N", 12, "n/a"], ["GEAR-12", None, True]]


def xlsx(*, is_saved: bool = False) -> bytes:
    """A small workbook with text, numbers, an empty cell, and a formula unless ``is_saved``."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in ROWS:
        sheet.append(row)
    if not is_saved:
        sheet["B4"] = "=1+2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


CELL = '<table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>'
ODS = (
    '<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.2"><office:body>'
    '<office:spreadsheet><table:table table:name="a">{}</table:table></office:spreadsheet></office:body>'
    "</office:document-content>"
)
LIST = (
    b'<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.2">'
    b'<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
)
REST = (
    '<table:table-row table:number-rows-repeated="1048570"><table:table-cell table:number-columns-repeated="16384"/>'
    "</table:table-row>"
)


def ods(*rows: str) -> bytes:
    """A spreadsheet of these rows, with the empty rest that office programs write after them."""
    return packed({
        "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
        "META-INF/manifest.xml": LIST,
        "content.xml": ODS.format("".join(rows) + REST).encode(),
    })  # fmt: skip


def ods_row(*cells: str, times: int = 1) -> str:
    """A row of texts, repeated."""
    return f'<table:table-row table:number-rows-repeated="{times}">{"".join(map(CELL.format, cells))}</table:table-row>'


def packed(files: dict[str, bytes]) -> bytes:
    """A zip of these."""
    out = io.BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as archive:
        for name, body in files.items():
            archive.writestr(name, body)
    return out.getvalue()


def changed(raw: bytes, name: str, change: Callable[[bytes], bytes]) -> bytes:
    """A workbook with one of its files changed."""
    with ZipFile(io.BytesIO(raw)) as archive:
        files = {one: archive.read(one) for one in archive.namelist()}
    return packed(files | {name: change(files.get(name, b""))})


def refused(table: Table) -> str:
    """What the one finding says; no row came in."""
    (finding,) = table.findings
    assert table.rows == ()
    assert finding.do
    return finding.says


def test_a_whole_one_comes_in() -> None:
    """What the mutants are made of is right."""
    assert [finding.says for finding in read_table(xlsx(), "a.xlsx").findings] == [
        "is a formula whose value was not saved"
    ]
    assert read_table(xlsx(is_saved=True), "a.xlsx").rows[0] == (2, ("00123", "5", "1.25"))
    assert read_table(ods(ods_row("number", "pieces"), ods_row("00123", "5")), "a.ods").rows == ((2, ("00123", "5")),)


SHEET = "xl/worksheets/sheet1.xml"
ENTITIES = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda: changed(xlsx(), SHEET, lambda body: body + b" " * 150_000_000), "unpacks to more than 100 MB"),
        (lambda: changed(xlsx(), SHEET, lambda body: body + b" " * 30_000_000), "is packed as no table is"),
        (lambda: changed(xlsx(), SHEET, lambda body: body.replace(b'r="B4"', b'r="XFD4"')), None),
        (
            lambda: changed(xlsx(), SHEET, lambda body: body.replace(b'r="4"', b'r="1048576"', 1)
                            .replace(b'r="B4"', b'r="XFD4"')),
            "has its last cell in row 1,048,576, column 16,384",
        ),
        (lambda: changed(xlsx(), SHEET, lambda body: body.replace(b"<worksheet", ENTITIES + b"<worksheet", 1)), "dam"),
        (lambda: changed(xlsx(), SHEET, lambda body: body.replace(b"<worksheet", OUTSIDE + b"<worksheet", 1)), "dam"),
        (lambda: changed(xlsx(), "xl/workbook.xml", lambda _: b"<"), "is no XLSX workbook, or a damaged one"),
        (lambda: packed({"[Content_Types].xml": b""}), "is no XLSX workbook, or a damaged one"),
        (lambda: packed({f"x{n}": b"" for n in range(5_001)}), "unpacks to more than"),
        (lambda: xlsx()[:700], "is no XLSX workbook, or a damaged one"),
        (lambda: ods(ods_row("a", "b"), ods_row("1", "2", times=2_000_000)), f"more than {MOST_CELLS:,} cells"),
        (lambda: ods(ods_row("a", "b"))[:300], "damaged"),
        (lambda: changed(ods(ods_row("a")), "content.xml", lambda body: ENTITIES + body), "damaged"),
    ],
)  # fmt: skip
def test_an_attack_is_a_sentence(made: Callable[[], bytes], says: str | None) -> None:
    """Each is refused, or read within its limits, in little memory."""
    raw = made()
    tracemalloc.start()
    try:
        table = read_table(raw, "attack.xlsx")
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 400_000_000
    if says is not None:
        assert says in refused(table)


def mutant(raw: bytes, chance: random.Random) -> bytes:
    """Some bytes flipped, cut out or doubled, of the zip itself or of one of its files before it is packed again."""

    def change(body: bytes) -> bytes:
        changed = bytearray(body)
        for _ in range(chance.randint(1, 4)):
            at = chance.randrange(max(1, len(changed)))
            match chance.randrange(4):
                case 0:
                    changed[at : at + 1] = bytes([chance.randrange(256)])
                case 1:
                    del changed[at : at + chance.randint(1, 200)]
                case 2:
                    changed[at:at] = changed[at : at + chance.randint(1, 200)]
                case _:
                    changed[at:at] = chance.choice([b"<f>", b"</c>", b'r="ZZZ9"', b"1e999", b"&#0;", b"\xff", b't="s"'])
        return bytes(changed)

    if chance.random() < 0.5:
        return change(raw)
    with ZipFile(io.BytesIO(raw)) as archive:
        files = {one: archive.read(one) for one in archive.namelist()}
    name = chance.choice([*files])
    return packed(files | {name: change(files[name])})


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
@pytest.mark.parametrize("seed", range(5))
def test_mutants_end_in_a_table_or_a_sentence(kind: str, seed: int) -> None:
    """Fifty of each seed; ``python -m tests.benchmarks.attacks.mutants`` reads thousands."""
    chance = random.Random(seed)
    whole = xlsx() if kind == "xlsx" else ods(ods_row("number", "pieces"), ods_row("00123", "5"))
    for _ in range(50):
        table = read_table(mutant(whole, chance), f"mutant.{kind}")
        assert all(finding.says and finding.do for finding in table.findings)
        assert table.findings or table.header or not table.rows
