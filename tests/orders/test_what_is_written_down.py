"""What the journal and the evidence say afterwards: as much as happened, and nothing that did not.

On the harbour shop (:mod:`tests.harbour_shop`).
"""

import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.scale_checks import record_scale_check
from fulfil.despatch.claims import evidence_of
from fulfil.orders.holding import hold_order
from fulfil.orders.kits import import_kits
from fulfil.orders.move_building import changes_of
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.pieces import Owed
from fulfil.stock.empty_bins import bin_lacks
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.harbour_shop import DAY, WHO, bags, key, open_harbour, plan, release

KITS = "kit,part,pieces\nKIT-D,SPRING-2,2\nKIT-D,FELT-9,{}\n"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


def told(shop: Shop, event: Happening) -> list[dict[str, object]]:
    """The particulars of all such events."""
    with shop.reading() as books:
        return [json.loads(entry.particulars) for entry in books.find(JournalEntry, event=event)]


@pytest.mark.parametrize(("felts", "kits"), [(3, []), (4, ["KIT-D"])])
def test_kits_that_stay_as_they_are_are_no_event(shop: Shop, tmp_path: Path, felts: int, kits: list[str]) -> None:
    """The harbour's kit has two springs and three felts: a file that says so again changes nothing."""
    before = len(told(shop, Happening.KITS_IMPORTED))
    (tmp_path / "kits.csv").write_text(KITS.format(felts), encoding="utf-8")
    assert import_kits(shop, tmp_path / "kits.csv", **WHO).kits == len(kits)
    assert told(shop, Happening.KITS_IMPORTED)[before:] == [{"kits": kits}] * bool(kits)


def test_an_order_held_again_for_the_same_reason_is_held_once(shop: Shop) -> None:
    """Who was cut off and says it again writes nothing down twice; another reason is another event."""
    key(shop, "A-1", ("LACQ-10", 5))
    for reason in ("address unclear", "address unclear", "asked to wait"):
        hold_order(shop, "A-1", reason, **WHO)
    assert [said["reason"] for said in told(shop, Happening.ORDER_HELD)] == ["address unclear", "asked to wait"]


def test_a_bin_that_lacks_pieces_is_written_down_with_what_it_held(shop: Shop, tmp_path: Path) -> None:
    """MUA-1 says 12 lacquers, five are promised, two are there."""
    key(shop, "A-1", ("LACQ-10", 5))
    plan(shop)
    release(shop, tmp_path)
    bag = bags(shop, order_number="A-1")[0]
    bin_lacks(shop, "MUA-1", 2, day=DAY, **WHO)
    (said,) = told(shop, Happening.BIN_LACKS_PIECES)
    assert (said["holds"], said["was"], said["empty"]) == (2, 12, [bag.code])


def test_evidence_names_the_scale_that_weighed_the_bag(shop: Shop, tmp_path: Path) -> None:
    """Counted by hand, then laid on the fine scale: that scale's last test is the evidence, not that of the plan."""
    key(shop, "A-1", ("FELT-9", 6))
    plan(shop)
    release(shop, tmp_path)
    (bag,) = bags(shop, order_number="A-1")
    assert bag.scale_code != "KOTARE"
    record_scale_check(shop, "KOTARE", [CheckReading(Decimal(50), Decimal(50))], **WHO)
    check_bag(shop, bag.code, Seen(counted=6, gross_g=Decimal("19.50"), scale_code="KOTARE"), **WHO)
    with shop.reading() as books:
        standing = evidence_of(books, "A-1").bags[0].standing
    assert standing is not None
    assert standing.scale_code == "KOTARE"


def test_pieces_can_not_become_more_or_fewer() -> None:
    """From one spread over places to another of the same sum, else refused with both sums."""
    key_ = ("A-1", 1, "FELT-9")
    waiting, short = (Owed.WAITING, ""), (Owed.SHORT, "")
    (move,) = changes_of(key_, {waiting: 6}, {waiting: 4, short: 2}, "planned")
    assert (move.pieces, move.from_place, move.to_place) == (2, Owed.WAITING, Owed.SHORT)
    with pytest.raises(ValueError, match="6 pieces can't become 5"):
        changes_of(key_, {waiting: 6}, {waiting: 3, short: 2}, "planned")
