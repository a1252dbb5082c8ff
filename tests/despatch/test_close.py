"""The day's reconciliation and its close: a carrier's file with a mistake of each kind, every one found and settled."""

from datetime import UTC, date, datetime
from functools import partial
from typing import Any

import pypdfium2
import pytest

from fulfil.despatch.close import close_day, reconciliation_sheet, settle, write_tables
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.ship import close_manifest, open_manifest, void_package
from fulfil.errors import FileRefused, StateRefused, UnknownRefused
from fulfil.files.bill_mapping import BillMapping
from fulfil.orders.changing import change_service
from fulfil.records.day_close import Outcome
from fulfil.shipping.differences import Cause
from fulfil.shop.printing import print_papers
from tests.shipping_shop import DAY, NOW, sealed_shop

TOMORROW = date(2026, 3, 3)
MAPPING = BillMapping("Parcel", "Net", currency="EUR", weight_column="kg", weight_unit="kg", service_column="Product",
                      services={"road std": "ROAD", "small packet": "POST"})  # fmt: skip
HEAD = "Date,Parcel,Product,kg,Net\n"


@pytest.fixture
def shop(tmp_path):
    """Four packages, all shipped."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        for service in ("POST", "ROAD"):
            close_manifest(opened, service, day=DAY, at=NOW, person="clerk-1")
        yield opened


def take(shop, folder, text, name="bill.csv"):
    """Takes a bill in."""
    path = folder / name
    path.write_text(HEAD + text, encoding="utf-8")
    return take_bill(shop, path, MAPPING, at=NOW, person="clerk-1")


RIGHT = (
    "2.3.,P2603020001,Road std,0.5,6.90\n2.3.,P2603020002,Small packet,0.256,5.20\n"
    "2.3.,P2603020003,ROAD STD,0.076,12.90\n2.3.,P2603020004,Road std,0.5,6.90\n"
)


def test_a_right_day_balances_and_closes(shop, tmp_path):
    """To the piece, the gram and the minor unit: 427 pieces, 726 g, EUR 31.90."""
    take(shop, tmp_path, RIGHT)
    now = reconcile_day(shop, day=DAY)

    assert [(one.label.split(":")[0], one.ours, one.theirs) for one in now.sums] == [
        ("pieces", "427", "427"), ("packages", "4", "4"), ("grams", "726 g", "726 g"),
        ("money", "EUR 31.90", "EUR 31.90"),
    ]  # fmt: skip
    assert now.differences == ()
    closed = close_day(shop, day=DAY, at=NOW, person="clerk-1")
    assert (closed.ordered, closed.shipped, closed.packages, closed.settled) == (427, 427, 4, 0)
    with pytest.raises(StateRefused, match="clerk-1 closed 2026-03-02 at 16:00 CET"):
        close_day(shop, day=DAY, at=NOW, person="clerk-2")


def test_a_mistake_of_each_kind_in_a_carriers_file_is_found(shop, tmp_path):
    """Wrong weight, wrong service, double charge, unknown number, a void one charged, one left out."""
    void_package(shop, "P2603020004", "burst", at=NOW, person="clerk-1")
    planted = (
        "2.3.,P2603020001,Road std,6.5,9.90\n2.3.,P2603020002,Air express,0.256,25.20\n"
        "2.3.,P2603020004,Road std,0.5,6.90\n2.3.,P9999999999,Road std,0.5,7.77\n"
        "2.3.,P2603020002,Small packet,0.256,5.20\n"
    )
    assert take(shop, tmp_path, planted).lines == 5
    now = reconcile_day(shop, day=DAY)

    found = {
        one.cause: (one.subject, one.money) for one in now.differences if one.cause.value.startswith(("b", "not b"))
    }
    assert found == {
        Cause.BILLED_WEIGHT: ("package P2603020001", "EUR 3.00"),
        Cause.BILLED_SERVICE: ("package P2603020002", "EUR 20.00"),
        Cause.BILLED_TWICE: ("package P2603020002", "EUR 5.20"),
        Cause.BILLED_NOT_SHIPPED: ("package P2603020004", "EUR 6.90"),
        Cause.BILLED_UNKNOWN: ("P9999999999", "EUR 7.77"),
        Cause.NOT_BILLED: ("package P2603020003", "EUR -12.90"),
    }
    money = next(one for one in now.sums if one.label.startswith("money"))
    assert money.holds
    assert money.ours == "EUR 54.97"
    assert [str(one.money) for one in now.differences][:2] == ["EUR 20.00", "EUR -12.90"]


def test_the_day_stays_open_until_each_difference_has_its_word(shop, tmp_path):
    """One settled, one carried over: then it closes; tomorrow the carried one comes up again, the other doesn't."""
    take(
        shop,
        tmp_path,
        RIGHT.replace("0.5,6.90\n2.3.,P2603020002", "0.5,7.40\n2.3.,P2603020002") + "2.3.,PX,Road std,1,3.00\n",
    )
    wrong, unknown = sorted(reconcile_day(shop, day=DAY).differences, key=lambda one: one.cause.value, reverse=True)

    with pytest.raises(StateRefused, match="2 are open"):
        close_day(shop, day=DAY, at=NOW, person="clerk-1")
    settle(shop, wrong.code, "credit note 17", day=DAY, at=NOW, person="clerk-1")
    with pytest.raises(StateRefused, match="1 is open"):
        close_day(shop, day=DAY, at=NOW, person="clerk-1")
    said = settle(shop, unknown.code.lower(), "asked the carrier", day=DAY, at=NOW, person="clerk-1", carry_over=True)
    closed = close_day(shop, day=DAY, at=NOW, person="clerk-1")

    assert said.outcome is Outcome.CARRIED_OVER
    assert (closed.settled, closed.carried_over) == (1, 1)
    tomorrow = reconcile_day(shop, day=TOMORROW)
    assert [one.code for one in tomorrow.open_differences] == [unknown.code]


def test_the_next_day_begins_with_what_is_open(shop, tmp_path):
    """What was settled is named no more, what was carried over is; packages and grams are those of the new day."""
    take(shop, tmp_path, RIGHT.replace("6.90", "7.90"))
    first, second = (one.code for one in reconcile_day(shop, day=DAY).differences)
    settle(shop, first, "the price rose", day=DAY, at=NOW, person="clerk-1")
    settle(shop, second, "asked the carrier", day=DAY, at=NOW, person="clerk-1", carry_over=True)
    close_day(shop, day=DAY, at=NOW, person="clerk-1")

    now = reconcile_day(shop, day=TOMORROW)

    assert [one.code for one in now.open_differences] == [one.code for one in now.differences] == [second]
    assert [(one.ours, one.theirs) for one in now.sums[:3]] == [("0", "0"), ("0", "0"), ("0 g", "0 g")]
    assert all(one.holds for one in now.sums)
    assert (now.packages, now.frames["packages"].empty, now.frames["costs"].empty) == (0, True, True)


def test_words_need_a_difference_and_a_reason(shop, tmp_path):
    """An unknown code, an empty reason, a second word, a word after the close."""
    take(shop, tmp_path, RIGHT + "2.3.,PX,Road std,1,3.00\n")
    code = reconcile_day(shop, day=DAY).differences[0].code
    word: dict[str, Any] = {"day": DAY, "at": NOW, "person": "clerk-1"}

    with pytest.raises(UnknownRefused, match=code):
        settle(shop, "FFFFFFFF", "x", **word)
    with pytest.raises(StateRefused, match="a reason"):
        settle(shop, code, " ", **word)
    settle(shop, code, "theirs", **word)
    with pytest.raises(StateRefused, match="clerk-1 has it settled"):
        settle(shop, code, "theirs", **word)
    close_day(shop, **word)
    with pytest.raises(StateRefused, match="a day still open"):
        settle(shop, code, "theirs", **word)


def test_an_open_manifest_keeps_the_day_open(shop):
    """What is open must be closed, or nobody knows what left."""
    number = open_manifest(shop, "ROAD", day=DAY, at=NOW, person="c").number
    with pytest.raises(StateRefused, match=f"no open manifest; close {number}"):
        close_day(shop, day=DAY, at=NOW, person="c")


def test_a_bill_comes_in_whole_once_or_not_at_all(shop, tmp_path):
    """A cell that can't be read keeps the file out; the same file again changes nothing; another one is refused."""
    broken = take(shop, tmp_path, RIGHT + "2.3.,P1,Road std,1kg,3\n")
    assert [(finding.line, finding.field) for finding in broken.findings] == [(6, "kg")]
    assert "money" not in {one.label.split(":")[0] for one in reconcile_day(shop, day=DAY).sums}

    assert take(shop, tmp_path, RIGHT).lines == 4
    assert take(shop, tmp_path, RIGHT).is_unchanged
    with pytest.raises(FileRefused, match="a number that no other bill has"):
        take(shop, tmp_path, RIGHT + "2.3.,PX,Road std,1,3.00\n")


def test_the_report_is_a_page_and_two_kinds_of_csv(shop, tmp_path):
    """The page names each difference; the plain CSV is what is stored, the other one is safe in a spreadsheet."""
    take(shop, tmp_path, RIGHT + "2.3.,=1+1,Road std,1,3.00\n")
    now = reconcile_day(shop, day=DAY)
    paths, again = (
        print_papers(shop, tmp_path / folder, partial(reconciliation_sheet, now=now))
        + write_tables(now, tmp_path / folder, for_spreadsheet=False)
        + write_tables(now, tmp_path / folder, for_spreadsheet=True)
        for folder in ("out", "again")
    )

    assert [path.read_bytes() for path in paths] == [path.read_bytes() for path in again]
    names = [path.name for path in paths]
    assert names[0] == "2026-03-02-reconciliation.pdf"
    text = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(paths[0]))
    assert now.differences[0].code in text
    assert "billed, unknown number" in text
    plain = (tmp_path / "out" / "2026-03-02-differences.csv").read_text(encoding="utf-8")
    safe = (tmp_path / "out" / "2026-03-02-differences-for-spreadsheet.csv").read_text(encoding="utf-8-sig")
    assert ",=1+1," in plain
    assert ",'=1+1," in safe


def test_a_service_changes_only_with_a_reason_and_before_anything_left(tmp_path):
    """The customer's choice is kept; agreed otherwise, its packages are weighed again."""
    with sealed_shop(tmp_path / "other.db") as shop:
        word: dict[str, Any] = {"at": NOW, "person": "clerk-1"}
        with pytest.raises(StateRefused, match="reopen P"):
            change_service(shop, "A-2", "ROAD", **word)
        with pytest.raises(UnknownRefused, match="POST, ROAD"):
            change_service(shop, "A-2", "AIR", reason="x", **word)
        changed = change_service(shop, "A-2", "ROAD", reason="customer agreed by telephone", **word)
        assert (changed.order.service_code, changed.order.state.value) == ("ROAD", "checked")
        assert "its boxes are chosen anew" in changed.tells[0]
        close_manifest(shop, "ROAD", day=DAY, at=datetime(2026, 3, 2, 16, tzinfo=UTC), person="c")
        with pytest.raises(StateRefused, match="something is still owed"):
            change_service(shop, "A-1", "POST", reason="x", **word)
