"""Public holidays of a country or one of its parts, named by its code: ISO 3166-1 alpha-2, or ISO 3166-2.

>>> parse("at"), parse("DE-BY"), parse("none")
('AT', 'DE-BY', 'none')
>>> name_of("DE-BY", date(2026, 1, 6)), name_of("DE", date(2026, 1, 6)), name_of("LU", date(2026, 6, 23))
('Epiphany', '', 'National Day')

Which days these are is law, and the laws change; the dates come from the library ``holidays``, which is kept up for
that (``tests/published/test_public_holidays.py`` holds some of them against the laws). A holiday that falls on a Sunday
and is kept on the Monday is both days. What a carrier or a shop does besides is a closure of its own.

Limits: half holidays and days on which only banks or offices close aren't among them. ``none`` keeps no holiday.
"""

from datetime import date
from functools import lru_cache

from fulfil.errors import CodeRefused

NONE = "none"


def parse(text: str) -> str:
    """The code in its usual spelling.

    Raises:
        CodeRefused: no country, or no part of it, of which the holidays are known.
    """
    import holidays  # not above: it takes 0.15 s, and most commands need no holiday

    if text.strip().casefold() == NONE:
        return NONE
    country, _, part = text.strip().upper().partition("-")
    parts = holidays.list_supported_countries(include_aliases=False).get(country) if len(country) == 2 else None
    if parts is None:
        raise CodeRefused("find the public holidays of", text, "a country code such as AT, one of its parts, or none")
    if part and part not in parts:
        known = f"{country} alone or with one of {' '.join(parts)}" if parts else f"{country} alone"
        raise CodeRefused("find the public holidays of", text, known)
    return f"{country}-{part}" if part else country


def name_of(code: str, day: date) -> str:
    """What is kept on a day, in English where the library has it; empty on a day that is no holiday.

    ``code`` is as :func:`parse` gives it; empty or ``none`` has no holidays.
    """
    return "" if code in ("", NONE) else _of_year(code, day.year).get(day, "")


@lru_cache(maxsize=64)
def _of_year(code: str, year: int) -> dict[date, str]:
    import holidays

    country, _, part = code.partition("-")
    return dict(holidays.country_holidays(country, subdiv=part or None, years=year, language="en_US"))
