"""Countries by their ISO 3166-1 alpha-2 code, and by exact name where a file gives only a name.

The code is what the shop stores; names are for people and for labels.

>>> parse("na")
Country(alpha_2='NA', alpha_3='NAM', numeric='516', name='Namibia', official_name='Republic of Namibia', common_name=None, is_user_assigned=False)
>>> validate("ZZ")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an ISO 3166-1 country code 'ZZ': expected an assigned alpha-2 code such as 'DE'.

A name finds its country only when it *is* one of the country's names; nothing is guessed:

>>> by_name("cote d’ivoire").alpha_2
'CI'
>>> by_name("Congo").alpha_2
'CG'
>>> by_name("Korea")
Traceback (most recent call last):
    ...
fulfil.errors.UnknownRefused: Cannot find the country 'Korea': expected a country's full name or its alpha-2 code; near: KP North Korea; KR South Korea.

'NA' is Namibia. Readers of tables like to turn it into "no value"; what is no text is refused, never guessed.
'XK' is not assigned by ISO 3166-1 but is a user-assigned code that many posts and customs offices use for Kosovo;
it is let through as the one explicit exception, and says so:

>>> parse("XK").is_user_assigned
True

Limits: names are English, as in the table (``countries.csv``); codes withdrawn from the standard are unknown.
"""  # noqa: E501 - a refusal is one sentence

import unicodedata
from dataclasses import dataclass
from functools import cache

from fulfil.errors import CodeRefused, UnknownRefused
from fulfil.standards.tables import read


@dataclass(frozen=True, slots=True)
class Country:
    """One country of ISO 3166-1; `alpha_3` and `numeric` are None for a user-assigned code."""

    alpha_2: str
    alpha_3: str | None
    numeric: str | None
    name: str
    """The standard's short name, in its listing order ("Korea, Republic of")."""
    official_name: str | None
    common_name: str | None
    is_user_assigned: bool = False

    @property
    def label_name(self) -> str:
        """The name in reading order for a label.

        >>> [parse(code).label_name for code in ("KR", "CD", "SH")]
        ['South Korea', 'The Democratic Republic of the Congo', 'Saint Helena, Ascension and Tristan da Cunha']
        """
        if self.common_name:
            return self.common_name
        head, comma, tail = self.name.partition(", ")
        if comma and (tail.endswith((" of", " of the")) or tail in ("British", "U.S.")):
            return f"{tail} {head}"
        return self.name


KOSOVO = Country("XK", None, None, "Kosovo", None, None, is_user_assigned=True)
"""The user-assigned exception (ISO 3166-1 keeps XA to XZ free for users)."""


def parse(text: str) -> Country:
    """The country with this alpha-2 code; spaces around and lower case are forgiven.

    >>> parse(" de ").name
    'Germany'

    Raises:
        CodeRefused: when the code isn't assigned, or `text` is no text.
    """
    # ASCII first: 'ß'.upper() is 'SS', South Sudan.
    code = text.strip().upper() if isinstance(text, str) and text.isascii() else ""
    return _country(code, text)


def validate(alpha_2: str) -> str:
    """Return `alpha_2` unchanged if it is an assigned code in capitals; refuse it otherwise.

    >>> validate("NA")
    'NA'
    >>> validate("de")
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot read as an ISO 3166-1 country code 'de': expected an assigned alpha-2 code such as 'DE'.
    """  # noqa: E501 - a refusal is one sentence
    return _country(alpha_2, alpha_2).alpha_2


def by_name(name: str) -> Country:
    """The country that has exactly this short, official or common name; accents, case and marks are forgiven.

    Raises:
        UnknownRefused: when no country, or more than one, has that name; the sentence lists what comes near.
    """
    wanted = folded(name)
    found = _names().get(wanted, ())
    if len(found) == 1:
        return _countries()[found[0]]
    words = set(wanted.split())
    near = sorted(
        {code for known, codes in _names().items() if words and words <= set(known.split()) for code in codes}
    )[:5]
    hint = "; near: " + "; ".join(f"{code} {_countries()[code].label_name}" for code in near) if near else ""
    raise UnknownRefused("find the country", name, f"a country's full name or its alpha-2 code{hint}")


def codes() -> tuple[str, ...]:
    """All alpha-2 codes that `parse` takes, in alphabetical order, XK included.

    >>> len(codes())
    250
    """
    return tuple(sorted(_countries()))


def _country(code: str, given: object) -> Country:
    country = _countries().get(code)
    if country is None:
        raise CodeRefused("read as an ISO 3166-1 country code", given, "an assigned alpha-2 code such as 'DE'")
    return country


def folded(name: str) -> str:
    """A name without accents, marks and case, for comparison.

    >>> folded("Côte d’Ivoire")
    'cote d ivoire'
    """
    decomposed = unicodedata.normalize("NFKD", name.casefold().replace("ı", "i"))
    kept = "".join(letter if letter.isalnum() else " " for letter in decomposed if not unicodedata.combining(letter))
    return " ".join(kept.split())


@cache
def _countries() -> dict[str, Country]:
    listed = {
        row["alpha_2"]: Country(
            row["alpha_2"],
            row["alpha_3"],
            row["numeric"],
            row["name"],
            row["official_name"] or None,
            row["common_name"] or None,
        )
        for row in read("countries.csv")
    }
    return {**listed, KOSOVO.alpha_2: KOSOVO}


@cache
def _names() -> dict[str, tuple[str, ...]]:
    names: dict[str, set[str]] = {}
    for country in _countries().values():
        for name in (country.name, country.official_name, country.common_name, country.label_name):
            if name:
                names.setdefault(folded(name), set()).add(country.alpha_2)
    return {name: tuple(sorted(found)) for name, found in names.items()}
