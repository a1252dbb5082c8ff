"""Readings as they are typed at the bench: grams, digits as shown, and the scale that can have shown them."""

import re
from collections.abc import Sequence
from decimal import Decimal

from fulfil.counting.count_lines import scale_of
from fulfil.counting.scale_checks import usable_scale, usable_scales
from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.quantities import keyed_grams
from fulfil.records.equipment import ScaleRecord
from fulfil.records.revised import revised
from fulfil.store.books import Books

_GRAMS = "grams as the scale shows them, digits only; set the scale to grams"


def read_grams(text: str, what: str) -> Decimal:
    """A mass as typed at the bench: grams, digits as shown.

    >>> read_grams("1.6 oz", "gross")
    Traceback (most recent call last):
        ...
    fulfil.errors.WeighingRefused: Cannot read gross '1.6 oz': expected grams as the scale shows them, digits only; \
set the scale to grams.
    """
    try:
        return keyed_grams(text)
    except QuantityRefused as trouble:
        steady = text.strip().lower() in ("nan", "inf", "---", "err", "")
        expected = "a number; wait for a steady reading" if steady else _GRAMS
        raise WeighingRefused(f"read {what}", text, expected) from trouble


def read_singles(text: str) -> tuple[Decimal, ...]:
    """Single pieces weighed one by one, as typed: readings apart by semicolons or spaces, with a comma or a point.

    Commas may stand between readings where each has its point. Commas alone may be decimal signs or stand between
    whole grams, so they are refused.

    >>> read_singles("0,912; 0,905"), read_singles("0.912 0.905"), read_singles("0.912,0.905")
    ((Decimal('0.912'), Decimal('0.905')), (Decimal('0.912'), Decimal('0.905')), (Decimal('0.912'), Decimal('0.905')))
    >>> read_singles("0,912"), read_singles("12, 13, 11")
    ((Decimal('0.912'),), (Decimal('12'), Decimal('13'), Decimal('11')))
    >>> read_singles("12,13,11")
    Traceback (most recent call last):
        ...
    fulfil.errors.WeighingRefused: Cannot read single pieces '12,13,11': expected readings with ; or a space between \
them, such as '0.912; 0.905', since these commas may be decimal signs.

    Raises:
        WeighingRefused: a reading is no mass in grams, or it can't be seen where one ends.
    """
    words = [word.strip(",") for word in re.split(r"[;\s]+", text.strip()) if word.strip(",")]
    if len(words) == 1 and "," in words[0] and not _ONE.fullmatch(words[0]):
        if "." not in text:
            raise WeighingRefused("read single pieces", text, _BETWEEN)
        words = words[0].split(",")
    return tuple(read_grams(word, "a single piece") for word in words)


_ONE = re.compile("0,[0-9]+")
"""One reading with a decimal comma: no piece weighs 0 g, so it is no list."""
_BETWEEN = "readings with ; or a space between them, such as '0.912; 0.905', since these commas may be decimal signs"


def scale_for(books: Books, code: str, readings: Sequence[Decimal]) -> ScaleRecord:
    """The scale named; else the one in use that shows such readings.

    That is the finest one (ties by code) of those that show just so many decimals, else of those that can show them.

    Raises:
        UnknownRefused: when there is no such scale.
        WeighingRefused: when the one named is stopped, or none can have shown them.
    """
    if code:
        return usable_scale(books, code)
    able = [
        scale
        for scale in usable_scales(books)
        if all(reading <= scale.max_g and reading % scale.d_g == 0 for reading in readings)
    ]
    if not able:
        shown = ", ".join(f"{reading} g" for reading in readings)
        raise WeighingRefused("find the scale that shows", shown, "a reading that a scale in use can show; name it")
    decimals = max(_decimals(reading) for reading in readings)
    same = [scale for scale in able if _decimals(scale.d_g.normalize()) == decimals]
    return min(same or able, key=lambda scale: (scale.d_g, scale.code))


def must_be_shown(scale: ScaleRecord, gross_g: Decimal, *, may_be_too_light: bool) -> None:
    """Refuses a reading that the scale can't show.

    Below its minimum load a bag or package that should weigh more is too light: ``may_be_too_light`` leaves that to the
    verdict.

    Raises:
        WeighingRefused: negative, beyond the scale, no multiple of d, or below Min where that is no verdict.
    """
    least_g = Decimal(0) if may_be_too_light else scale.min_g
    scale_of(revised(scale, {"min_g": least_g})).net_g(gross_g)


def _decimals(mass_g: Decimal) -> int:
    exponent = mass_g.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
