"""An order that is sent in part and followed by its rest a day later, in the harbour shop, word for word."""

from datetime import timedelta
from pathlib import Path

from fulfil.despatch.report import report_day
from fulfil.documents import sheets_of
from fulfil.stock.levels import receive
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, NOW, WHO, key, plan, release, send


def test_what_went_before_is_told_apart(shop: Shop, tmp_path: Path) -> None:
    """27 pieces on the first day, the two bells that were short on the second."""
    told = Chronicle(shop, "despatch/two-days")
    key(shop, "D-1", ("REED-A", 20), ("BELL-3", 9))
    plan(shop)
    release(shop, tmp_path)
    send(shop, "D-1")
    first = report_day(shop, day=DAY)
    told.tell("the first day", [first.shipped_before, first.balance])
    receive(shop, "WAKA-2", 2, "note 9", **WHO)
    day, at = DAY + timedelta(days=1), NOW + timedelta(days=1)
    plan(shop, day=day, at=at)
    release(shop, tmp_path, at=at)
    send(shop, "D-1", day=day, at=at)
    second = report_day(shop, day=day)
    told.tell("the second day", [second.shipped_before, second.balance])
    told.each("on paper", [*sheets_of(shop, "day-report", at=at), *sheets_of(shop, "D-1", at=at)])
    assert (first.shipped_before, second.shipped_before) == (0, 27)
    told.is_as_recorded()
