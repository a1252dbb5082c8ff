"""What a person keeps back doesn't leave with the van, whichever door it stands at.

The gate stands where packages are moved (:func:`fulfil.orders.moving.hand_over`); closing a manifest leaves
behind what it would refuse, and says why. Each test works on the harbour shop, on two sealed packages of which one must
stay.
"""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.errors import StateRefused
from fulfil.orders.holding import hold_order, resume_order
from fulfil.orders.moving import hand_over
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import Package
from fulfil.stock.part_changes import change_part
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, check, key, open_harbour, pack, plan, release, ship, state_of
from tests.piece_places import owed, stock


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two orders checked: A-1 of reeds and screws, A-2 of felts."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("REED-A", 9), ("SCREW-3", 4))
        key(opened, "A-2", ("FELT-9", 3), minutes=1)
        plan(opened)
        release(opened, tmp_path)
        check(opened, "A-1")
        check(opened, "A-2")
        yield opened


def handed_over(shop: Shop) -> set[str]:
    """The orders of which pieces are on the van."""
    return {key[0] for key, places in owed(shop).items() if any(kind == "shipped" for kind, _ in places)}


def package_of(shop: Shop, number: str) -> Package:
    """The one package of an order."""
    with shop.reading() as books:
        (found,) = books.find(Package, order_number=number)
    return found


def test_a_sealed_package_of_an_order_that_was_held_since_stays_until_it_goes_on(shop: Shop) -> None:
    """The clerk holds it at the last minute: the other one leaves, this one tomorrow."""
    pack(shop, "A-1")
    pack(shop, "A-2")
    hold_order(shop, "A-1", "the customer rang", **WHO)

    done = ship(shop)

    number = package_of(shop, "A-1").number
    assert done.left_behind == (number,)
    assert [(one.source, one.says, one.do) for one in done.findings] == [
        (f"package {number}", "order A-1 is held", "keep it back")
    ]
    assert handed_over(shop) == {"A-2"}
    resume_order(shop, "A-1", **WHO)
    assert [one.number for one in ship(shop).packages] == [number]
    assert verify_shop(shop) == ()


def test_a_package_in_review_stays(shop: Shop) -> None:
    """Its weight was wrong, so it stopped: only the other one is on the manifest."""
    pack(shop, "A-2")
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    stopped = weigh_package(shop, package.number, package.expected_g + Decimal(90), **WHO)
    assert stopped.package.state.value == "stop"

    done = ship(shop)

    assert [one.order_number for one in done.packages] == ["A-2"]
    assert done.left_behind == (package.number,)
    assert handed_over(shop) == {"A-2"}


def test_a_package_of_goods_that_turned_out_restricted_stays_until_they_are_reviewed(shop: Shop) -> None:
    """The supplier's sheet came after the package was sealed: the finding is the one that the bench would have had."""
    pack(shop, "A-1")
    pack(shop, "A-2")
    assert change_part(shop, "REED-A", {"hazards": "flammable"}, **WHO).findings == ()

    done = ship(shop)

    number = package_of(shop, "A-1").number
    assert [one.says for one in done.findings] == ["flammable goods are restricted in transport"]
    assert (done.left_behind, handed_over(shop)) == ((number,), {"A-2"})
    review_hazards(shop, number, "limited quantity, seen by a trained person", **WHO)
    assert [one.number for one in ship(shop).packages] == [number]


def test_the_van_takes_nothing_that_is_held_or_not_sealed_whoever_hands_it_over(shop: Shop) -> None:
    """The room that moves packages refuses by itself, and nothing has moved."""
    sealed = pack(shop, "A-1")[0].number
    (waiting,) = plan_packages(shop, "A-2", **WHO).packages
    hold_order(shop, "A-1", "the customer rang", **WHO)
    before = (owed(shop), stock(shop))

    for numbers, says in (
        ([sealed], f"'{sealed}': expected an order that goes on; order A-1 is held: the customer rang"),
        ([waiting.number], f"'{waiting.number}': expected a sealed package; this one is planned"),
    ):
        with shop.writing() as books, pytest.raises(StateRefused) as refused:
            hand_over(books, numbers, **WHO)
        assert str(refused.value) == f"Cannot hand over package {says}."

    assert (owed(shop), stock(shop)) == before
    assert state_of(shop, "A-1") == "held"


def test_a_held_order_is_neither_packed_nor_weighed(shop: Shop) -> None:
    """What is held at the bench stays there: no box, no seal."""
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    for number in ("A-1", "A-2"):
        hold_order(shop, number, "the customer rang", **WHO)
    before = (owed(shop), stock(shop))

    with pytest.raises(StateRefused, match="order A-1 is held"):
        weigh_package(shop, package.number, package.expected_g, **WHO)
    with pytest.raises(StateRefused, match="it is held"):
        plan_packages(shop, "A-2", **WHO)

    assert (owed(shop), stock(shop)) == before
