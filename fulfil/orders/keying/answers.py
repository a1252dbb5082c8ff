"""What the answers of a keyed order mean: each is read here at once, in the words of the one who asks.

>>> country("schweiz"), email("ann@example.invalid"), doubt_phone("call me")
('CH', 'ann@example.invalid', "'call me' is no telephone number of 6 to 20 digits.")
>>> email("ann at home")
Traceback (most recent call last):
    ...
fulfil.errors.QuantityRefused: Cannot read the e-mail address 'ann at home': expected one such as ann@example.com.
"""

import re

from pydantic import TypeAdapter, ValidationError

from fulfil.errors import QuantityRefused, UnknownRefused
from fulfil.orders.print_check import in_latin, unprintable
from fulfil.quantities import parse_pieces
from fulfil.records.despatch.service import Service
from fulfil.records.text import Line
from fulfil.shipping.address_check import address_warnings
from fulfil.standards import iso3166
from fulfil.standards.country_names import by_any_name

_LINE: TypeAdapter[str] = TypeAdapter(Line)
_EMAIL = re.compile(r"[^@\s,;<>]+@[^@\s,;<>]+\.[^@\s,;<>.]+")


def text(what: str, said: str) -> str:
    """One line that the papers can print.

    Raises:
        QuantityRefused: it is too long, holds a control character, or letters that can't be printed.
    """
    try:
        read = _LINE.validate_python(said)
    except ValidationError as trouble:
        raise QuantityRefused(f"read the {what}", said[:60], _says(trouble)) from None
    if lacking := unprintable(read):
        expected = (
            f"letters that the papers can print, not '{lacking[:10]}'; ask the customer, or type '{in_latin(read)}'"
        )
        raise QuantityRefused(f"read the {what}", read, expected)
    return read


def something(what: str, said: str) -> str:
    """A line with at least one letter or digit."""
    read = text(what, said)
    if not any(map(str.isalnum, read)):
        raise QuantityRefused(f"read the {what}", said, "letters or digits")
    return read


def country(said: str) -> str:
    """The code of a country by its name in any language, or its code in any case."""
    try:
        return by_any_name(said).alpha_2
    except UnknownRefused:
        expected = "a country's name in any language, or its code, such as CH"
        raise QuantityRefused("find the country", said, expected) from None


def country_name(code: str) -> str:
    """How a country is shown: ``Switzerland (CH)``."""
    return f"{iso3166.parse(code).name} ({code})"


def doubt_phone(said: str) -> str:
    """A sentence where a telephone number is none that customs offices take, else empty."""
    found = address_warnings(street="x", city="x", country="NA", phone=said, subject="order")
    return next((f"'{one.value}' {one.says}." for one in found if one.field == "phone"), "")


def email(said: str) -> str:
    """An e-mail address that looks like one; whether it exists is not asked."""
    read = text("e-mail address", said)
    if read and _EMAIL.fullmatch(read) is None:
        raise QuantityRefused("read the e-mail address", said, "one such as ann@example.com")
    return read


def pieces(said: str) -> int:
    """Pieces of a line; 0 takes the line out again."""
    return parse_pieces(said.removesuffix("pcs").strip(), least=0)


def service(services: dict[str, Service], said: str, to_country: str) -> str:
    """The code of a service by its code in any case, or by words of its name.

    Raises:
        UnknownRefused: none or several are meant, or it does not go to the country.
    """
    folded = said.casefold().strip()
    named = [code for code, one in services.items() if folded in (code.casefold(), one.name.casefold())]
    named = named or [code for code, one in services.items() if folded and folded in one.name.casefold()]
    if len(named) != 1:
        raise UnknownRefused(
            "tell which service is", said, f"one of {', '.join(services) or '(the shop has none yet)'}"
        )
    if not services[named[0]].reaches(to_country):
        able = ", ".join(code for code, one in services.items() if one.reaches(to_country)) or "none"
        raise UnknownRefused("send by", named[0], f"a service that goes to {country_name(to_country)}: {able}")
    return named[0]


def doubt(
    field: str, *, country: str, street: str = "x", city: str = "x", post_code: str = "", region: str = ""
) -> str:
    """A sentence where one field of an address breaks its country's rules, else empty."""
    found = address_warnings(
        street=street, city=city, country=country, post_code=post_code, region=region, subject="order"
    )
    one = next((finding for finding in found if finding.field == field), None)
    if one is None:
        return ""
    said = f" '{one.value}'" if one.value else ""
    return f"The {field.replace('_', ' ')}{said} {one.says} ({country_name(country)})."


def _says(trouble: ValidationError) -> str:
    error = trouble.errors()[0]
    if error["type"] == "string_too_long":
        return "at most 200 letters"
    return f"text that {error['msg'].removeprefix('Value error, ').replace('holds', 'does not hold')}"
