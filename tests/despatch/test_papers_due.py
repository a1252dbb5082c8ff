"""Customs papers can't be forgotten: whoever seals, closes, reports or reconciles is told what lacks what.

Which form a postal item takes is the CN 22 form's own text (up to 300 SDR; above, and for parcels, CN 23); that a
parcel service takes a commercial invoice is common practice.
"""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.pack import reopen_package, weigh_package
from fulfil.despatch.package_set import print_set
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest
from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry, Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.shipping import customs as customs_shipping
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop

NAMIBIA, BRITAIN = "P2603020002", "P2603020003"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Sealed packages to Germany, Namibia (post), Great Britain and Greece (road); no paper is printed yet."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def lacks(shop: Shop, number: str) -> list[tuple[str, bool]]:
    """What a package lacks: names of papers, and whether an older one is there that no longer fits."""
    with shop.reading() as books:
        package = books.need(Package, number)
        found = customs_lacks(books, package, books.need(Order, package.order_number), day=DAY)
    return [(one.paper, one.is_outdated) for one in found]


def close(shop: Shop, service: str, without_papers: str = "") -> list[str]:
    """Closes a manifest; what is found."""
    done = close_manifest(shop, service, day=DAY, at=NOW, person="huia", without_papers=without_papers)
    return [str(one) for one in done.findings]


def test_what_each_package_lacks(shop: Shop) -> None:
    """CN 22 by post to Namibia, an invoice by road to Great Britain, nothing inside the customs union."""
    assert lacks(shop, NAMIBIA) == [("CN 22", False)]
    assert lacks(shop, BRITAIN) == [("commercial invoice", False)]
    assert lacks(shop, "P2603020001") == lacks(shop, "P2603020004") == []


def test_above_300_sdr_both_papers_are_due(shop: Shop) -> None:
    """A CN 23 goes with the invoice that it names."""
    with shop.writing() as books:
        books.replace([revised(books.need(OrderLine, "A-2", 1), {"unit_price_minor": 350})])
    assert lacks(shop, NAMIBIA) == [("CN 23", False), ("commercial invoice", False)]


def test_a_manifest_is_not_closed_over_a_package_that_lacks_its_paper(shop: Shop) -> None:
    """Refused with package, order, paper and the command that prints it; nothing is shipped."""
    with pytest.raises(StateRefused) as refused:
        close(shop, "POST")
    assert str(refused.value) == (
        "Cannot close a manifest for service 'POST': expected its customs papers with each package; P2603020002 (order "
        "A-2) lacks its CN 22; print with 'fulfil packages papers --service POST --out papers'."
    )
    with shop.reading() as books:
        assert books.need(Package, NAMIBIA).state is PackageState.SEALED


def test_a_named_person_may_let_it_go_and_it_stays_named(shop: Shop) -> None:
    """In the journal with the reason; close and reconciliation still name it, and the day asks for a word."""
    found = close(shop, "POST", without_papers="the post fills in its own form")
    assert found == [
        "package P2603020002, customs paper 'CN 22': goes to Namibia and lacks its CN 22. "
        "Do: print it with 'fulfil packages papers A-2 --out papers' and put it on the package."
    ]
    with shop.reading() as books:
        entry = books.find(JournalEntry, event=Happening.PAPERS_WAIVED)[0]
        assert (entry.person, "the post fills in its own form" in entry.particulars) == ("huia", True)
        assert NAMIBIA in entry.particulars
    close(shop, "ROAD", without_papers="the carrier has it by wire")
    now = reconcile_day(shop, day=DAY)
    assert [(one.cause.value, one.subject) for one in now.differences] == [
        ("no customs paper", f"package {NAMIBIA}"), ("no customs paper", f"package {BRITAIN}"),
    ]  # fmt: skip
    with pytest.raises(StateRefused, match="2 are open"):
        close_day(shop, day=DAY, at=NOW, person="huia")


def test_no_reason_no_way_out(shop: Shop) -> None:
    """Spaces are no reason."""
    with pytest.raises(StateRefused, match="lacks its CN 22"):
        close(shop, "POST", without_papers="  ")


def test_printed_it_is_due_no_more(shop: Shop, tmp_path: Path) -> None:
    """By the customs command or with the package's other papers."""
    declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="huia")
    assert lacks(shop, NAMIBIA) == []
    print_set(shop, tmp_path, orders=["A-3"], day=DAY, at=NOW, person="huia")
    assert lacks(shop, BRITAIN) == []
    assert close(shop, "POST") == close(shop, "ROAD") == []
    assert reconcile_day(shop, day=DAY).differences == ()


@pytest.mark.parametrize(
    ("kind", "key", "update"),
    [
        (Order, ("A-2",), {"street": "Sample Street 2"}),
        (Order, ("A-2",), {"country": "US"}),
        (OrderLine, ("A-2", 1), {"unit_price_minor": 7}),
        (Part, ("SCR-16",), {"hs_code": "731816"}),
        (Part, ("SCR-16",), {"origin": "LU"}),
        (Part, ("BUSH-3",), {"customs_description": "turned brass bearings for clock movements"}),
        (Package, (NAMIBIA,), {"gross_g": Decimal(300)}),
    ],
)
def test_a_paper_that_says_something_else_no_longer_fits(
    shop: Shop, tmp_path: Path, kind: type, key: tuple[object, ...], update: dict[str, object]
) -> None:
    """Address, value, code, origin, words or mass changed after printing: the old paper doesn't count."""
    declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="huia")
    with shop.writing() as books:
        books.replace([revised(books.need(kind, *key), update)])
    assert lacks(shop, NAMIBIA) == [("CN 22", True)]


def test_a_new_unit_weight_does_not_spoil_a_printed_paper(shop: Shop, tmp_path: Path) -> None:
    """What is learned from weighings during the day shifts net grams a little; the scale's gross mass still holds."""
    from fulfil.records.part import UnitWeight

    declare_order(shop, "A-2", tmp_path, day=DAY, at=NOW, person="huia")
    with shop.writing() as books:
        weight = books.find(UnitWeight, part_number="SCR-16")[0]
        books.replace([revised(weight, {"mean_g": 1.21})])
    assert lacks(shop, NAMIBIA) == []


def test_opened_and_weighed_again_the_papers_of_then_no_longer_fit(shop: Shop, tmp_path: Path) -> None:
    """Another gross mass: a new paper, and the sealing says so."""
    print_set(shop, tmp_path, orders=["A-2"], day=DAY, at=NOW, person="huia")
    reopen_package(shop, NAMIBIA, "a bush was missing", at=NOW, person="huia")
    with shop.reading() as books:
        gross_g = books.need(Package, NAMIBIA).expected_g + 2
    done = weigh_package(shop, NAMIBIA, gross_g, at=NOW, person="huia")
    assert done.package.state is PackageState.SEALED
    assert [str(one) for one in done.papers_due] == [
        "package P2603020002, customs paper 'CN 22': goes to Namibia, and its CN 22 was printed before something on it "
        "changed. Do: print it again with 'fulfil packages papers A-2 --out papers' and take the old one off."
    ]


def test_the_day_report_names_what_lacks_its_paper(shop: Shop) -> None:
    """While the package waits, and after it has left."""
    said = [str(one) for one in report_day(shop, day=DAY).findings]
    assert sum("lacks its CN 22" in one for one in said) == 1
    close(shop, "POST", without_papers="the post fills in its own form")
    said = [str(one) for one in report_day(shop, day=DAY).findings]
    assert sum("left without its CN 22" in one for one in said) == 1


def test_carried_over_it_comes_up_until_it_is_settled(shop: Shop) -> None:
    """The same difference, by its code, on the next day; settled, it is gone."""
    close(shop, "POST", without_papers="the post fills in its own form")
    close(shop, "ROAD", without_papers="the carrier has it by wire")
    first = reconcile_day(shop, day=DAY).differences
    for day, carry_over in ((DAY, True), (DAY + timedelta(days=1), False)):
        at = NOW + (day - DAY)
        words = [Word(one.code, "asked the post", carry_over) for one in reconcile_day(shop, day=day).differences]
        assert [word.code for word in words] == [one.code for one in first]
        settle_all(shop, words, day=day, at=at, person="huia")
        close_day(shop, day=day, at=at, person="huia")
    assert reconcile_day(shop, day=DAY + timedelta(days=2)).differences == ()


def test_printed_after_the_van_left_it_still_left_without(shop: Shop, tmp_path: Path) -> None:
    """A paper in the house doesn't travel with the package."""
    close(shop, "POST", without_papers="forgotten")
    print_set(shop, tmp_path, orders=["A-2"], day=DAY, at=NOW + timedelta(minutes=5), person="huia")
    close(shop, "ROAD", without_papers="forgotten")
    assert f"package {NAMIBIA}" in {one.subject for one in reconcile_day(shop, day=DAY).differences}


def test_printed_again_it_is_the_same_byte_for_byte(shop: Shop, tmp_path: Path) -> None:
    """What was printed is kept: on a later day, with another rate and another shop name, the reprint is the same."""
    from fulfil.records.settings import Settings

    first = declare_order(shop, "A-2", tmp_path / "a", day=DAY, at=NOW, person="huia")
    with shop.writing() as books:
        books.replace([revised(books.settings(), {"printer_dpi": 203})])
        assert isinstance(books.settings(), Settings)
    later = declare_order(shop, "A-2", tmp_path / "b", day=DAY + timedelta(days=3), at=NOW, person="huia")
    assert first.written[0].read_bytes() == later.written[0].read_bytes()


def test_sealing_makes_the_declaration_once(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """What stops a package and which papers it lacks both read the same one: packing takes its time once."""
    made = []

    def counted(*args: Any, **said: Any) -> Any:
        made.append(args)
        return customs_shipping.declare(*args, **said)

    reopen_package(shop, NAMIBIA, "to count", at=NOW, person="huia")
    with shop.reading() as books:
        expected_g = books.need(Package, NAMIBIA).expected_g
    monkeypatch.setattr("fulfil.despatch.abroad.customs.declare", counted)
    done = weigh_package(shop, NAMIBIA, expected_g, at=NOW, person="huia")
    assert done.package.state is PackageState.SEALED
    assert len(done.papers_due) == 1
    assert len(made) == 1
