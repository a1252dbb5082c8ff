"""Ordered, despatched, outstanding: the trade's words for quantities, as the shop's despatch advices use them.

Source: the definitions in the OASIS schema of the UBL 2.1 despatch line (tests/published/ubl-2.1/SOURCE.md). They are
read from the schema itself, so that the test says which words it holds the shop to.
"""

import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from lxml import etree

from fulfil.despatch.advice import of_json
from fulfil.orders.changing import change_lines
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.part import Supply
from fulfil.standards import edifact, ubl
from fulfil.standards.despatch_advice import DespatchAdvice
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, WHO, key, open_harbour, plan, release, send
from tests.piece_places import line_at

CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"
CCTS = "{urn:un:unece:uncefact:documentation:2}"
SCHEMA = Path(__file__).parents[1] / "published" / "ubl-2.1" / "xsd.zip"


@pytest.fixture(scope="module")
def defined() -> dict[str, str]:
    """What the standard's own schema says of each quantity of a despatch line."""
    with zipfile.ZipFile(SCHEMA) as archive, archive.open("common/UBL-CommonAggregateComponents-2.1.xsd") as file:
        tree = etree.parse(file)
    found = {}
    for component in tree.iter(f"{CCTS}Component"):
        name = component.findtext(f"{CCTS}DictionaryEntryName") or ""
        if name.startswith("Despatch Line. "):
            found[name.removeprefix("Despatch Line. ")] = component.findtext(f"{CCTS}Definition") or ""
    return found


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop with an order of 12 bells, 7 of them there, and 4 kits; both lines are on paper."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("BELL-3", 12), ("KIT-D", 4))
        plan(opened)
        release(opened, tmp_path)
        yield opened


def advice(shop: Shop, manifest: str) -> DespatchAdvice:
    """The one advice of a manifest."""
    with shop.reading() as books:
        (one,) = of_json(books.need(ManifestCopy, manifest).advices)
    return one


def quantities(one: DespatchAdvice) -> dict[str, tuple[int, int]]:
    """What the UBL document says, by order line: delivered, outstanding."""
    root = etree.fromstring(ubl.write(one))
    return {
        line.findtext(f"{CAC}OrderLineReference/{CBC}LineID"): (
            int(line.findtext(f"{CBC}DeliveredQuantity")),
            int(line.findtext(f"{CBC}OutstandingQuantity") or 0),
        )
        for line in root.iter(f"{CAC}DespatchLine")
    }


def test_the_words_are_the_standards(defined: dict[str, str]) -> None:
    """Delivered is what this despatch took along; outstanding is what will follow in a later one."""
    assert "quantity despatched" in defined["Delivered_ Quantity. Quantity"]
    assert "will follow in a later despatch" in defined["Outstanding_ Quantity. Quantity"]
    assert "on back order at the supplier" in defined["Backorder_ Quantity. Quantity"]


def test_over_three_despatches_every_piece_is_delivered_outstanding_or_cancelled(shop: Shop, tmp_path: Path) -> None:
    """7 of 12 first, then 2, then 2 and one cancelled: at each hand-over what is outstanding is what is still owed."""
    delivered = 0
    for made, wanted in ((0, 12), (2, 12), (2, 11)):
        if made:
            change_lines(shop, "A-1", {1: wanted}, **WHO)
            plan(shop)
            (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
            book_in(shop, job.number, day=DAY, **WHO, counted=made)
            release(shop, tmp_path)
        one = advice(shop, send(shop, "A-1").manifest.number)
        now, outstanding = quantities(one)["1"]
        delivered += now
        at = line_at(shop, "A-1", 1)
        assert delivered == at["shipped"]
        assert outstanding == sum(n for place, n in at.items() if place not in ("shipped", "cancelled"))
        assert delivered + outstanding + at.get("cancelled", 0) == 12
        assert quantities(one).get("2", (0, 0)) == ((4, 0) if not made else (0, 0))
    assert line_at(shop, "A-1", 1) == {"shipped": 11, "cancelled": 1}


def test_edifact_says_the_same_as_ubl(shop: Shop, tmp_path: Path) -> None:
    """The second despatch as DESADV: despatched and outstanding are those of the UBL document."""
    send(shop, "A-1")
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    book_in(shop, job.number, day=DAY, **WHO, counted=3)
    release(shop, tmp_path)
    one = advice(shop, send(shop, "A-1").manifest.number)

    assert quantities(one)["1"] == (3, 2)
    message = edifact.desadv(one, message_reference="1")
    assert "QTY+12:3" in message
