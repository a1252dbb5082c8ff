"""The shop's own address, clock and money: the settings of the first evening.

Time zone, currency and paper are proposed from the country (Unicode CLDR, ``homes.csv`` among the standards' tables;
Letter paper where CLDR's measurement data has US sizes).

>>> home_of("CA").paper, home_of("LU")
('Letter', Home(zones=('Europe/Luxembourg',), currency='EUR', paper='A4'))
"""

from dataclasses import dataclass
from functools import cache, partial
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from fulfil.errors import QuantityRefused
from fulfil.orders.keying import answers
from fulfil.shipping.address_check import address_fields
from fulfil.shop.conversation import Question, Script
from fulfil.standards import iso4217
from fulfil.standards.tables import read

_LETTER = ("US", "CA", "MX", "CL", "CO", "CR", "GT", "PA", "PH", "PR", "SV", "VE", "BZ", "DO", "NI")
"""Countries with Letter paper (CLDR, supplemental measurementData, paperSize US-Letter; from memory)."""
Rows = list[dict[str, str]]


@dataclass(frozen=True)
class Home:
    """What a country usually has: its time zones, the first one the likeliest, its currency, its paper."""

    zones: tuple[str, ...]
    currency: str
    paper: str


def home_of(country: str) -> Home:
    """What is usual in a country; empty where nobody knows."""
    row = _homes().get(country, {"currency": "", "zones": ""})
    zones = tuple(zone for zone in row["zones"].split() if _is_zone(zone))
    return Home(zones, row["currency"], "Letter" if country in _LETTER else "A4")


@cache
def _homes() -> dict[str, dict[str, str]]:
    return {row["country"]: row for row in read("homes.csv")}


def address_script() -> Script[Rows]:
    """The rows of ``settings.csv``."""
    said: dict[str, str] = {}
    said["shop_name"] = yield Question("shop name", "What is the shop called?", partial(answers.something, "name"))
    country = yield Question("country", "In which country is it?", answers.country, stand_in="LU")
    fields, home = address_fields(country), home_of(country)
    said["country"] = country
    said["street"] = yield Question("street", "Street and house number?", partial(answers.something, "street"))
    if fields.has_post_code:
        said["post_code"] = yield Question(
            "post code", f"Post code (such as {fields.post_code_example})?", partial(answers.text, "post code"), "",
            doubts=lambda code: answers.doubt("post_code", country=country, post_code=code),
        )  # fmt: skip
    said["city"] = yield Question("city", "Town?", partial(answers.something, "town"))
    if fields.needs_region:
        said["region"] = yield Question(
            "region", f"{fields.region_word.capitalize()}?",
            lambda text: fields.region(answers.text("region", text)), "",
            doubts=lambda code: answers.doubt("region", country=country, region=code),
        )  # fmt: skip
    said["phone"] = yield Question(
        "phone", "Telephone (for customs papers)?", partial(answers.text, "phone"), "", doubts=answers.doubt_phone
    )
    said["email"] = yield Question("email", "E-mail?", answers.email, "")
    said["time_zone"] = yield Question(
        "time zone",
        "Time zone?" if len(home.zones) == 1 else "Time zone (its name, or that of a town in it)?",
        partial(zone_named, home.zones),
        home.zones[0] if len(home.zones) == 1 else None,
        offers=lambda _: (", ".join(home.zones),),
        stand_in="UTC",
    )
    said["currency"] = yield Question(
        "currency",
        "Currency of the prices?",
        lambda text: iso4217.validate(text.upper()),
        home.currency or None,
        stand_in="EUR",
    )
    said["paper"] = yield Question("paper", "Paper in the printer, A4 or Letter?", _paper, home.paper)
    return [{"setting": name, "value": value} for name, value in said.items() if value]


def zone_named(usual: tuple[str, ...], said: str) -> str:
    """A time zone by its name in any case, or by its town among those that are usual.

    >>> zone_named(home_of("CA").zones, "toronto"), zone_named((), "pacific/chatham")
    ('America/Toronto', 'Pacific/Chatham')
    """
    folded = "_".join(said.casefold().split())
    names = {zone.casefold(): zone for zone in available_timezones()}
    towns = [zone for zone in usual if zone.casefold().rpartition("/")[2] == folded]
    named = names.get(folded) or (towns[0] if len(towns) == 1 else "")
    if not _is_zone(named):
        raise QuantityRefused("find the time zone", said, "a name such as Europe/Vienna")
    return named


def _is_zone(name: str) -> bool:
    try:
        return "/" in name and bool(ZoneInfo(name))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False


def _paper(said: str) -> str:
    named = {"a4": "A4", "letter": "Letter"}.get(said.casefold())
    if named is None:
        raise QuantityRefused("choose the paper", said, "A4 or Letter")
    return named
