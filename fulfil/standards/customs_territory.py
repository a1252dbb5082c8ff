"""Between which countries goods travel without a customs declaration.

Within one country, and within one customs union, goods need no declaration; the union that this table knows is the
customs territory of the European Union (Union Customs Code, Regulation (EU) No 952/2013, Article 4: the territories of
the member states), together with Monaco (Article 4(2)(a)). Switzerland and Liechtenstein form one by treaty of
1923 (quoted from memory).

>>> needs_declaration("LU", "DE"), needs_declaration("LU", "GB"), needs_declaration("NA", "NA")
(False, True, False)

Limits: parts of member states outside the territory (such as Büsingen, Heligoland, Livigno, Ceuta, Melilla) can't be
told by their country's code: name them to the post or the customs office. Codes of regions that have one of their own
(Åland, Réunion and others) are taken as outside: a declaration too many is harmless, one too few is not. VAT, excise
and restricted goods have rules of their own.
"""

from fulfil.standards import iso3166

_MEMBERS = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
EUROPEAN_UNION = frozenset(_MEMBERS.split())
"""The 27 member states since 1 February 2020."""

TERRITORIES = (EUROPEAN_UNION | {"MC"}, frozenset({"CH", "LI"}))


def needs_declaration(sender: str, consignee: str) -> bool:
    """Whether goods from one country to another need a customs declaration; both are ISO 3166-1 alpha-2 codes.

    Raises:
        CodeRefused: for a code that isn't assigned.
    """
    iso3166.validate(consignee)
    if sender == consignee:
        return False
    return not any(sender in territory and consignee in territory for territory in TERRITORIES)
