"""The chain over what was recorded (:mod:`fulfil.store.safe.chain`), and what was taken out of its rows."""

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class SealLink(Record):
    """What one step recorded: ``covers`` names its rows with their digests, ``digest`` holds them and all before."""

    no: int = Field(ge=1)
    shape: int = Field(ge=1)
    covers: str
    digest: str


class Erasure(Record):
    """Personal data was taken out of one recorded row: its digest before and after, never what was there.

    The digests are empty where the row's table is not in the chain; see :mod:`fulfil.store.safe.erasing`.
    """

    at: AwareDatetime
    person: Code
    table_name: Code
    row_key: Code
    before: Line = ""
    after: Line = ""
