"""What of a day works in an empty shop and in shops that lack a little, word for word."""

from pathlib import Path

from fulfil.despatch.first_day import first_day
from fulfil.records.equipment import BoxType, ScaleRecord
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop, open_shop
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import bags, key


def test_what_of_the_first_day_works(shop: Shop, tmp_path: Path) -> None:
    """In an empty shop, in one that lacks a little, and in one that lacks nothing but an order."""
    told = Chronicle(shop, "despatch/first-day")
    with open_shop(tmp_path / "empty.db", create=True) as empty, empty.reading() as books:
        told.each("empty", first_day(books))
        told.each("in words", [str(lack) for step in first_day(books) for lack in step.lacks])
    with shop.reading() as books:
        told.each("harbour", first_day(books))
    with shop.writing() as books:
        books.replace(
            [Settings.model_validate(books.settings().model_dump() | {"country": "XX", "street": "", "phone": "+64"})]
        )
        books.remove(BoxType, code="KETE-L")
        books.remove(Bin, code="MUA-3")
        books.replace([revised(books.need(ScaleRecord, code), {"is_retired": True}) for code in ("KOTARE", "TOROA")])
    key(shop, "F-1", ("REED-A", 2))
    with shop.reading() as books:
        told.each("with less", first_day(books))
    assert bags(shop) == []
    told.is_as_recorded()
