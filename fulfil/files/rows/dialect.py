r"""How a CSV text is written: between cells a comma, semicolon, tab or bar; around them double or single quotes.

The delimiter is the one by which most of the first rows come out as wide as the header, and wider than one cell; on a
tie the wider, then the order of ``DELIMITERS``. Python's own guesser is not used: it takes a letter for the delimiter
where a column is alone, and the comma of ``1,50`` for it where cells are apart by semicolons. A first line ``sep=;``
(which some spreadsheets write) says it outright.

>>> dialect_of("part;price\nA,1;1,50\nB,2;2,75\n")
Dialect(delimiter=';', quote='"', skipped=0)
>>> dialect_of("sep=;\npart;price\n").skipped
1
>>> dialect_of("'part'\t'price'\n'A'\t'1'\n")
Dialect(delimiter='\t', quote="'", skipped=0)
>>> dialect_of("part\nBALL\n").delimiter
','
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_SAID = re.compile(r"sep=(.)\r?\n")
_LOOKED_AT = 300


@dataclass(frozen=True)
class Dialect:
    """The delimiter, the quote, and how many lines stand before the table."""

    delimiter: str
    quote: str
    skipped: int


def dialect_of(text: str, *, delimiter: str = "") -> Dialect:
    """The dialect of a text; a ``delimiter`` that is given holds."""
    said = _SAID.match(text)
    body = text[said.end() :] if said else text
    quote = "'" if _is_single_quoted(body) else '"'
    chosen = delimiter or (said[1] if said else _likeliest(body, quote))
    return Dialect(chosen, quote, 1 if said else 0)


def records(text: str, dialect: Dialect, *, strict: bool) -> Iterator[tuple[int, list[str]]]:
    """Each record with the number of the line it starts on.

    Raises:
        csv.Error: where the text is ``strict`` and no CSV.
    """
    body = text.split("\n", dialect.skipped)[dialect.skipped] if dialect.skipped else text
    reader = csv.reader(
        io.StringIO(body, newline=""), delimiter=dialect.delimiter, quotechar=dialect.quote, strict=strict
    )
    line = 1 + dialect.skipped
    for cells in reader:
        yield line, cells
        line = reader.line_num + 1 + dialect.skipped


def _likeliest(text: str, quote: str) -> str:
    best, most = ",", (0.0, 1)
    for delimiter in DELIMITERS:
        try:
            rows = [
                cells
                for _, cells in islice(records(text, Dialect(delimiter, quote, 0), strict=False), _LOOKED_AT)
                if any(map(str.strip, cells))
            ]
        except csv.Error:
            continue
        widths = Counter(map(len, rows))
        wide = max(widths, key=lambda width: (widths[width] if width > 1 else 0, width), default=1)
        score = (widths[wide] / len(rows), wide) if rows and wide > 1 else (0.0, 1)
        if score > most:
            best, most = delimiter, score
    return best


def _is_single_quoted(text: str) -> bool:
    """Every cell of the first line stands between single quotes."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return re.fullmatch(r"'[^'\"]*'([,;\t|]'[^'\"]*')*", first) is not None
