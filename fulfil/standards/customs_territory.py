"""Between which countries goods travel without a customs declaration.

Within one country, and within one customs union, goods need no declaration; the union that this table knows is the
customs territory of the European Union (Union Customs Code, Regulation (EU) No 952/2013, Article 4: the territories of
the member states), together with Monaco (Article 4(2)(a)). Switzerland and Liechtenstein form one by treaty of
1923 (quoted from memory).

>>> needs_declaration("LU", "DE"), needs_declaration("LU", "GB"), needs_declaration("NA", "NA")
(False, True, False)

Some parts of member states lie outside that territory, others inside it but outside that of value added tax
(Directive 2006/112/EC, Article 6), and goods between them and the rest take a declaration too (Regulation (EU) No
952/2013, Article 1(3)). A country's code doesn't tell them, a post code does:

>>> needs_declaration("LU", "ES", post_code="35001"), needs_declaration("LU", "ES", post_code="28001")
(True, False)
>>> needs_declaration("DE", "DE", post_code="27498"), apart("FI", "AX-22 100").name
(True, 'Åland')
>>> needs_declaration("ES", "ES", sender_post_code="35001", post_code="38002")
False

Limits: the articles were read in public reprints; post codes are quoted from memory, and an address without one is
taken as of the mainland. Codes of regions that have one of their own (Åland, Réunion, Jersey, Puerto Rico and others)
and Northern Ireland are taken as outside: a declaration too many is harmless, one too few is not. VAT, excise and
restricted goods have rules of their own; local codes and the customs office govern.
"""

from dataclasses import dataclass
from functools import cache

from fulfil.standards import iso3166
from fulfil.standards.tables import read

_MEMBERS = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
EUROPEAN_UNION = frozenset(_MEMBERS.split())
"""The 27 member states since 1 February 2020."""

TERRITORIES = (EUROPEAN_UNION | {"MC"}, frozenset({"CH", "LI"}))


@dataclass(frozen=True)
class Apart:
    """A part of a country that goods reach with a declaration; ``article`` is that of Directive 2006/112/EC."""

    country: str
    name: str
    post_codes: tuple[str, ...]
    is_in_customs_territory: bool
    article: str


def apart(country: str, post_code: str) -> Apart | None:
    """The territory apart from its country in which an address lies; None for the mainland.

    >>> apart("DE", "78266").name, apart("DE", "78267"), apart("FR", "98000")
    ('Büsingen', None, None)
    """
    bare = "".join(filter(str.isdigit, post_code))
    found = (one for one in _apart() if one.country == country and bare.startswith(one.post_codes))
    return next(found, None) if bare else None


def needs_declaration(sender: str, consignee: str, *, sender_post_code: str = "", post_code: str = "") -> bool:
    """Whether goods from one address to another need a customs declaration; both are ISO 3166-1 alpha-2 codes.

    Raises:
        CodeRefused: for a code that isn't assigned.
    """
    iso3166.validate(consignee)
    if apart(sender, sender_post_code) != apart(consignee, post_code):
        return True
    if sender == consignee:
        return False
    return not any(sender in territory and consignee in territory for territory in TERRITORIES)


@cache
def _apart() -> tuple[Apart, ...]:
    return tuple(
        Apart(row["country"], row["name"], tuple(row["post_codes"].split()), row["in_customs_territory"] == "yes",
              row["article"])
        for row in read("customs_territories.csv")
    )  # fmt: skip
