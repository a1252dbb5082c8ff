"""Hazard words of the catalogue, the cautions printed for them, and the goods that stop for a person's review.

The catalogue marks a part with words of one small vocabulary, separated by spaces (commas and ``;`` will do):

>>> parse("sharp lead")
('lead', 'sharp')
>>> cautions(("sharp",))
('SHARP: wear gloves, guard the tips, double the bag.', 'Local codes and the supplier’s safety data sheet govern.')

A word outside the vocabulary is refused: a hazard that nobody understood would be a hazard that nobody sees.

>>> parse("pointy")
Traceback (most recent call last):
    ...
fulfil.errors.UnknownRefused: Cannot find the hazard word 'pointy': expected one of lead, leaded-brass, sharp, flammable, pressurised, lithium-battery, magnet, corrosive, static-sensitive.

Some hazards are dangerous goods in transport. The Universal Postal Convention ("Items not admitted. Prohibitions")
bars them from the mail with narrow exceptions, and carriers have rules of their own. This module only says what
stops for review by someone trained for it; there is no function that clears goods, and an empty answer clears
nothing either:

>>> stops_for_review(("sharp", "flammable", "magnet"))
('flammable', 'magnet')

Limits: data, not legal advice. UN numbers and classes are quoted from memory from the UN Model Regulations'
dangerous goods list; the supplier's safety data sheet (section 14) decides. Sources of the cautions:
lead, 29 CFR 1910.1025 and REACH Annex XVII entry 63; small magnets, 16 CFR 1262; static-sensitive parts,
IEC 61340-5-1; lithium batteries, UN Manual of Tests and Criteria 38.3 (quoted from memory); the rest common practice.
"""  # noqa: E501 - a refusal is one sentence

import re
from collections.abc import Iterable
from dataclasses import dataclass

from fulfil.errors import CodeRefused, UnknownRefused

CLOSING_CAUTION = "Local codes and the supplier’s safety data sheet govern."
"""Printed under every list of cautions."""


@dataclass(frozen=True, slots=True)
class Hazard:
    """One hazard word, the caution printed for it, and whether transport must be reviewed first."""

    word: str
    caution: str
    stops_for_review: bool


@dataclass(frozen=True, slots=True)
class UnNumber:
    """One entry of the UN dangerous goods list, with the hazard word of parts that may fall under it."""

    number: int
    name: str
    dg_class: str
    hazard: str


HAZARDS = (
    Hazard(
        "lead",
        "LEAD: wash hands after handling, no eating or drinking at the bench, no dry sweeping.",
        False,
    ),
    Hazard(
        "leaded-brass",
        "LEADED BRASS (about 3 % lead): wash hands after handling, no eating at the bench, no dry sweeping.",
        False,
    ),
    Hazard("sharp", "SHARP: wear gloves, guard the tips, double the bag.", False),
    Hazard(
        "flammable",
        "FLAMMABLE: keep from heat and sparks, keep upright and closed. Dangerous goods: review before shipping.",
        True,
    ),
    Hazard(
        "pressurised",
        "PRESSURISED: do not pierce, drop or heat above 50 °C. Dangerous goods: review before shipping.",
        True,
    ),
    Hazard(
        "lithium-battery",
        "LITHIUM BATTERY: insulate the terminals, set damaged cells aside outdoors."
        " Dangerous goods: review before shipping.",
        True,
    ),
    Hazard(
        "magnet",
        "MAGNET: keep from pacemakers and cards, small magnets from children."
        " May be dangerous goods by air: review before shipping.",
        True,
    ),
    Hazard(
        "corrosive",
        "CORROSIVE: wear gloves and eye protection, keep upright. Dangerous goods: review before shipping.",
        True,
    ),
    Hazard("static-sensitive", "STATIC-SENSITIVE: handle only earthed, keep in its shielding bag.", False),
)
"""The vocabulary, in the order in which cautions are printed."""

HAZARD_WORDS = tuple(hazard.word for hazard in HAZARDS)

UN_NUMBERS = (
    UnNumber(1090, "acetone", "3", "flammable"),
    UnNumber(1133, "adhesives containing flammable liquid", "3", "flammable"),
    UnNumber(1219, "isopropanol", "3", "flammable"),
    UnNumber(1263, "paint or paint related material", "3", "flammable"),
    UnNumber(1760, "corrosive liquid, n.o.s.", "8", "corrosive"),
    UnNumber(1950, "aerosols", "2", "pressurised"),
    UnNumber(1993, "flammable liquid, n.o.s.", "3", "flammable"),
    UnNumber(2807, "magnetized material (by air)", "9", "magnet"),
    UnNumber(3090, "lithium metal batteries", "9", "lithium-battery"),
    UnNumber(3091, "lithium metal batteries in or packed with equipment", "9", "lithium-battery"),
    UnNumber(3334, "aviation regulated liquid, n.o.s. (cyanoacrylate, by air)", "9", "flammable"),
    UnNumber(3480, "lithium ion batteries", "9", "lithium-battery"),
    UnNumber(3481, "lithium ion batteries in or packed with equipment", "9", "lithium-battery"),
)
"""UN numbers that a small-parts shop meets (quoted from memory); never complete."""

_BETWEEN = re.compile(r"[\s,;]+")
_UN_SHAPE = re.compile(r"(?:UN ?)?([0-9]{4})", re.IGNORECASE)


def parse(text: str) -> tuple[str, ...]:
    """The hazard words in `text`, each once, in the vocabulary's order; an empty text has none.

    >>> parse(" Magnet;sharp ; magnet"), parse("")
    (('sharp', 'magnet'), ())

    Raises:
        UnknownRefused: for the first word outside the vocabulary.
    """
    words = {validate(word.lower()) for word in _BETWEEN.split(text) if word}
    return tuple(word for word in HAZARD_WORDS if word in words)


def parse_refused(text: str) -> tuple[str, ...]:
    """What a service refuses: hazard words, and UN numbers where it tells them apart, such as lithium cells alone.

    >>> parse_refused("un 3480, UN3090 flammable")
    ('flammable', 'UN3090', 'UN3480')
    """
    joined = re.sub(r"\b(UN) (?=[0-9]{4}\b)", r"\1", text, flags=re.IGNORECASE)
    parts = [word for word in _BETWEEN.split(joined) if word]
    numbers = sorted({f"UN{parse_un_number(word)}" for word in parts if _UN_SHAPE.fullmatch(word)})
    return (*parse(" ".join(word for word in parts if not _UN_SHAPE.fullmatch(word))), *numbers)


def validate(word: str) -> str:
    """Return `word` unchanged if it belongs to the vocabulary; refuse it otherwise."""
    if word not in HAZARD_WORDS:
        raise UnknownRefused("find the hazard word", word, f"one of {', '.join(HAZARD_WORDS)}")
    return word


def cautions(words: Iterable[str]) -> tuple[str, ...]:
    """The caution sentences for these hazards in the vocabulary's order, closed by `CLOSING_CAUTION`.

    >>> cautions(())
    ()
    """
    wanted = {validate(word) for word in words}
    sentences = tuple(hazard.caution for hazard in HAZARDS if hazard.word in wanted)
    return (*sentences, CLOSING_CAUTION) if sentences else ()


def stops_for_review(words: Iterable[str]) -> tuple[str, ...]:
    """Those of these hazards that a trained person must review before any service takes the package.

    Nothing here clears goods: what isn't listed may still be forbidden by the carrier or the destination.
    """
    wanted = {validate(word) for word in words}
    return tuple(hazard.word for hazard in HAZARDS if hazard.stops_for_review and hazard.word in wanted)


def parse_un_number(text: str) -> int:
    """The four digits of a UN number written as ``UN 3480``, ``UN3480`` or ``3480``.

    >>> parse_un_number("UN 3480")
    3480
    >>> parse_un_number("UN 348")
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot read as a UN number 'UN 348': expected four digits, with or without 'UN'.
    """
    found = _UN_SHAPE.fullmatch(text.strip())
    if found is None:
        raise CodeRefused("read as a UN number", text, "four digits, with or without 'UN'")
    return int(found[1])
