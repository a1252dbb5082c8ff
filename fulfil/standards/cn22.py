"""Customs declarations CN 22 and CN 23 of the Universal Postal Union: which form, which weights, which words.

A letter-post item worth up to 300 SDR (the IMF's special drawing rights) takes CN 22; above, or for parcels, CN 23
(CN 22 form text). Other guidance draws the line at "300 or more", so the boundary is the caller's to set:

>>> rate = SdrRate(currency="EUR", per_sdr=Decimal("1.2000"), as_of=date(2026, 3, 2))
>>> form_for(Decimal("360.00"), rate), form_for(Decimal("360.01"), rate)
('CN 22', 'CN 23')
>>> form_for(Decimal("360.00"), rate, is_300_sdr_included=False), form_for(Decimal("12"), rate, is_parcel=True)
('CN 23', 'CN 23')

The rate is always the caller's, with its date; none is built in.

Net weights are declared in kilograms with three decimals. Lines add up to the declared total by the method of the
largest remainder, and no line of real goods is declared as 0.000 kg:

>>> grams = declared_grams([Decimal("22.15"), Decimal("7.60"), Decimal("0.12")])
>>> grams, [print_kilograms(mass_g) for mass_g in grams]
((22, 7, 1), ['0.022', '0.007', '0.001'])

A description must say what the goods are; customs offices turn away general words (public postal guidance for CN 23):

>>> validate_description("Spare parts")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot declare to customs 'Spare parts': expected what the goods are and are made of, such as 'steel bearing balls 5 mm'.

Limits: form texts as published by posts; box numbers of CN 23 aren't given here. What may be sent is decided by the
post and by the customs of both countries.
"""  # noqa: E501 - a refusal is one sentence

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from fulfil.errors import CodeRefused, QuantityRefused, UnknownRefused
from fulfil.standards import iso4217

THRESHOLD_SDR = 300

_VAGUE = (
    "accessories accessory apparatus article articles component components electronics equipment gift gifts goods"
    " hardware item items machinery material materials merchandise part parts product products sample samples spare"
    " spares stuff supplies thing things tool tools various"
    " ersatzteil ersatzteile geschenk geschenke muster teil teile ware waren werkzeug zubehör"
    " accessoire accessoires cadeau cadeaux détachées échantillon échantillons marchandise marchandises pièce pièces"
    " campione campioni merce pezzi ricambi ricambio mercancía muestra muestras repuesto repuestos"
    " onderdeel onderdelen próbka próbki części"
)
VAGUE_WORDS = frozenset(_VAGUE.split())
"""Words that say nothing alone or together ("parts", "spare parts", "samples" published, others common practice)."""
_PURPOSE = re.compile(r"\b(?:for|of|für|pour|per|para|voor|with|from)\b")
"""What a thing is stands before these words, what it is for or made of after them."""

CATEGORIES = ("sale of goods", "gift", "commercial sample", "documents", "returned goods", "other")
"""What the forms let a sender tick (gift, sample, documents, other: CN 22 form text; the rest quoted from memory)."""


def validate_category(category: str) -> str:
    """Return `category` if the forms have it.

    >>> validate_category("gift")
    'gift'

    Raises:
        UnknownRefused: for a word that they don't have.
    """
    if category not in CATEGORIES:
        raise UnknownRefused("find the category", category, f"one of {', '.join(CATEGORIES)}")
    return category


@dataclass(frozen=True, slots=True)
class SdrRate:
    """What one special drawing right costs in a currency, on a day, as the clerk entered it."""

    currency: str
    per_sdr: Decimal
    as_of: date

    def __post_init__(self) -> None:
        iso4217.validate(self.currency)
        if not self.per_sdr.is_finite() or self.per_sdr <= 0:
            raise QuantityRefused("use the SDR rate", self.per_sdr, f"{self.currency} above 0 for one SDR")


def form_for(value: Decimal, rate: SdrRate, *, is_parcel: bool = False, is_300_sdr_included: bool = True) -> str:
    """The form for goods worth `value` in the rate's currency: 'CN 22' or 'CN 23'.

    Args:
        value: value of all contents, in the currency of `rate`.
        rate: the currency's rate and its date.
        is_parcel: parcels take CN 23 whatever they are worth.
        is_300_sdr_included: whether exactly 300 SDR still takes CN 22.
    """
    if not value.is_finite() or value < 0:
        raise QuantityRefused("declare the value", value, "an amount of 0 or more")
    excess = Fraction(value) - THRESHOLD_SDR * Fraction(rate.per_sdr)
    is_small = excess < 0 or (excess == 0 and is_300_sdr_included)
    return "CN 22" if is_small and not is_parcel else "CN 23"


def declared_grams(net_g: Sequence[Decimal | int]) -> tuple[int, ...]:
    """Whole grams for each line; their sum is the declared total, and none is 0 for a line that weighs something.

    Largest remainder: each line gets its grams rounded down, but at least 1 when it weighs something; what is then
    missing to the sum of all masses (rounded half up) goes one gram each to the largest fractions, ties to the
    earlier line. Many lines below a gram may lift the total above the true sum, never below it by half a gram.

    Raises:
        QuantityRefused: for a negative mass.

    >>> declared_grams([Decimal("10.5"), Decimal("20.5"), 0])
    (11, 20, 0)
    >>> declared_grams([Decimal("0.4"), Decimal("0.4"), Decimal("0.4")])
    (1, 1, 1)
    """
    masses = [Fraction(mass) for mass in net_g]
    if any(mass < 0 for mass in masses):
        raise QuantityRefused("declare the net masses in g", ", ".join(map(str, net_g)), "none below 0")
    grams = [max(int(mass), 1 if mass else 0) for mass in masses]
    missing = int(sum(masses, Fraction(1, 2))) - sum(grams)
    above_a_gram = [line for line, mass in enumerate(masses) if mass >= 1]
    by_fraction = sorted(above_a_gram, key=lambda line: (int(masses[line]) - masses[line], line))
    for line in by_fraction[: max(missing, 0)]:
        grams[line] += 1
    return tuple(grams)


def print_kilograms(mass_g: int) -> str:
    """Kilograms with three decimals.

    >>> print_kilograms(2015)
    '2.015'
    """
    return f"{Decimal(mass_g).scaleb(-3):.3f}"


def validate_description(text: str) -> str:
    """Return `text` unchanged if it says what the goods are; refuse general words.

    The thing itself must be named: 'clock parts' are parts, whatever they are of, and '12 x' is nothing. One letter is
    no word, but for scripts that write words with one.

    >>> validate_description("steel bearing balls 5 mm")
    'steel bearing balls 5 mm'
    >>> validate_description("screws, assorted, for clock parts")
    'screws, assorted, for clock parts'
    >>> validate_description("clock parts")
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot declare to customs 'clock parts': expected what the goods are and are made of, such as 'steel bearing balls 5 mm'.
    """  # noqa: E501 - a refusal is one sentence
    words = _words(text)
    thing = _words(_PURPOSE.split(text.lower())[0]) or words
    telling = [word for word in thing if word not in VAGUE_WORDS]
    # 'clock parts' may be any; 'brass gear parts' says what of and of what.
    is_vague = not any(word not in VAGUE_WORDS for word in words) or (thing[-1] in VAGUE_WORDS and len(telling) < 2)
    if not words or is_vague:
        raise CodeRefused(
            "declare to customs",
            text,
            "what the goods are and are made of, such as 'steel bearing balls 5 mm'",
        )
    return text


def _words(text: str) -> list[str]:
    found = re.findall(r"[^\W\d_]+", text.lower())
    return [word for word in found if len(word) > 1 or not word.isascii()]


def print_sdr(value: Decimal, rate: SdrRate) -> str:
    """The value in SDR to two decimals (half up) with the rate used, for the clerk to see.

    >>> print_sdr(Decimal("360.00"), SdrRate("EUR", Decimal("1.2"), date(2026, 3, 2)))
    'SDR 300.00 (1 SDR = EUR 1.2 on 2026-03-02)'
    """
    sdr = (value / rate.per_sdr).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return f"SDR {sdr:f} (1 SDR = {rate.currency} {rate.per_sdr:f} on {rate.as_of.isoformat()})"
