"""Commodity codes of the Harmonized System (World Customs Organization): six digits, nationally up to ten.

The first two digits are the chapter, four the heading, six the subheading that all countries share; digits seven
to ten are the importing country's own.

>>> parse("7318.15.95")
'73181595'
>>> chapter("731815"), heading("73181595"), subheading("73181595")
('73', '7318', '731815')
>>> print_code("731815")
'7318.15'
>>> validate("731")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an HS code '731': expected 6, 8, 9 or 10 digits.
>>> validate("770100")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an HS code '770100': expected a chapter from 01 to 97 other than 77.

Chapter 77 is reserved by the system; 98 and 99 are left to national use and mean nothing abroad (both quoted from
memory). Limits: this is the shape of a code. Whether it is the right code for the goods is the exporter's
declaration, and no program's.
"""

import re

from fulfil.errors import CodeRefused

_SHAPE = re.compile(r"[0-9]{6}([0-9]{2,4})?")


def parse(text: str) -> str:
    """The code as digits only, from a printed form with dots or spaces between the digits.

    >>> parse(" 9109 90 ")
    '910990'
    """
    return _checked(re.sub(r"(?<=[0-9])[. ](?=[0-9])", "", text.strip()), text)


def validate(code: str) -> str:
    """Return `code` unchanged if it is digits only and has an HS code's shape; refuse it otherwise.

    >>> validate("731815")
    '731815'
    """
    return _checked(code, code)


def chapter(code: str) -> str:
    """The first two digits."""
    return validate(code)[:2]


def heading(code: str) -> str:
    """The first four digits."""
    return validate(code)[:4]


def subheading(code: str) -> str:
    """The six digits that mean the same in every country: what a CN 22 or CN 23 asks for."""
    return validate(code)[:6]


def print_code(code: str) -> str:
    """The code with dots after the fourth, sixth and eighth digit.

    >>> print_code("7318159590")
    '7318.15.95.90'
    """
    checked = validate(code)
    return ".".join((checked[:4], *(checked[i : i + 2] for i in range(4, len(checked), 2))))


def _checked(code: str, given: str) -> str:
    if _SHAPE.fullmatch(code) is None:
        raise CodeRefused("read as an HS code", given, "6, 8, 9 or 10 digits")
    if not "01" <= code[:2] <= "97" or code[:2] == "77":
        raise CodeRefused("read as an HS code", given, "a chapter from 01 to 97 other than 77")
    return code
