"""The packing bench as a machine: bags go in by their scans, the weight comes last, a seal needs a reason to break."""

from dataclasses import replace
from decimal import Decimal

import pytest

from fulfil.checking.pack_wants import (
    BoxTheBag,
    ChoosePackage,
    ReopenPackage,
    TakeOrder,
    UnboxTheBag,
    WeighPackage,
)
from fulfil.checking.packing import (
    BagToPack,
    BoxBag,
    CartToPack,
    OrderToPack,
    PackageFacts,
    PackState,
    advance_packing,
    read_entry,
)
from fulfil.checking.saying import Sound
from fulfil.checking.wants import LetGo, SignIn, TakeWalk, Unknown
from fulfil.records.despatch.dispatch import PackageState

PACKAGE = PackageFacts(
    number="P-1", order_number="A-1", box_type="BOX-1", place="1 of 1",
    bags=(BoxBag("B-1", "50 × cap screw", "46.9", is_in=True), BoxBag("B-2", "12 × bush", "30.2")),
    expected_g=Decimal(135), lower_g=Decimal(131), upper_g=Decimal(139), d_g=Decimal(1), scale_code="PACK-1",
)  # fmt: skip
FULL = replace(PACKAGE, bags=tuple(replace(bag, is_in=True) for bag in PACKAGE.bags))
FREE = PackState(person="ben")
HALF = PackState(person="ben", order_number="A-1", package=PACKAGE)
READY = PackState(person="ben", order_number="A-1", package=FULL)


def step(state, line, found=None):
    """One line."""
    return advance_packing(state, read_entry(line), found)


def test_an_order_a_bag_or_a_package_takes_the_order():
    """A bag that was scanned first goes into its box at once."""
    assert step(FREE, "A-1", OrderToPack("A-1")).want == TakeOrder("A-1")
    assert step(FREE, "B-2", BagToPack("B-2", "A-1", "P-1")).want == TakeOrder("A-1", "B-2", "P-1")
    assert step(FREE, "P-1", PACKAGE).want == TakeOrder("A-1", "", "P-1")
    assert step(FREE, "W-1", CartToPack("W-1")).want == TakeWalk("W-1")
    assert step(FREE, "@ben").want == SignIn("ben")


def test_bags_go_in_and_the_last_one_comes_out_by_undo():
    """In by its scan; out again by undo."""
    inside = step(HALF, "B-2", BagToPack("B-2", "A-1", "P-1"))

    assert inside.want == BoxTheBag("B-2")
    assert step(inside.state, "undo").want == UnboxTheBag("B-2")


def test_the_weight_comes_when_all_bags_are_in():
    """In the scale's digits; kilograms are read too; a photo goes with it."""
    assert step(READY, "135").want == WeighPackage("P-1", Decimal(135))
    assert step(READY, "0.135 kg").want == WeighPackage("P-1", Decimal(135))
    photographed = step(READY, "photo shelf/p1.jpg")
    assert step(photographed.state, "135").want == WeighPackage("P-1", Decimal(135), "shelf/p1.jpg")


def test_a_sealed_package_is_opened_only_with_a_reason():
    """Scanned first, then reopened."""
    sealed = step(FREE, "P-1", replace(FULL, state=PackageState.SEALED))

    assert step(sealed.state, "reopen").say.sound is Sound.REFUSED
    assert step(sealed.state, "reopen a spring is missing").want == ReopenPackage("P-1", "a spring is missing")


def test_the_order_is_let_go_and_another_package_chosen():
    """For a review, or because the second box is nearer."""
    assert step(HALF, "let go").want == LetGo("A-1")
    assert step(HALF, "P-2", replace(PACKAGE, number="P-2")).want == ChoosePackage("P-2")


REFUSED = {
    "a bag of another order": (HALF, "B-9", BagToPack("B-9", "A-9", "")),
    "another order": (HALF, "A-9", OrderToPack("A-9")),
    "a bag of the order's other package": (HALF, "B-3", BagToPack("B-3", "A-1", "P-2")),
    "a bag that is in already": (HALF, "B-1", BagToPack("B-1", "A-1", "P-1")),
    "an order that isn't checked": (FREE, "A-1", OrderToPack("A-1", "Order A-1 isn't checked yet: it is picked.")),
    "a package of another order": (HALF, "P-9", replace(PACKAGE, number="P-9", order_number="A-9")),
    "an unknown code": (HALF, "nonsense", Unknown("nonsense")),
    "a weight too early": (HALF, "135", None),
    "a weight without a package": (FREE, "135", None),
    "a count": (READY, "#2", None),
    "a negative weight": (READY, "-1 g", None),
    "digits that the scale doesn't have": (READY, "135.0", None),
    "a checking command": (READY, "damaged", None),
    "a photo without a path": (READY, "photo", None),
    "reopen without a package": (FREE, "reopen why not", None),
    "undo without a bag": (HALF, "undo", None),
    "let go without an order": (FREE, "let go", None),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_isn_t_expected_is_refused_and_changes_nothing(name):
    """The state stays, nothing is wanted, and the words say what to do."""
    state, line, found = REFUSED[name]

    refused = step(state, line, found)

    assert (refused.state, refused.want, refused.say.sound) == (state, None, Sound.REFUSED)
    assert refused.say.headline
