"""Public holidays against the laws that make them, worked out here without the library that the shop asks.

Sources, read as quoted in public guides and written down here as rules: Luxembourg, Code du travail, article L. 232-2
(eleven days); Austria, Feiertagsruhegesetz, section 1 (thirteen days); Bavaria, Feiertagsgesetz, article 1 (twelve days
that hold everywhere in it); United States, 5 U.S.C. 6103 with the Friday or Monday for a Saturday or Sunday; England,
GOV.UK list of bank holidays, 2026 (Monday 28 December for Boxing Day); New Zealand, Holidays Act 2003, section 44 with
its Mondays, and Te Kāhui o Matariki Public Holiday Act 2022 (Friday 10 July 2026; from memory).
Easter: the anonymous Gregorian computus as in J. Meeus, Astronomical Algorithms, 2nd edition, chapter 8.
"""

from collections.abc import Iterable
from datetime import date, timedelta

import pytest

from fulfil.errors import CodeRefused
from fulfil.standards.public_holidays import name_of, parse


def easter(year: int) -> date:
    """Easter Sunday."""
    a, (b, c) = year % 19, divmod(year, 100)
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return date(year, month, day + 1)


def from_easter(year: int, *days: int) -> list[date]:
    """Days counted from Easter Sunday."""
    return [easter(year) + timedelta(days=one) for one in days]


def on(year: int, *days: tuple[int, int]) -> list[date]:
    """Month and day."""
    return [date(year, *one) for one in days]


def nth(year: int, month: int, weekday: int, count: int) -> date:
    """The first, second … (or with -1 the last) of a weekday in a month; Monday is 0."""
    days = [day for n in range(31) if (day := date(year, month, 1) + timedelta(days=n)).month == month]
    fitting = [day for day in days if day.weekday() == weekday]
    return fitting[count if count < 0 else count - 1]


def of_library(code: str, year: int) -> list[date]:
    """All days of a year that are a holiday by the door that the shop asks."""
    days = (date(year, 1, 1) + timedelta(days=n) for n in range(366))
    return [day for day in days if day.year == year and name_of(code, day)]


def kept_near(days: Iterable[date]) -> set[date]:
    """With the Friday before a Saturday and the Monday after a Sunday."""
    return {day - timedelta(days=1) if day.weekday() == 5 else day + timedelta(days=int(day.weekday() == 6))
            for day in days}  # fmt: skip


def test_easter_is_worked_out_right():
    """Meeus' own examples: 1991, 1818 (the earliest possible), 1943 (the latest)."""
    assert [easter(year) for year in (1991, 1818, 1943)] == [date(1991, 3, 31), date(1818, 3, 22), date(1943, 4, 25)]


@pytest.mark.parametrize("year", range(2020, 2031))
def test_luxembourg(year):
    """Article L. 232-2; in 2027 two of them fall on one Sunday or weekday at most."""
    fixed = on(year, (1, 1), (5, 1), (5, 9), (6, 23), (8, 15), (11, 1), (12, 25), (12, 26))
    assert of_library("LU", year) == sorted({*fixed, *from_easter(year, 1, 39, 50)})


@pytest.mark.parametrize("year", range(2020, 2031))
def test_austria_and_bavaria(year):
    """Section 1 and article 1: the parts of a country may differ from it."""
    movable = from_easter(year, 1, 39, 50, 60)
    austria = on(year, (1, 1), (1, 6), (5, 1), (8, 15), (10, 26), (11, 1), (12, 8), (12, 25), (12, 26))
    bavaria = on(year, (1, 1), (1, 6), (5, 1), (10, 3), (11, 1), (12, 25), (12, 26))
    assert of_library("AT", year) == sorted({*austria, *movable})
    assert of_library("DE-BY", year) == sorted({*bavaria, *movable, *from_easter(year, -2)})


@pytest.mark.parametrize("year", range(2022, 2031))
def test_the_united_states(year):
    """5 U.S.C. 6103: eleven days; what falls on a weekend is kept on its Friday or Monday, in this or the next year."""
    fixed = on(year, (1, 1), (6, 19), (7, 4), (11, 11), (12, 25)) + on(year + 1, (1, 1))
    floating = {nth(year, 1, 0, 3), nth(year, 2, 0, 3), nth(year, 5, 0, -1), nth(year, 9, 0, 1), nth(year, 10, 0, 2),
                nth(year, 11, 3, 4)}  # fmt: skip
    kept = {day for day in kept_near(fixed) | floating if day.year == year}
    assert {day for day in of_library("US", year) if day.weekday() < 5} == kept


def test_england_2026():
    """GOV.UK: eight days, Boxing Day on Monday 28 December; the library keeps the Saturday too."""
    listed = on(2026, (1, 1), (4, 3), (4, 6), (5, 4), (5, 25), (8, 31), (12, 25), (12, 28))
    assert [day for day in of_library("GB-ENG", 2026) if day.weekday() < 5] == listed


def test_new_zealand_2026_with_a_province():
    """Section 44, Mondays for Anzac Day and Boxing Day on Saturdays, Matariki, Otago's own Monday nearest 23 March."""
    listed = on(2026, (1, 1), (1, 2), (2, 6), (4, 3), (4, 6), (4, 27), (6, 1), (7, 10), (10, 26), (12, 25), (12, 28))
    assert [day for day in of_library("NZ", 2026) if day.weekday() < 5] == listed
    assert [day for day in of_library("NZ-OTA", 2026) if day.weekday() < 5] == sorted([*listed, date(2026, 3, 23)])


@pytest.mark.parametrize("code", ["QQ", "DE-XX", "", "Germany", "AT9"])
def test_what_nobody_knows_is_refused(code):
    """With what may be written instead."""
    with pytest.raises(CodeRefused):
        parse(code)
