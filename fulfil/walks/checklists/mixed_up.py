"""Which parts a walk can have put into a bag in place of the right ones, so that the scale says nothing of it.

Two mix-ups happen on a walk: the hand reaches into a bin beside the right one, or two bags of a cart are filled for one
another. A checker looks at a bag where one of these parts would pass its window with a chance above the shop's limit
(``Settings.look_chance``); any other bag that the scale proves needs no eye.

Rule *near enough*: an adjoining bin is within :data:`ADJOINING_MM` whatever lies in it; a part of the same family
within an arm's reach, since hand and eye take it for the right one; of the same cart a bag of the same count or family
whose target lies in this one's window. Nearer first, then likelier, then by part number (distances are judgement).
"""

from collections.abc import Iterable, Mapping, Sequence

from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.weighing.lookalike import NEARBY_MM, LookAlike

ADJOINING_MM = 700.0
"""Middle to middle of bins side by side or one above the other."""


def within_reach(part: Part, others: Sequence[LookAlike], parts: Mapping[str, Part], chance: float) -> list[str]:
    """Look-alikes that a hand can have reached for, by part number."""
    found = [
        one
        for one in others
        if one.pass_probability > chance
        and (
            one.apart_mm <= ADJOINING_MM or (one.apart_mm <= NEARBY_MM and parts[one.part_number].family == part.family)
        )
    ]
    found.sort(key=lambda one: (one.apart_mm, -one.pass_probability, one.part_number))
    return [one.part_number for one in found]


def of_the_cart(bag: Bag, bags: Iterable[Bag], parts: Mapping[str, Part]) -> list[str]:
    """Parts of other bags of the cart that would pass in this one's place, by part number."""
    if bag.lower_g is None or bag.upper_g is None or bag.method.is_net:
        return []
    family = parts[bag.part_number].family
    found = {
        other.part_number
        for other in bags
        if other.part_number != bag.part_number
        and other.target_g is not None
        and not other.method.is_net
        and bag.lower_g <= other.target_g <= bag.upper_g
        and (other.pieces == bag.pieces or parts[other.part_number].family == family)
    }
    return sorted(found)
