"""Lithium cells and batteries as transport knows them: what they are, how much is in them, how they travel.

A part says it in one line: chemistry, *cell* or *battery* (several cells joined), watt-hours of an ion one or grams of
lithium of a metal one, and how it travels:

>>> coin = parse("metal cell 0.11 g, packed with equipment")
>>> coin, coin.un_number
(LithiumBattery(chemistry='metal', form='cell', content=Decimal('0.11'), packed='packed with equipment'), 3091)
>>> str(parse("ION battery 7.40 wh in equipment"))
'ion battery 7.40 Wh, contained in equipment'
>>> parse("lithium cell")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as a lithium cell or battery 'lithium cell': expected ion or metal, cell or battery, its Wh (ion) or g of lithium (metal), then alone, packed with equipment or contained in equipment, such as 'ion cell 2.6 Wh, packed with equipment'.

Sources. UN numbers 3090, 3091, 3480, 3481: UN Model Regulations, dangerous goods list (quoted from memory). Small ones
(20 Wh a cell, 100 Wh a battery; 1 g of lithium a cell, 2 g a battery): special provision 188 there (from memory; the
grams also as public postal guidance restates the Universal Postal Convention). By post only in equipment, at most 4
cells or 2 batteries an item, 5 kg net (public postal guidance on the Convention's "Items not admitted").

Nothing here clears goods: :func:`against` says what speaks against a way, and where it says nothing a person who is
trained for dangerous goods still decides, by the carrier's rules and local codes; UN 38.3 test, state of charge,
packing and marks are outside what a catalogue knows.
"""  # noqa: E501 - a refusal is one sentence

import re
from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import CodeRefused

ALONE, WITH, IN = "alone", "packed with equipment", "contained in equipment"
_UN = {("metal", True): 3090, ("metal", False): 3091, ("ion", True): 3480, ("ion", False): 3481}
_SMALL = {
    ("ion", "cell"): Decimal(20), ("ion", "battery"): Decimal(100),
    ("metal", "cell"): Decimal(1), ("metal", "battery"): Decimal(2),
}  # fmt: skip
UN_NUMBERS = tuple(sorted(_UN.values()))
MOST_BY_POST = {"cell": 4, "battery": 2}
_SHAPE = re.compile(
    r"(?P<chemistry>ion|metal) (?P<form>cell|battery) (?P<content>[0-9]{1,4}(?:\.[0-9]{1,3})?) ?(?P<unit>wh|g),? "
    r"(?P<packed>alone|(?:packed )?with equipment|(?:contained )?in equipment)"
)
_EXPECTED = (
    "ion or metal, cell or battery, its Wh (ion) or g of lithium (metal), then alone, packed with equipment or "
    "contained in equipment, such as 'ion cell 2.6 Wh, packed with equipment'"
)


@dataclass(frozen=True, slots=True)
class LithiumBattery:
    """One piece: ``content`` is in watt-hours of an ion one, in grams of lithium of a metal one."""

    chemistry: str
    form: str
    content: Decimal
    packed: str

    @property
    def un_number(self) -> int:
        """Its entry of the dangerous goods list."""
        return _UN[self.chemistry, self.packed == ALONE]

    @property
    def is_small(self) -> bool:
        """Whether its content is within the limits of special provision 188; larger ones are fully regulated."""
        return self.content <= _SMALL[self.chemistry, self.form]

    def __str__(self) -> str:
        unit = "Wh" if self.chemistry == "ion" else "g"
        return f"{self.chemistry} {self.form} {self.content:f} {unit}, {self.packed}"


def parse(text: str) -> LithiumBattery:
    """The line that a part has.

    Raises:
        CodeRefused: it isn't one, the unit isn't the chemistry's, or there is nothing in it.
    """
    found = _SHAPE.fullmatch(" ".join(text.lower().split()))
    if found is None or (found["unit"] == "wh") != (found["chemistry"] == "ion") or not Decimal(found["content"]):
        raise CodeRefused("read as a lithium cell or battery", text, _EXPECTED)
    packed = next(way for way in (ALONE, WITH, IN) if way.endswith(found["packed"]))
    return LithiumBattery(found["chemistry"], found["form"], Decimal(found["content"]), packed)


def against(battery: LithiumBattery, pieces: int, *, by_post: bool, is_reviewed: bool = False) -> tuple[str, ...]:
    """What speaks against sending pieces of it in one package, for a trained person to read; never a clearance.

    ``is_reviewed``: a trained person took responsibility; what the post doesn't admit it doesn't admit all the same.

    >>> against(parse("ion cell 2.6 Wh, contained in equipment"), 5, by_post=True)
    ('5 cells in one item, the post takes 4 at most, contained in equipment',)
    >>> against(parse("ion battery 120 Wh, alone"), 1, by_post=True)
    ('UN 3480 alone is not admitted by post', '120 Wh is above 100 Wh: fully regulated')
    """
    found = []
    if by_post and battery.packed != IN:
        found.append(f"UN {battery.un_number} {battery.packed} is not admitted by post")
    elif by_post and pieces > MOST_BY_POST[battery.form]:
        most = MOST_BY_POST[battery.form]
        plural = f"{battery.form}s" if battery.form == "cell" else "batteries"
        found.append(f"{pieces} {plural} in one item, the post takes {most} at most, contained in equipment")
    if not battery.is_small and not is_reviewed:
        unit = "Wh" if battery.chemistry == "ion" else "g"
        most_in = _SMALL[battery.chemistry, battery.form]
        found.append(f"{battery.content:f} {unit} is above {most_in} {unit}: fully regulated")
    return tuple(found)
