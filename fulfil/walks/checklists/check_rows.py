"""The rows of a walk's checklist: by exception, in the order of the cart."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from fulfil.checking.eye_words import Apart, Seen, tell_apart
from fulfil.counting.count_lines import scale_of
from fulfil.papers.elements.count_words import check_words
from fulfil.papers.repeated import part_words, weights
from fulfil.papers.walk.checklist import CheckBag, NotThis
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.standards import dangerous_goods
from fulfil.store.books import Books
from fulfil.walks.checklists.mixed_up import of_the_cart, within_reach
from fulfil.walks.second_looks import reasons_of_walk
from fulfil.weighing.lookalike import LookAlike, LookAlikeIndex, Where

MOST_DIFFERENCES = 3
"""A row names at most so many."""
MOST_NEAR = 60
"""Look-alikes of nearby bins that are looked at for a bag."""


@dataclass(frozen=True)
class CheckFacts:
    """What the rows of a walk are made of; ``share`` says which bag of its line a bag is."""

    walk: WalkRecord
    settings: Settings
    bags: Sequence[Bag]
    parts: Mapping[str, Part]
    scales: Mapping[str, ScaleRecord]
    bag_types: Mapping[str, BagType]
    share: Callable[[Bag], str]


def check_rows(books: Books, facts: CheckFacts, index: LookAlikeIndex) -> tuple[CheckBag, ...]:
    """The bags of which more must be done than scanning and weighing them."""
    bags = sorted(facts.bags, key=lambda bag: (bag.cart_position, bag.stop_no, bag.code))
    found = _near(facts, bags, index)
    numbers = sorted({one.part_number for others in found.values() for one in others})
    parts = {**facts.parts, **{part.number: part for part in books.find(Part, number=numbers)}}
    # A near look-alike is named in its row, with what tells it apart: it gives no second reason here.
    reasons = reasons_of_walk(books, facts.walk, bags, facts.parts, {})
    rows = []
    for bag in bags:
        part = parts[bag.part_number]
        near = within_reach(part, found.get(bag.code, ()), parts, facts.settings.look_chance)
        others = [*near, *(number for number in of_the_cart(bag, bags, parts) if number not in near)]
        if bag.method.is_weighed and not others and not reasons[bag.code]:
            continue
        row = CheckBag(
            bag_code=bag.code,
            cart_position=bag.cart_position,
            order_number=bag.order_number,
            **part_words(part),
            look_alikes=not_these(part, [parts[number] for number in others]),
            second_look=reasons[bag.code],
            pieces=bag.pieces,
            **weights(bag),
            scale=bag.scale_code if bag.method.is_weighed else "",
            how=check_words(bag.method, bag.pieces, bag.pours),
            note=facts.share(bag),
            cautions=dangerous_goods.cautions(part.hazard_words)[:-1],
        )
        rows.append(row)
    return tuple(rows)


def not_these(part: Part, others: Sequence[Part]) -> tuple[NotThis, ...]:
    """What the part is not: parts that differ by the same words stand together, the nearest first."""
    alike: dict[Apart, list[str]] = defaultdict(list)
    for other in others:
        alike[tell_apart(_seen(part), _seen(other))].append(other.number)
    return tuple(
        NotThis(
            words=apart.words or "looks the same: scan the bin's label",
            part_numbers=tuple(numbers),
            right_mm=apart.right_mm,
            wrong_mm=apart.wrong_mm,
        )
        for apart, numbers in list(alike.items())[:MOST_DIFFERENCES]
    )


def _seen(part: Part) -> Seen:
    return Seen(part.family, part.size, part.finish, part.longest_mm, is_as_wide=part.width_mm == part.longest_mm)


def _near(facts: CheckFacts, bags: Sequence[Bag], index: LookAlikeIndex) -> dict[str, tuple[LookAlike, ...]]:
    """For each weighed bag the parts of nearby bins that would pass its window."""
    weighed = [bag for bag in bags if bag.lower_g is not None and bag.upper_g is not None]
    if not weighed:
        return {}
    passing = index.passing(
        [bag.part_number for bag in weighed],
        [bag.pour_pieces for bag in weighed],
        [float((bag.upper_g or 0) - (bag.lower_g or 0)) / 2 for bag in weighed],
        [_noise_g(facts, bag) for bag in weighed],
        risk_pass=max(facts.settings.look_chance, facts.settings.risk_pass),
        within=Where.NEARBY,
        most=MOST_NEAR,
    )
    return {bag.code: found for bag, found in zip(weighed, passing, strict=True)}


def _noise_g(facts: CheckFacts, bag: Bag) -> float:
    """Standard uncertainty of a bag's net weight: its indication and its empty bag, or two readings."""
    scale = scale_of(facts.scales[bag.scale_code])
    if bag.method.is_net:
        return float(scale.net_u_g(float(bag.target_g or 0)))
    indication_u_g = scale.indication_u_g(float(bag.target_g or 0))
    return hypot(indication_u_g, facts.bag_types[bag.bag_type].tare_sd_g)
