"""Second looks for all bags of a walk at once, for its checklist; the bench itself asks bag by bag.

A checklist printed again must be the same, so only what happened before the walk's day counts as an earlier mistake,
and the picker, who isn't known when it is printed, gives no reason here.
"""

from collections.abc import Mapping, Sequence

from fulfil.checking.second_look import LookFacts, LookRules, reasons_to_look
from fulfil.records.bench import Recount, RecountState
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag, WalkRecord
from fulfil.shop.clock import local_day
from fulfil.store.books import Books
from fulfil.weighing.lookalike import LookAlike, Where


def reasons_of_walk(
    books: Books,
    walk: WalkRecord,
    bags: Sequence[Bag],
    parts: Mapping[str, Part],
    look_alikes: Mapping[str, Sequence[LookAlike]],
    rules: LookRules | None = None,
) -> dict[str, tuple[str, ...]]:
    """The reasons for a second look, by bag code; ``look_alikes`` are those of the weighed bags."""
    part_numbers = sorted({bag.part_number for bag in bags})
    sampled = {(weight.part_number, weight.lot) for weight in books.find(UnitWeight, part_number=part_numbers)}
    bin_codes = sorted({bag.bin_code for bag in bags})
    settings = books.settings()
    slips = {
        slip.number: slip
        for slip in (*books.find(Recount, part_number=part_numbers), *books.find(Recount, bin_code=bin_codes))
        if slip.state is not RecountState.UNDONE and local_day(slip.at, settings) < walk.day
    }
    found = {}
    for bag in bags:
        part = parts[bag.part_number]
        near = [one.part_number for one in look_alikes.get(bag.code, ()) if one.where is Where.NEARBY]
        facts = LookFacts(
            walks_of_picker=None,
            lot_is_new=bool(bag.lot) and (bag.part_number, bag.lot) not in sampled,
            near_look_alike=near_kin(near, part, books),
            value_minor=bag.pieces * part.price_minor,
            mistakes=sum(
                bag.part_number == slip.part_number or bag.bin_code == slip.bin_code for slip in slips.values()
            ),
        )
        found[bag.code] = reasons_to_look(facts, rules or LookRules())
    return found


def near_kin(near: Sequence[str], part: Part, books: Books) -> str:
    """The first look-alike in a nearby bin that is of the part's own family: the one that the eye takes for it, too."""
    family = {other.number: other.family for other in books.find(Part, number=list(near))} if near else {}
    return next((number for number in near if family[number] == part.family), "")
