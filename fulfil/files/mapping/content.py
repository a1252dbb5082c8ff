"""What the cells of a column are: dates and in which form, lists of items and how written, countries, e-mail addresses.

>>> date_formats(["02.03.2026 08:15", "14.03.2026 17:00"])
('%d.%m.%Y %H:%M',)
>>> date_formats(["02/03/2026"]), date_formats(["2026-03-02T08:15:00"])
(('%d/%m/%Y', '%m/%d/%Y'), ('',))
>>> items_written(["2 x BALL-3; 1 x NUT-4"], {"ball-3", "nut-4"})
('{pieces} x {part}', ';')
"""

import re
from collections.abc import Collection, Sequence
from datetime import datetime
from functools import cache

from fulfil.errors import Refusal
from fulfil.files.mapping.mapped_cells import listed
from fulfil.records.text import tidy
from fulfil.standards.country_names import by_any_name

_DAYS = (
    "%d.%m.%Y", "%d.%m.%y", "%d. %m. %Y", "%d/%m/%Y", "%m/%d/%Y", "%d/%m/%y", "%m/%d/%y", "%d-%m-%Y", "%m-%d-%Y",
    "%Y/%m/%d", "%Y.%m.%d", "%Y. %m. %d.", "%Y.%m.%d.", "%Y%m%d", "%Y年%m月%d日", "%Y년 %m월 %d일", "%d %b %Y",
    "%d %B %Y", "%b %d, %Y", "%B %d, %Y", "%d-%b-%Y",
)  # fmt: skip
_TIMES = ("", " %H:%M", " %H:%M:%S", ", %H:%M", ", %H:%M:%S", " %I:%M %p", " %H.%M", "T%H:%M:%S")
_ITEMS = (
    "{pieces} x {part} @ {unit_price}", "{pieces} × {part} @ {unit_price}", "{part} x {pieces} @ {unit_price}",
    "{part} ({pieces}) {unit_price}", "{pieces} x {part} ({unit_price})",
    "{pieces} x {part}", "{pieces} × {part}", "{pieces}*{part}", "{part} ({pieces})", "{part} [{pieces}]",
    "{part}:{pieces}", "{part}={pieces}", "{part} x {pieces}", "{part} × {pieces}", "{part}*{pieces}",
    "{pieces} {part}",
    "{part}/{pieces}",
)  # fmt: skip
_BETWEEN = (";", "|", ", ", ",", " + ", "/", "\n")
_MAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")


def date_formats(cells: Sequence[str]) -> tuple[str, ...]:
    """The forms, as in strptime, that all cells fit; an empty one is ISO 8601. Several mean that nobody can say."""
    given = [cell for cell in cells if cell]
    if not given:
        return ()
    if all(map(_is_iso, given)):
        return ("",)
    fitting = [f"{day}{time}" for day in _DAYS for time in _TIMES if _fits(given, f"{day}{time}")]
    return tuple(fitting[:2]) if fitting and _differ(given, fitting[:2]) else tuple(fitting[:1])


def _differ(cells: Sequence[str], formats: Sequence[str]) -> bool:
    return len({tuple(datetime.strptime(cell, one) for cell in cells) for one in formats}) > 1  # noqa: DTZ007


def _is_iso(cell: str) -> bool:
    if len(cell) < 8 or not cell[:4].isdigit() or "-" not in cell:
        return False
    try:
        datetime.fromisoformat(cell)
    except ValueError:
        return False
    return True


def _fits(cells: Sequence[str], form: str) -> bool:
    try:
        for cell in cells:
            datetime.strptime(cell, form)  # noqa: DTZ007 - only whether it can be read
    except ValueError:
        return False
    return True


def items_written(cells: Sequence[str], parts: Collection[str]) -> tuple[str, str] | None:
    """How lists of items are written and what is between them: the way by which most parts are found.

    ``parts`` are the shop's numbers, case-folded; None where no way finds half of the items' parts.
    """
    given = [cell for cell in cells if cell]
    best, most = None, 0.5
    for pattern in _ITEMS:
        for between in _BETWEEN:
            read = [listed(cell, pattern, between) for cell in given]
            items = [item for found, _ in read for item in found]
            if not items or any(off for _, off in read):
                continue
            share = sum(tidy(item["part"]).casefold() in parts for item in items) / len(items)
            share += 0.001 * len(items) / len(given) + 0.1 * ("unit_price" in items[0])
            if share > most:
                best, most = (pattern, between), share
    return best


def share(cells: Sequence[str], is_one: object) -> float:
    """How many of the cells that hold something are one, from 0 to 1."""
    given = [cell for cell in cells if cell]
    return sum(map(is_one, given)) / len(given) if given else 0.0  # type: ignore[call-overload]


def is_mail(cell: str) -> bool:
    """Whether a cell is an e-mail address."""
    return _MAIL.fullmatch(cell) is not None


@cache
def is_country(cell: str) -> bool:
    """Whether a cell is a country's name or code."""
    try:
        by_any_name(tidy(cell))
    except Refusal:
        return False
    return True
