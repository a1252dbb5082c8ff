"""Postal item numbers of UPU standard S10: two letters, eight digits, a check digit, the country of the post.

The check digit C is 11 − (S mod 11) where S weighs the eight digits with 8 6 4 2 3 5 9 7; 10 becomes 0, 11 becomes 5
(UPU S10-12, 2017).  The published example:

>>> check_digit("47312482")
9
>>> parse("RB 473 124 829 GB")
ItemNumber(service_indicator='RB', serial='47312482', country='GB')
>>> validate("RB473124829GB")
'RB473124829GB'
>>> validate("CP001020301BR")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an S10 item number 'CP001020301BR': expected check digit 7, got 1.

Numbers are issued by postal operators. A shop prints only numbers out of a range that its post gave it, in order,
and none twice: within twelve months no number may be used again, 24 are recommended (S10-12).

>>> given = Range("RR", 47312482, 47312484, "GB")
>>> [str(number) for number in numbers_of_range(given, used=["RR473124829GB"])]
['RR473124832GB', 'RR473124846GB']

Limits: a right check digit shows a well-copied number, not an issued one.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from fulfil.errors import CodeRefused
from fulfil.standards import iso3166

REUSE_MONTHS_LEAST = 12
"""A number must rest this long before it is used again (S10-12)."""

REUSE_MONTHS_RECOMMENDED = 24
"""A number should rest this long before it is used again (S10-12)."""

_WEIGHTS = (8, 6, 4, 2, 3, 5, 9, 7)
_SHAPE = re.compile(r"([A-Z]{2})([0-9]{8})([0-9])([A-Z]{2})")
_KINDS = {
    "C": "parcel",
    "E": "express",
    "H": "e-commerce parcel",
    "L": "tracked letter",
    "R": "registered letter",
    "U": "letter subject to customs",
    "V": "insured letter",
}


@dataclass(frozen=True, slots=True)
class ItemNumber:
    """A valid S10 number without its check digit; `str()` gives all 13 characters."""

    service_indicator: str
    serial: str
    country: str

    def __str__(self) -> str:
        return f"{self.service_indicator}{self.serial}{check_digit(self.serial)}{self.country}"

    @property
    def kind(self) -> str:
        """What the first letter says of the item, "other" where the table has no entry.

        >>> parse("RB473124829GB").kind
        'registered letter'
        """
        return _KINDS.get(self.service_indicator[0], "other")


@dataclass(frozen=True, slots=True)
class Range:
    """Serial numbers `first` to `last` (both included) that a post gave to the shop."""

    service_indicator: str
    first: int
    last: int
    country: str

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Z]{2}", self.service_indicator) or self.service_indicator[0] in "JK":
            raise CodeRefused(
                "use a range with service indicator", self.service_indicator, "two capitals, J and K reserved"
            )
        iso3166.validate(self.country)
        if not 0 <= self.first <= self.last <= 99_999_999:
            raise CodeRefused(
                "use the range of serials",
                f"{self.first} to {self.last}",
                "first <= last, both of eight digits at most",
            )

    def __contains__(self, number: object) -> bool:
        return (
            isinstance(number, ItemNumber)
            and (number.service_indicator, number.country) == (self.service_indicator, self.country)
            and self.first <= int(number.serial) <= self.last
        )


def check_digit(serial: str) -> int:
    """The check digit of eight digits.

    >>> [check_digit(serial) for serial in ("28704377", "00000008", "00000015")]
    [5, 0, 5]
    """
    if re.fullmatch(r"[0-9]{8}", serial) is None:
        raise CodeRefused("compute an S10 check digit of", serial, "eight digits")
    weighed = sum(weight * int(digit) for weight, digit in zip(_WEIGHTS, serial, strict=True))
    return {10: 0, 11: 5}.get(11 - weighed % 11, 11 - weighed % 11)


def parse(text: str) -> ItemNumber:
    """The number in `text`; spaces and lower case are forgiven.

    Raises:
        CodeRefused: for a wrong shape, check digit or country.
    """
    # ASCII first: 'ß'.upper() is 'SS'.
    return _checked(text.replace(" ", "").upper() if text.isascii() else text, text)


def validate(text: str) -> str:
    """Return `text` unchanged if it is a valid S10 number of 13 characters; refuse it otherwise."""
    return str(_checked(text, text))


def numbers_of_range(given: Range, *, used: Iterable[str] = ()) -> Iterator[ItemNumber]:
    """The numbers of the range that aren't in `used`, ascending; it ends when the range is used up.

    Pass as `used` every number printed within the last `REUSE_MONTHS_RECOMMENDED` months.
    """
    taken = frozenset(parse(number) for number in used)
    for serial in range(given.first, given.last + 1):
        number = ItemNumber(given.service_indicator, f"{serial:08d}", given.country)
        if number not in taken:
            yield number


def _checked(code: str, given: str) -> ItemNumber:
    found = _SHAPE.fullmatch(code)
    if found is None:
        raise CodeRefused(
            "read as an S10 item number", given, "two letters, nine digits and two letters, as in RB473124829GB"
        )
    indicator, serial, digit, country = found.groups()
    if int(digit) != check_digit(serial):
        raise CodeRefused("read as an S10 item number", given, f"check digit {check_digit(serial)}, got {digit}")
    iso3166.validate(country)
    return ItemNumber(indicator, serial, country)
