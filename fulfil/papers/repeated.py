"""What sheets repeat of a record, word for word: arguments of a sheet that are checked by name.

>>> from fulfil.records.part import Supply
>>> part = Part(number="SCR-0016", description="Cap screw M3 x 16", family="cap screw", size="M3 x 16", finish="zinc",
...             bulk_volume_mm3=500.0, longest_mm=20, supply=Supply.BUY, price_minor=6, currency="EUR")
>>> part_looks(part)
{'part_number': 'SCR-0016', 'description': 'Cap screw M3 x 16', 'size': 'M3 x 16', 'finish': 'zinc'}
>>> part_words(part)["family"]
'cap screw'
"""

from decimal import Decimal
from typing import TypedDict

from fulfil.records.part import Part
from fulfil.records.plan import Bag, CountMethod

LIFT = "Heavy: lift with care, by two or with a trolley; local rules on lifting govern."
"""The caution of what is above the shop's ``lift_caution_g``."""


def caution_words(part: Part) -> tuple[str, ...]:
    """A part's hazards in a word or two each, where the sentences stand elsewhere: ``LEADED BRASS``."""
    return tuple(word.upper().replace("-", " ") for word in part.hazard_words)


class PartLooks(TypedDict):
    """A part's number and description, and what it looks like."""

    part_number: str
    description: str
    size: str
    finish: str


class PartWords(PartLooks):
    """The same with its family."""

    family: str


class Weights(TypedDict):
    """How a bag is counted, and what the scale must show: all three masses, or none."""

    method: CountMethod
    target_g: Decimal | None
    lower_g: Decimal | None
    upper_g: Decimal | None


def part_looks(part: Part) -> PartLooks:
    """What a list says of a part."""
    return PartLooks(part_number=part.number, description=part.description, size=part.size, finish=part.finish)


def part_words(part: Part) -> PartWords:
    """What a label or a row at the rack says of a part."""
    return PartWords(family=part.family, **part_looks(part))


def weights(bag: Bag) -> Weights:
    """A bag's method and window."""
    return Weights(method=bag.method, target_g=bag.target_g, lower_g=bag.lower_g, upper_g=bag.upper_g)
