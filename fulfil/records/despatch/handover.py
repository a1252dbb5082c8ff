"""What stays of a hand-over: the closed manifest as it was printed, and entries that void one of its packages."""

from pydantic import AwareDatetime

from fulfil.records.revised import Record
from fulfil.records.settings import Paper
from fulfil.records.text import Code, Name


class ManifestCopy(Record):
    """A closed manifest's sheet and its despatch advices as JSON, so that a reprint can't differ; never changed."""

    manifest_number: Code
    sheet: str
    advices: str
    paper: Paper
    printer_dpi: int


class ManifestVoid(Record):
    """A package that is on a closed manifest but did not leave: a new entry, the manifest stays as it is.

    What was in it travels on in ``replaced_by``, a package with a number of its own.
    """

    package_number: Code
    manifest_number: Code
    replaced_by: Code
    reason: Name
    at: AwareDatetime
    person: Code
