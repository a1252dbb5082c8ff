"""Code 128 bar codes (ISO/IEC 15417) and GS1-128, as strings of light and dark modules.

A symbol is a start character, the data, a check character and a stop pattern.  The check value is
(start value + Σ i × value_i) mod 103, i counting from 1; every character is 11 modules wide, the stop 13.
A quiet zone of ten modules stays white on either side.  The well-known figure "AIM" of the standard:

>>> modules("AIM")
'11010010000101000110001100010001010111011000101110110001100011101011'
>>> check_value([104, 33, 41, 45])
45

All-digit texts of even length need half the width:

>>> len(modules("00123456")), len(modules("BAG0012345"))
(79, 134)

A character that the symbology hasn't got is refused, never dropped:

>>> modules("Ł-17")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot encode as Code 128 'Ł-17': expected ASCII characters only, not 'Ł' at 1.

A bar is only crisp when a module is a whole number of printer dots, two or more; `module_width_mm` rounds the
wanted width up to that:

>>> module_width_mm(300, Decimal("0.25"))
Fraction(127, 500)
>>> float(symbol_width_mm(modules("BAG0012345"), module_width_mm(203, Decimal("0.25"))))
38.5

GS1-128 is the same symbology with a function character FNC1 first, and FNC1 wherever the element string
(see `fulfil.standards.gs1`) has its separator, ASCII 29 (GS1 General Specifications, 7.8):

>>> len(gs1_modules("00395011015300000011"))
156

Limits: print quality (ISO/IEC 15416) needs a verifier with the printed symbol in hand; geometry is no grade.
The symbols are built by python-barcode, two faults of whose release 0.16.1 are corrected here.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import groupby
from math import ceil
from typing import Any

from fulfil.errors import CodeRefused

QUIET_ZONE_MODULES = 10
"""White modules before and after the bars (ISO/IEC 15417)."""

LEAST_DOTS = 2
"""Printer dots of the narrowest module (common practice)."""

GS1_MOST_CHARACTERS = 48
"""Most data characters of one GS1-128 symbol (GS1 General Specifications, 5.4.4)."""

GS1_WIDEST_MM = Decimal("165.10")
"""Widest GS1-128 symbol, quiet zones included (GS1 General Specifications, 5.4.4)."""

_SEPARATOR = "\x1d"
_MM_PER_INCH = Fraction(254, 10)


def check_value(values: Sequence[int]) -> int:
    """The check value of a symbol whose `values` begin with the start character (103, 104 or 105).

    >>> check_value([103, 40, 41, 99, 34, 56, 78])
    67
    >>> check_value([33, 41])
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot check Code 128 values '[33, 41]': expected 103, 104 or 105 first.
    """
    if not values or values[0] not in (103, 104, 105):
        raise CodeRefused("check Code 128 values", list(values), "103, 104 or 105 first")
    return (values[0] + sum(i * value for i, value in enumerate(values))) % 103


def validate(text: str) -> str:
    """Return `text` if Code 128 can say it, unchanged; refuse it otherwise.

    >>> validate("BAG-0042")
    'BAG-0042'
    >>> validate("")
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot encode as Code 128 '': expected at least one character.
    """
    if not text:
        raise CodeRefused("encode as Code 128", text, "at least one character")
    for place, character in enumerate(text, start=1):
        if ord(character) > 127:
            raise CodeRefused("encode as Code 128", text, f"ASCII characters only, not '{character}' at {place}")
    return text


def values(text: str) -> tuple[int, ...]:
    """The symbol values of `text`: start first, check value last, without the stop.

    >>> values("999999")
    (105, 99, 99, 99, 81)
    """
    plain, _ = _builders()
    encoded = tuple(plain(validate(text)).encoded)
    return (*encoded, check_value(encoded))


def modules(text: str) -> str:
    """The modules of `text` from start to stop, '1' dark and '0' light, without quiet zones."""
    plain, _ = _builders()
    return str(plain(validate(text)).build()[0])


def gs1_modules(element_string: str) -> str:
    """The modules of a GS1-128 symbol for the data characters of an element string.

    `element_string` is what a scanner hands over: no brackets, ASCII 29 as separator,
    as made by `fulfil.standards.gs1.element_string`.

    >>> gs1_modules("10ABC" * 10)
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot encode as GS1-128 '10ABC10ABC10ABC10ABC10ABC10ABC10ABC10ABC10ABC10ABC': expected at most 48 characters, got 50.
    """  # noqa: E501 - a refusal is one sentence
    validate(element_string)
    if len(element_string) > GS1_MOST_CHARACTERS:
        raise CodeRefused(
            "encode as GS1-128",
            element_string,
            f"at most {GS1_MOST_CHARACTERS} characters, got {len(element_string)}",
        )
    _, gs1 = _builders()
    return str(gs1(element_string.replace(_SEPARATOR, gs1.FNC1_CHAR)).build()[0])


def bars(symbol: str) -> tuple[tuple[int, int], ...]:
    """The dark bars of `symbol` (a string of modules) as (first module, width in modules), left to right.

    >>> bars("11010001")
    ((0, 2), (3, 1), (7, 1))
    """
    found: list[tuple[int, int]] = []
    place = 0
    for module, run in groupby(symbol):
        width = len(list(run))
        if module == "1":
            found.append((place, width))
        place += width
    return tuple(found)


def module_width_mm(dpi: int, minimum_mm: Decimal | Fraction | int) -> Fraction:
    """The narrowest module X in mm of whole printer dots, two or more, that is at least `minimum_mm` wide.

    Thermal heads sold as 203 dpi have 8 dots to the millimetre; 203 is taken as that (common practice).

    >>> [float(module_width_mm(dpi, Decimal("0.33"))) for dpi in (203, 300, 600)]
    [0.375, 0.33866666666666667, 0.33866666666666667]
    >>> float(module_width_mm(203, Decimal("0.1")))
    0.25
    >>> module_width_mm(0, 1)
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot size bars for a printer of dpi '0': expected at least 1 dot per inch.
    """
    if dpi < 1:
        raise CodeRefused("size bars for a printer of dpi", dpi, "at least 1 dot per inch")
    dot_mm = 1 / dots_per_mm(dpi)
    return dot_mm * max(LEAST_DOTS, ceil(Fraction(minimum_mm) / dot_mm))


def dots_per_mm(dpi: int) -> Fraction:
    """Dots to the millimetre of a resolution; what is sold as 203 dpi has 8 (common practice).

    >>> dots_per_mm(203), float(dots_per_mm(300))
    (Fraction(8, 1), 11.811023622047244)
    """
    return Fraction(8) if dpi == 203 else dpi / _MM_PER_INCH


def symbol_width_mm(symbol: str, module_mm: Decimal | Fraction | int) -> Fraction:
    """The width of `symbol` (a string of modules) in mm, with both quiet zones.

    >>> symbol_width_mm("1" * 156, Decimal("0.495"))
    Fraction(2178, 25)
    """
    return (len(symbol) + 2 * QUIET_ZONE_MODULES) * Fraction(module_mm)


def least_height_mm(symbol: str, module_mm: Decimal | Fraction | int) -> Fraction:
    """The least bar height in mm for a hand scanner: 5 mm or 15 % of the width, whichever is greater.

    Quoted from memory (ISO/IEC 15417); the width is taken with its quiet zones, the safe side.

    >>> float(least_height_mm(modules("BAG0012345"), Decimal("0.25")))
    5.775
    """
    return max(Fraction(5), symbol_width_mm(symbol, module_mm) * Fraction(15, 100))


@cache
def _builders() -> tuple[Any, Any]:
    # Loaded late: the library pulls in an image writer that only papers would pay for.
    from barcode.charsets import code128 as charsets
    from barcode.codex import Code128, Gs1_128

    class Corrected(Code128):  # type: ignore[misc]
        def _build(self) -> list[int]:
            # The library sets these two in its constructor only: a second build would start in the wrong set.
            self._charset = "C"
            self._buffer = ""
            encoded: list[int] = super()._build()
            return encoded

        def _try_to_optimize(self, encoded: list[int]) -> list[int]:
            # After start C, value 99 is the digit pair "99": a switch to set C can't stand there.
            if encoded[0] == charsets.START_CODES["C"] and encoded[1] == 99:
                return encoded
            optimised: list[int] = super()._try_to_optimize(encoded)
            return optimised

    class CorrectedGs1(Corrected, Gs1_128):  # type: ignore[misc]
        pass

    return Corrected, CorrectedGs1
