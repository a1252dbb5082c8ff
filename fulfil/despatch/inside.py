"""What a package is judged by: its service, its box and what lies in it; read once, and asked by every judge.

>>> from fulfil.records.tiny import BOX, PART, SERVICE
>>> sorted(Inside(SERVICE, BOX, (), {PART.number: PART}).hazards)
[]
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BoxType
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.store.books import Books


@dataclass(frozen=True)
class Inside:
    """The service and the box of a package, the bags in it, and their parts by number."""

    service: Service
    box: BoxType
    bags: Sequence[Bag]
    parts: Mapping[str, Part]

    @property
    def hazards(self) -> set[str]:
        """The hazard words of all of it."""
        return {word for part in self.parts.values() for word in part.hazard_words}

    @property
    def transport_words(self) -> set[str]:
        """What a service may refuse of it."""
        return {word for part in self.parts.values() for word in part.transport_words}

    @property
    def lithium(self) -> dict[str, int]:
        """Pieces of each kind of lithium cell or battery, as its part says it."""
        found: Counter[str] = Counter()
        for bag in self.bags:
            found[self.parts[bag.part_number].lithium] += bag.pieces
        return {said: pieces for said, pieces in sorted(found.items()) if said}


def inside(books: Books, package: Package) -> Inside:
    """Reads all that for a package, bags by code."""
    service = books.need(Service, package.service_code)
    box = books.need(BoxType, package.box_type)
    bags = books.find(Bag, package_number=package.number)
    parts = books.find(Part, number=sorted({bag.part_number for bag in bags}))
    return Inside(service, box, bags, {part.number: part for part in parts})
