"""Files that the shop has taken in, by the digest of their bytes."""

from typing import Annotated

from pydantic import AwareDatetime, StringConstraints

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line

Digest = Annotated[str, StringConstraints(pattern="^[0-9a-f]{64}$")]
"""SHA-256 as 64 hexadecimal digits."""


class ImportedFile(Record):
    """A file taken in: the digest of its bytes, its name, when and by whom."""

    digest: Digest
    name: Line
    at: AwareDatetime
    person: Code
