"""Columns of a file, one line each: the name in the header, the field of the record, how its text is read.

>>> Column("e_g", "e_g", grams).read("0.10")
Decimal('0.10')
>>> moment("2026-03-02T08:15:00")
Traceback (most recent call last):
    ...
fulfil.errors.QuantityRefused: Cannot read a time '2026-03-02T08:15:00': expected ISO 8601 with an offset, such as 2026-03-02T08:15:00+01:00.
"""  # noqa: E501 - a refusal is one sentence

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from fulfil.errors import QuantityRefused
from fulfil.quantities import parse_decimal, parse_estimate, parse_grams, parse_mm, parse_pieces
from fulfil.records.text import tidy

CORRECT = "correct the cell and import again"

_YES = dict.fromkeys(
    ("yes", "true", "1", "y", "x", "ja", "j", "oui", "sí", "si", "sì", "sim", "tak", "ano", "kyllä", "igen", "da",
     "evet", "да", "так", "ναι", "はい", "是", "예"), True,
) | dict.fromkeys(
    ("no", "false", "0", "n", "nein", "nee", "non", "não", "nie", "ne", "ei", "nem", "nu", "hayır", "nej", "nei",
     "нет", "ні", "не", "όχι", "いいえ", "否", "아니오"), False,
)  # fmt: skip


def text(cell: str) -> str:
    """The cell as it stands; the record composes and trims it."""
    return cell


def code(cell: str) -> str:
    """A number or code that is looked up: composed, runs of spaces as one."""
    return tidy(cell)


def pieces(cell: str) -> int:
    """One piece or more."""
    return parse_pieces(cell)


def pieces_or_none(cell: str) -> int:
    """Zero pieces or more."""
    return parse_pieces(cell, least=0)


def whole(cell: str) -> int:
    """A whole number from zero."""
    return parse_pieces(cell, least=0)


def mm(cell: str) -> int:
    """Whole millimetres."""
    return parse_mm(cell)


def grams(cell: str) -> Decimal:
    """Exact grams."""
    return parse_grams(cell)


def amount(cell: str) -> Decimal:
    """Money in major units, with the digits as written."""
    return parse_decimal(cell, "an amount of money")


def estimate(cell: str) -> float:
    """An estimated number, not negative."""
    return parse_estimate(cell)


def yes_or_no(cell: str) -> bool:
    """``yes``, ``true`` or ``1`` against ``no``, ``false`` or ``0``; also the plain words of other languages."""
    try:
        return _YES[cell.casefold()]
    except KeyError:
        raise QuantityRefused("read", cell, "yes or no") from None


def moment(cell: str) -> datetime:
    """A point in time with its offset from UTC (ISO 8601)."""
    expected = "ISO 8601 with an offset, such as 2026-03-02T08:15:00+01:00"
    try:
        read = datetime.fromisoformat(cell)
    except ValueError:
        raise QuantityRefused("read a time", cell, expected) from None
    if read.tzinfo is None:
        raise QuantityRefused("read a time", cell, expected)
    return read


@dataclass(frozen=True)
class Column:
    """One column: its header, its field, how to read a cell, whether a cell may be empty and what to do then."""

    name: str
    field: str
    read: Callable[[str], object] = text
    is_needed: bool = True
    do: str = CORRECT


def needed_names(columns: Iterable[Column]) -> tuple[str, ...]:
    """Headers that a file must have."""
    return tuple(column.name for column in columns if column.is_needed)


def optional_names(columns: Iterable[Column]) -> tuple[str, ...]:
    """Headers that a file may have."""
    return tuple(column.name for column in columns if not column.is_needed)
