"""Rows of CSV files: RFC 4180 read as written, every fault of a file's shape found with its line."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import FileRefused
from fulfil.files.rows.csv_rows import Rows, read_rows


def _read(text: str | bytes, *, encoding: str = "utf-8-sig", delimiter: str = ",") -> Rows:
    raw = text.encode() if isinstance(text, str) else text
    return read_rows(
        raw, "x.csv", needed=("part", "pieces"), optional=("note",), encoding=encoding, delimiter=delimiter
    )


def _cells(read: Rows) -> list[dict[str, str]]:
    assert read.findings == ()
    return [row.cells for row in read.rows]


@pytest.mark.parametrize(
    "text",
    [
        "part,pieces\nA,1\n",
        "part,pieces\r\nA,1\r\n",
        "part,pieces\nA,1",
        '"part","pieces"\r\n"A","1"\r\n',
        "\ufeffpart,pieces\nA,1\n",
        " Part , PIECES \n A , 1 \n",
        "pieces,part\n1,A\n",
        "\npart,pieces\n\nA,1\n,\n",
    ],
)
def test_one_row_written_in_many_ways(text: str) -> None:
    """Line ends, quotes, a byte order mark, spaces, the columns' order and empty lines don't matter."""
    assert _cells(_read(text)) == [{"part": "A", "pieces": "1"}]


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ('part,pieces\r\n"b\r\nbb",1\r\n', "b\r\nbb"),
        ('part,pieces\r\n"b""bb",1\r\n', 'b"bb'),
        ('part,pieces\r\n"b,bb",1\r\n', "b,bb"),
    ],
)
def test_cells_of_rfc_4180(text: str, cells: str) -> None:
    """Quoted line ends, doubled quotes and quoted commas, after RFC 4180 section 2, rules 6 and 7."""
    assert _cells(_read(text))[0]["part"] == cells


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20), max_size=5))
def test_every_cell_comes_back(texts: list[str]) -> None:
    """Whatever text a cell holds, it comes back without its outer spaces, '-M3', '=X' and '00123' untouched."""
    written = io.StringIO(newline="")
    csv.writer(written).writerows([["part", "pieces"], *([text, "1"] for text in texts)])

    assert [cells["part"] for cells in _cells(_read(written.getvalue()))] == [text.strip() for text in texts]


@pytest.mark.parametrize("text", ["-M3", "+5V", "=1+1", "@home", "00501", "NA", "nan", "None", "1e5"])
def test_cells_that_look_like_something_else(text: str) -> None:
    """Formula-like cells, leading zeros and Namibia's code are text and stay so."""
    assert _cells(_read(f"part,pieces\n{text},1\n"))[0]["part"] == text


def test_line_numbers_count_quoted_line_ends() -> None:
    """A finding names the line on which its record starts, as an editor shows it."""
    read = _read('part,pieces,note\nA,1,"two\nlines"\nB,2,x,y\nC\n')

    assert [row.line for row in read.rows] == [2]
    assert [str(finding) for finding in read.findings] == [
        "x.csv, line 4: has 4 cells, the header has 3. Do: quote cells that hold a comma, fill in missing ones.",
        "x.csv, line 5: has 1 cells, the header has 3. Do: quote cells that hold a comma, fill in missing ones.",
    ]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "x.csv, line 1: is empty. Do: write a header with the columns part, pieces."),
        (b"part\nA\n", "x.csv, line 1, pieces '': is missing as a column. Do: add the column."),
        (b"part,pieces,part\n", "x.csv, line 1, part '': is a column twice. Do: keep one of the two."),
        (b"part,pieces,colour\n", "x.csv, line 1, colour '': is no column of this file. "
                                  "Do: name it one of part, pieces, note, or remove it."),
        (b"part;pieces\nA;1\n",
         "x.csv, line 1: is separated by semicolons, not by ','. Do: save it as CSV with commas."),
        (b"part,pieces\nA,1\0\n", "x.csv, line 2: holds a NUL character, so it is no CSV text. "
                                  "Do: export the file again as CSV."),
        (b'part,pieces\nA,1\n"B,2\n', "x.csv, line 3: is no well-formed CSV from here on (unexpected end of data). "
                                      "Do: close every quote, double the quotes inside a cell."),
        (b'part,pieces\n"A"x,1\n', "x.csv, line 2: is no well-formed CSV from here on (',' expected after '\"'). "
                                   "Do: close every quote, double the quotes inside a cell."),
        ("part,pieces\nA,1\nZahnräder,2\n".encode("cp1252"),
         "x.csv, line 3: holds the byte E4, which is no UTF-8 text. "
         "Do: save the file as UTF-8, or name its encoding (for example cp1252)."),
        ("part,pieces\n".encode("utf-16"), "x.csv, line 1: holds the byte FF, which is no UTF-8 text. "
                                           "Do: save the file as UTF-8, or name its encoding (for example cp1252)."),
    ],
)  # fmt: skip
def test_broken_files(text: bytes, says: str) -> None:
    """Each fault of a file's shape is one sentence with its line."""
    assert [str(finding) for finding in _read(text).findings] == [says]


def test_named_encoding() -> None:
    """A code page is used when it is named, never guessed."""
    raw = "part,pieces\nZahnräder,2\n".encode("cp1252")

    assert _cells(_read(raw, encoding="cp1252")) == [{"part": "Zahnräder", "pieces": "2"}]
    with pytest.raises(FileRefused) as refused:
        _read(raw, encoding="latin-99")
    assert str(refused.value) == (
        "Cannot read with the encoding 'latin-99': expected the name of one, such as utf-8 or cp1252."
    )


def test_named_delimiter() -> None:
    """Another delimiter is used when it is named."""
    assert _cells(_read("part;pieces\nA,B;1\n", delimiter=";")) == [{"part": "A,B", "pieces": "1"}]


def test_all_faults_of_a_header_at_once() -> None:
    """A header with several faults names them all."""
    fields = [(finding.field, finding.says) for finding in _read("part,part,color\n").findings]

    assert fields == [
        ("part", "is a column twice"), ("color", "is no column of this file"), ("pieces", "is missing as a column"),
    ]  # fmt: skip
