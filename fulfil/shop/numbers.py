"""Numbers of the day's papers and bags: a letter, the day, a running number; short, and easy to scan.

``B`` bag, ``W`` walk and its pick list, ``P`` package, ``M`` manifest, ``S`` short list, ``D`` day report,
``J`` job of make or buy list, ``E`` claim, ``Y`` pieces that came back. They are the shop's own, for Code 128; a
logistic unit's SSCC would need the shop's own GS1 company prefix.

>>> code_of("B", date(2026, 3, 2), 17)
'B2603020017'
"""

from collections.abc import Iterator
from datetime import date, datetime
from itertools import count

from fulfil.shop.clock import local_day
from fulfil.store.books import Books


def code_of(letter: str, day: date, running: int) -> str:
    """The number itself: letter, yymmdd, at least four digits (an even number of digits keeps Code 128 short)."""
    return _code(_series(letter, day), running)


def _code(series: str, running: int) -> str:
    if running < 10_000:
        return f"{series}{running:04d}"
    digits = len(str(running)) + len(str(running)) % 2
    return f"{series}{running:0{digits}d}"


def next_code_at(books: Books, letter: str, at: datetime) -> str:
    """The next number of its kind for the shop's own day at that moment."""
    return next_code(books, letter, local_day(at, books.settings()))


def next_code(books: Books, letter: str, day: date) -> str:
    """The next number of its kind for the day."""
    return next_codes(books, letter, day, 1)[0]


def next_codes(books: Books, letter: str, day: date, many: int) -> list[str]:
    """The next numbers of their kind for the day, taken together."""
    series = _series(letter, day)
    return [_code(series, running) for running in books.next_numbers(series, many)]


def coming(books: Books, letter: str, day: date) -> Iterator[str]:
    """The numbers of their kind for the day as they would come next, one by one; nobody has them yet."""
    series = _series(letter, day)
    return (_code(series, running) for running in count(books.last_number(series) + 1))


def _series(letter: str, day: date) -> str:
    return f"{letter}{day:%y%m%d}"
