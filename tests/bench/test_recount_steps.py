"""What a recount slip says to do, for each reason a bag can go back for. On the harbour shop."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.recount_slips import recount_sheet
from fulfil.records.bench import Recount, SentBackFor
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, bags, key, open_harbour, plan, release


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """One bag of ten screws, weighed two short and sent back."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("SCREW-3", 10))
        plan(opened)
        release(opened, tmp_path)
        (bag,) = bags(opened, order_number="A-1")
        assert bag.target_g is not None
        light_g = bag.target_g - Decimal("1.62")
        check_bag(opened, bag.code, Seen(gross_g=light_g, scale_code=bag.scale_code), **WHO)
        yield opened


def steps(shop: Shop, **changed: object) -> tuple[str, ...]:
    """The steps of the slip, some of its facts changed."""
    with shop.reading() as books:
        (slip,) = books.find(Recount)
        return recount_sheet(books, revised(slip, changed)).steps


BIN = "TAI-3"


@pytest.mark.parametrize(
    ("changed", "first", "second"),
    [
        ({"other_part": ""}, f"Go to bin {BIN} with the bag.", "Empty it, count again."),
        (
            {"other_part": "PIN-08"},
            f"Look first: it may be PIN-08, not SCREW-3. Go to bin {BIN} with the bag.",
            "Empty it, count again.",
        ),
        ({"other_part": "", "which": 2}, f"Go to bin {BIN} with the bag.", "Count by hand, in tens."),
        (
            {"other_part": "", "sent_back_for": SentBackFor.LOOK},
            f"Go to bin {BIN}; compare a piece with the bin's label.",
            "Empty it, count again.",
        ),
        (
            {"other_part": "", "sent_back_for": SentBackFor.DAMAGE},
            f"Go to bin {BIN}; replace the damaged pieces, set them aside.",
            "Empty it, count again.",
        ),
    ],
)
def test_each_reason_has_its_steps(shop: Shop, changed: dict[str, object], first: str, second: str) -> None:
    """To the bin, then the count, then back to the bench."""
    assert steps(shop, **changed) == (first, second, "Bring it back to the check bench.")


def test_after_the_last_recount_nothing_is_counted_again(shop: Shop) -> None:
    """A third wrong count holds the order."""
    assert steps(shop, which=3) == (
        "Don't recount: the order is held.",
        "Put the bag aside and tell the person in charge.",
    )
