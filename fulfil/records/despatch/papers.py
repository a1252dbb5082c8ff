"""What was printed for a package, and when: so that nothing leaves without its papers, and a reprint can't differ."""

from pydantic import AwareDatetime

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class PapersPrinted(Record):
    """Papers of one package that came out together; never changed.

    ``names`` are the papers, with semicolons between; ``customs`` its customs papers, kept as JSON
    (:mod:`fulfil.despatch.abroad.papers_due`), each with what it was printed on.
    """

    package_number: Code
    names: Line
    customs: str = "[]"
    at: AwareDatetime
    person: Code
