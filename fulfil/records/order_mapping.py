"""How a source's order files are to be read: which of its columns is which of ours, remembered by the source's name.

>>> mapping = OrderMapping(source="old-shop", columns={"order": "InvoiceNo"}, fixed={"name": "Customer {CustomerID}"})
>>> OrderMapping.from_json(mapping.to_json()) == mapping
True
"""

from enum import StrEnum

from pydantic import AwareDatetime, field_validator
from sqlmodel import Field
from sqlmodel._compat import SQLModelConfig

from fulfil.records.revised import Record
from fulfil.records.text import Code, Country, Line, Name, Text

NOT_GIVEN = "(not given)"
"""What a mapping may say for a name that a source leaves out, as ``{CustomerID|(not given)}``: a return that says it is
matched to nobody's order by its name. Nothing but such a mapping ever writes it."""

AT_IMPORT = "the import"
"""What ``fixed`` says of ``received_at`` where a source tells no time: an order came in when its file first did."""


class Layout(StrEnum):
    """What one row of the file is."""

    LINE = "a row a line"
    ORDER = "a row an order"
    LIST = "a row an order, its parts in one cell"


class OrderMapping(Record):
    """One source's files.

    Attributes:
        source: the mapping's name, given with every import.
        encoding: of files that don't say theirs; empty where it is to be found out.
        delimiter: between the cells of a CSV file; empty where it is to be found out.
        decimal_sign: point or comma of prices; empty where it is to be found out.
        time_format: of ``received_at`` as in Python's strptime; empty for ISO 8601.
        time_zone: of times without an offset.
        layout: whether a row is a line or an order. In a row for an order, ``part``, ``pieces`` and ``unit_price`` are
            columns with ``#`` in their name, which stands for 1, 2, 3 and so on.
        columns: our column → the file's column.
        fixed: our column → its text for every row; ``{Column}`` in it is that cell, ``{Column|text}`` is ``text`` where
            that cell is empty.
        words: our column → the source's word, case-folded → ours.
        items: how one item is written in the column ``items`` of a list, such as ``{pieces} x {part}``.
        between: what stands between the items of a list; a line end always does.
        fills_down: whether a row without an order's number belongs to the order above it.
        return_prefix: what the number of a cancellation or return begins with; empty for none.
        charge_codes: codes in the part column that are charges, no parts.
        merges_repeated: whether rows of the same part in one order become one line.
        first_row_holds: our columns whose later rows may differ; the first row's value holds.
        numbers_may_be_parts: whether a part number may come as a spreadsheet's number, its zeros in front lost.
        ignores_other_columns: whether columns of the file that nothing names are passed over.
    """

    model_config = SQLModelConfig(frozen=True)

    source: Code
    encoding: Line = ""
    delimiter: str = ""
    decimal_sign: str = ""
    time_format: Line = ""
    time_zone: Name = "UTC"
    layout: Layout = Layout.LINE
    columns: dict[str, str] = Field(default_factory=dict)
    fixed: dict[str, str] = Field(default_factory=dict)
    words: dict[str, dict[str, str]] = Field(default_factory=dict)
    items: Line = ""
    between: str = ";"
    fills_down: bool = False
    return_prefix: Line = ""
    charge_codes: tuple[str, ...] = ()
    merges_repeated: bool = False
    first_row_holds: tuple[str, ...] = ()
    numbers_may_be_parts: bool = False
    ignores_other_columns: bool = True

    @field_validator("delimiter")
    @classmethod
    def _is_one_sign(cls, delimiter: str) -> str:
        if delimiter not in ("", ",", ";", "\t", "|"):
            raise ValueError("a delimiter is a comma, a semicolon, a tab or a bar")
        return delimiter

    @field_validator("decimal_sign")
    @classmethod
    def _is_a_sign(cls, sign: str) -> str:
        if sign not in ("", ".", ","):
            raise ValueError("a decimal sign is a point or a comma")
        return sign

    def to_json(self) -> str:
        """The mapping as text, to be kept."""
        return self.model_dump_json()

    @classmethod
    def from_json(cls, text: str) -> "OrderMapping":
        """The mapping that :meth:`to_json` wrote."""
        return cls.model_validate_json(text)


class KeptMapping(Record):
    """A mapping as the shop keeps it: :meth:`OrderMapping.to_json` under its source."""

    source: Code
    mapping_json: Text
    at: AwareDatetime
    person: Code


class CountryName(Record):
    """A country name that no standard has (``said``, case-folded), and which country a person said it is."""

    said: Name
    country: Country
    at: AwareDatetime
    person: Code
