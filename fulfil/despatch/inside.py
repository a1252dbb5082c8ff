"""What lies in a package: read once, and asked by everything that judges the package.

>>> from fulfil.records.tiny import PART
>>> sorted(Inside((), {PART.number: PART}).hazards)
[]
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fulfil.records.dispatch import Package
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.store.books import Books


@dataclass(frozen=True)
class Inside:
    """The bags in a package, and their parts by number."""

    bags: Sequence[Bag]
    parts: Mapping[str, Part]

    @property
    def hazards(self) -> set[str]:
        """The hazard words of all of it."""
        return {word for part in self.parts.values() for word in part.hazard_words}


def inside(books: Books, package: Package) -> Inside:
    """Reads what lies in a package, bags by code."""
    bags = books.find(Bag, package_number=package.number)
    parts = books.find(Part, number=sorted({bag.part_number for bag in bags}))
    return Inside(bags, {part.number: part for part in parts})
