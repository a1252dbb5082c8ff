"""How a carrier's bills are read, as the shop keeps it under the carrier's name."""

from pydantic import AwareDatetime

from fulfil.records.revised import Record
from fulfil.records.text import Code, Text


class KeptBillMapping(Record):
    """A mapping of bills: :meth:`fulfil.files.carrier_bill.BillMapping.to_json` under its carrier."""

    carrier: Code
    mapping_json: Text
    at: AwareDatetime
    person: Code
