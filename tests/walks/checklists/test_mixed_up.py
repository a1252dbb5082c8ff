"""Which bags a checker must look at: worked by hand on three bins of one rack and three bags of one cart."""

from decimal import Decimal

import pytest

from fulfil.checking.eye_words import Seen, tell_apart
from fulfil.records.part import Part, Supply
from fulfil.records.plan import Bag, CountMethod
from fulfil.walks.checklists.check_rows import MOST_DIFFERENCES, not_these
from fulfil.walks.checklists.mixed_up import of_the_cart, within_reach
from fulfil.weighing.lookalike import LookAlikeIndex


def part(number: str, family: str, size: str = "", finish: str = "", longest_mm: int = 10) -> Part:
    """An invented part of a sailmaker."""
    return Part(
        number=number,
        description=f"{family} {size}",
        family=family,
        size=size,
        finish=finish,
        bulk_volume_mm3=500.0,
        longest_mm=longest_mm,
        supply=Supply.BUY,
        price_minor=6,
        currency="NZD",
    )


PARTS = {
    one.number: one
    for one in (part("CLEAT", "cleat"), part("PIN", "pin"), part("PIN-L", "pin", "8"), part("FAR", "hook"))
}
PLACES_MM = {"CLEAT": (0.0, 0.0, 400.0), "PIN": (0.0, 600.0, 400.0), "PIN-L": (0.0, 1800.0, 400.0),
             "FAR": (0.0, 1400.0, 400.0)}  # fmt: skip


def look_alikes(of: str):
    """All four parts weigh 1 g, so that each passes for any other."""
    index = LookAlikeIndex(
        list(PARTS),
        mean_g=[1.0] * 4,
        u_g=[0.001] * 4,
        piece_sd_g=[0.001] * 4,
        family=[one.family for one in PARTS.values()],
        size=[one.size for one in PARTS.values()],
        finish=[""] * 4,
        position_mm=[PLACES_MM[number] for number in PARTS],
    )
    return index.passing([of], [10], 0.5, 0.01)[0]


@pytest.mark.parametrize(
    ("of", "chance", "expected"),
    [
        ("CLEAT", 0.05, ["PIN"]),  # 600 mm: adjoining. 1400 mm of another family is too far, 1800 mm too.
        ("PIN", 0.05, ["CLEAT", "PIN-L"]),  # 1200 mm: within reach for one's own family; FAR is 800 mm off.
        ("FAR", 0.05, ["PIN-L"]),  # 400 mm.
        ("CLEAT", 1.0, []),  # a shop that never looks
    ],
)
def test_a_hand_reaches_the_next_bin_and_the_eye_its_own_family(of: str, chance: float, expected: list[str]) -> None:
    """Distances from the bins' places, middle to middle; an unknown place is never near."""
    assert within_reach(PARTS[of], look_alikes(of), PARTS, chance) == expected


def bag(code: str, number: str, pieces: int, target: str, half: str = "0.20") -> Bag:
    """A bag to be weighed with its bag."""
    return Bag(
        code=code,
        order_number="H-1",
        line_no=1,
        part_number=number,
        bin_code="T-1",
        pieces=pieces,
        bag_type="S",
        walk_number="W1",
        cart_position=1,
        stop_no=1,
        method=CountMethod.WEIGH,
        scale_code="KEA",
        tare_g=Decimal("1"),
        target_g=Decimal(target),
        lower_g=Decimal(target) - Decimal(half),
        upper_g=Decimal(target) + Decimal(half),
    )


def test_bags_of_a_cart_are_taken_for_one_another_by_count_or_family() -> None:
    """Filled for one another they pass where the other's target lies in the window: 11.1 in 10.8 to 11.2."""
    mine = bag("B1", "PIN", 10, "11.0")
    cart = [
        mine,
        bag("B2", "CLEAT", 10, "11.1"),  # same count
        bag("B3", "PIN-L", 5, "10.9"),  # same family
        bag("B4", "FAR", 7, "11.0"),  # another count of another family is seen
        bag("B5", "FAR", 10, "11.3"),  # its weight is seen
    ]
    assert of_the_cart(mine, cart, PARTS) == ["CLEAT", "PIN-L"]


def test_parts_that_differ_by_the_same_words_stand_together() -> None:
    """Two hooks beside a pin are one difference; not more are named than a row holds."""
    hooks = [part("H1", "hook"), part("H2", "hook")]
    (one,) = not_these(PARTS["PIN"], hooks)
    many = [part(f"N{i}", f"kind {i}") for i in range(9)]

    assert (one.words, one.part_numbers) == ("not hook", ("H1", "H2"))
    assert len(not_these(PARTS["PIN"], many)) == MOST_DIFFERENCES
    assert not_these(PARTS["PIN"], [part("TWIN", "pin")])[0].words == "looks the same: scan the bin's label"


def test_lengths_are_drawn_only_where_a_millimetre_or_more_tells() -> None:
    """19 against 23 mm is drawn; 6 against 6 mm must be measured."""
    right = Seen("pin", "2 x 18", "", 19)
    assert (tell_apart(right, Seen("pin", "2 x 22", "", 23)).right_mm, tell_apart(right, right).right_mm) == (19, 0)
    assert tell_apart(right, Seen("pin", "2.1 x 18", "", 19)).words == "2 x 18, not 2.1 x 18: measure it"
