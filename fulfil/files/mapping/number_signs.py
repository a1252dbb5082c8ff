"""Which sign is the decimal one in a file's numbers, told by the numbers themselves, and the numbers written plainly.

``1.234,5`` and ``0,034`` have a decimal comma, ``1,234.5`` and ``2.75`` a decimal point; ``1,234`` alone may be either,
so it proves nothing and is never guessed.

>>> seen(["1,50", "1.234,00"]).sign, seen(["2.75", "1,234.00"]).sign, seen(["1,234"]).sign
(',', '.', '')
>>> seen(["1,50", "2.75"]).is_mixed
True
>>> [plain(text, ",") for text in ("1.234,50", "1 234,50", "0,034", "-5,00", "5,00-", "1.50", "x")]
['1234.50', '1234.50', '0.034', '-5.00', '-5.00', '1.50', 'x']
>>> [bare(text) for text in ("€ 1.234,50", "12,00 kr", "CHF 5.–", "$3.20", "12 g")]
['1.234,50', '12,00', '5', '3.20', '12 g']

A number that doesn't fit the sign stands as it stood, for the column to refuse.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from fulfil.quantities import parse_decimal

_SPACES = dict.fromkeys(map(ord, " \u00a0\u202f\u2009'\u2019"))
"""What stands between groups of three besides point and comma."""
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)*")
_CURRENCY = r"(?:[€$£¥₩₹₽₺₴₪฿₫]|[A-Z]{3}|US\$|R\$|kr\.?|Kč|zł|Ft|lei|лв\.?|руб\.?|р\.|Fr\.?|円|元|원)"
_MONEY = (
    rf"(?P<minus>[-−]?)\s*{_CURRENCY}?\s*(?P<less>[-−]?[0-9][0-9.,'’\s]*?)(?:[.,][-–—]+)?\s*{_CURRENCY}?(?P<after>-?)"
)
_PLAIN = re.compile(r"-?[0-9]{1,9}(?:[.][0-9]{1,9})?")
_GROUPED = {
    ",": re.compile(r"[0-9]{1,3}(?:[.][0-9]{2,3})*[.][0-9]{3}(?:,[0-9]+)?|[0-9]+(?:,[0-9]+)?"),
    ".": re.compile(r"[0-9]{1,3}(?:,[0-9]{2,3})*,[0-9]{3}(?:[.][0-9]+)?|[0-9]+(?:[.][0-9]+)?"),
}


@cache
def _money() -> re.Pattern[str]:
    """Made when a file is read first: it takes 0.05 s, and few commands read one."""
    return re.compile(_MONEY)


@dataclass(frozen=True)
class Seen:
    """A cell that proves a decimal comma, one that proves a point, and one that may be either; else empty."""

    comma: str = ""
    point: str = ""
    unclear: str = ""

    @property
    def is_mixed(self) -> bool:
        """Whether both are there."""
        return bool(self.comma and self.point)

    @property
    def sign(self) -> str:
        """The sign where the cells agree; empty where they prove nothing or both."""
        if self.is_mixed:
            return ""
        return "," if self.comma else "." if self.point else ""


def seen(cells: Iterable[str]) -> Seen:
    """What the cells of a file's decimal columns prove."""
    found = {"comma": "", "point": "", "unclear": ""}
    for cell in cells:
        said = _proves(bare(cell))
        if said and not found[said]:
            found[said] = cell
    return Seen(**found)


def plain(cell: str, sign: str) -> str:
    """The number with a decimal point, no groups, its minus in front; the cell itself where it is no such number."""
    closed = cell.translate(_SPACES)
    minus = ""
    if closed[:1] in ("-", "−"):
        minus, closed = "-", closed[1:]
    elif closed.endswith("-"):
        minus, closed = "-", closed[:-1]
    if _GROUPED[sign].fullmatch(closed) is None:
        return cell
    other = "." if sign == "," else ","
    return minus + closed.replace(other, "").replace(sign, ".")


def bare(cell: str) -> str:
    """An amount without its currency; another text as it is."""
    found = _money().fullmatch(cell.strip())
    if found is None:
        return cell
    minus = "-" if found["minus"] or found["after"] else ""
    return minus + found["less"].strip()


def amount_by(cell: str, sign: str) -> Decimal:
    """The amount of money that a cell says with this decimal sign; a minus is kept.

    >>> amount_by("€ 1.234,50", ",")
    Decimal('1234.50')

    Raises:
        QuantityRefused: it says none.
    """
    text = bare(cell)
    written = plain(text, sign)
    is_fit = written != text or sign == "." or "." not in text
    is_minus = is_fit and written.startswith("-")
    read = (
        parse_decimal(written.removeprefix("-"), "an amount of money") if is_fit and _PLAIN.fullmatch(written) else None
    )
    if read is None:
        return parse_decimal(cell, "an amount of money", decimal_sign=sign)
    return -read if is_minus else read


def currency_in(cell: str) -> str:
    """The sign or code of a currency beside an amount; empty where there is none.

    >>> currency_in("12,50 €"), currency_in("CHF 5.00"), currency_in("12.5")
    ('€', 'CHF', '')
    """
    if _money().fullmatch(cell.strip()) is None:
        return ""
    found = re.search(_CURRENCY, cell)
    return found[0] if found else ""


def _proves(cell: str) -> str:
    closed = cell.translate(_SPACES).strip("-−")
    if _NUMBER.fullmatch(closed) is None:
        return ""
    signs = [letter for letter in closed if letter in ".,"]
    if not signs:
        return ""
    if len(set(signs)) == 2:
        return "comma" if signs[-1] == "," else "point"
    if len(signs) > 1:
        return "point" if signs[0] == "," else "comma"
    whole, _, rest = re.split(r"([.,])", closed)
    if len(rest) == 3 and len(whole) <= 3 and not whole.startswith("0"):
        return "unclear"
    return "comma" if signs[0] == "," else "point"
