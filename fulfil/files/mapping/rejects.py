"""Rejected rows in a file of the same form, each with what is wrong: correct it and import it again.

>>> row = Row(7, {"part": "=M4", "pieces": "2,5"})
>>> finding = Finding("a.csv", 7, "pieces", "2,5", "expected a whole number", "correct it")
>>> rejects_csv([row], (finding,), delimiter=";").decode("utf-8-sig").splitlines()
['part;pieces;finding', "=M4;2,5;pieces '2,5': expected a whole number. Do: correct it."]
"""

import csv
import io
from codecs import BOM_UTF8
from collections import defaultdict
from collections.abc import Iterable, Sequence

from fulfil.files.mapping.mapping import FINDING
from fulfil.files.rows.csv_rows import Row
from fulfil.records.finding import Finding


def rejects_csv(rows: Sequence[Row], findings: Iterable[Finding], *, delimiter: str = ",") -> bytes:
    """The rows with a last column ``finding``; cells stand as they stood in the file."""
    said: dict[tuple[int | None, str], list[str]] = defaultdict(list)
    for one in findings:
        what = f"{one.field.rpartition('.')[2]} '{one.value}': " if one.field else ""
        place = one.field.rpartition(".")[0]
        said[one.line, f"{place}." if place else ""].append(f"{what}{one.says}. Do: {one.do}.")
    header = [name for name in dict.fromkeys(name for row in rows for name in row.cells) if name != FINDING]
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow([*header, FINDING])
    for row in rows:
        why = " ".join(said.get((row.line, row.place), ())) or "its order stays out: see its other rows"
        writer.writerow([*(row.cells.get(name, "") for name in header), why])
    # Half a character can come out of a JSON file; in the file of rejects it stands by its number.
    return BOM_UTF8 + out.getvalue().encode("utf-8", "backslashreplace")
