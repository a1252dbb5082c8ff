"""The harbour shop's day as frames: figures that equal the books', in grams and the shop's time, and nobody's name."""

from datetime import timedelta
from pathlib import Path

import pandas as pd
import pytest

import fulfil
from fulfil.records.order import Order
from fulfil.records.plan import Bag
from fulfil.records.weighing import WeighingRecord
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, NOW, PEOPLE, key, open_one_sent


@pytest.fixture
def shop(tmp_path: Path):
    """One order sent, one waiting."""
    with open_one_sent(tmp_path) as opened:
        yield opened


def test_figures_equal_the_books(shop: Shop) -> None:
    """Pieces, grams, moments and days of every table."""
    frames = fulfil.read_shop(shop.where)

    assert frames.lines.loc[("H-1", 1), "pieces"] == 25
    assert frames.orders["state"].to_dict() == {"H-1": "shipped", "H-2": "released"}
    with shop.reading() as books:
        bags = books.find(Bag)
        weighings = books.find(WeighingRecord)
        assert frames.orders.loc["H-1", "received_at"] == books.need(Order, "H-1").received_at
    assert len(frames.bags) == len(bags)
    assert frames.bags["tare_g"].to_dict() == {one.code: float(one.tare_g) for one in bags}
    assert sorted(frames.weighings["indication_g"]) == sorted(float(one.indication_g) for one in weighings)
    assert str(frames.orders["received_at"].dt.tz) == "Pacific/Chatham"
    assert frames.manifests.iloc[0]["packages"] == 1
    moved = frames.stock_moves.query("reason == 'picked'")["pieces"].sum()
    assert moved == frames.bags.query("state == 'packed'")["pieces"].sum() == 27


@pytest.mark.parametrize("name", sorted(fulfil.ShopFrames.__dataclass_fields__))
def test_every_column_is_described_and_typed(shop: Shop, name: str) -> None:
    """The description names the frame's columns, in its order; none is left as Python objects but days and texts."""
    frame: pd.DataFrame = getattr(fulfil.read_shop(shop.where), name)
    described = dict(line.split("  ", 1) for line in fulfil.columns_of(name).splitlines())
    index = [field for field, says in described.items() if says.endswith(", index")]
    assert [one for one in frame.index.names if one] == index
    assert [*frame.columns] == [field for field in described if field not in index]
    for field in frame.columns:
        kind = str(frame[field].dtype)
        says = described[field]
        if says in ("grams", "number"):
            assert kind == "float64", field
        elif says == "time":
            assert kind.endswith("Pacific/Chatham]"), field
        elif says == "text":
            assert kind in ("str", "string"), field


def test_nobody_is_named(shop: Shop) -> None:
    """No frame holds a customer's name, street, telephone number or note."""
    frames = fulfil.read_shop(shop.where)
    told = " ".join(getattr(frames, name).reset_index().to_csv() for name in frames.__dataclass_fields__)
    for name, city, *_ in PEOPLE:
        assert name not in told
        assert city not in told
    for said in ("1 Sample Quay", "Tama", "305 0000"):
        assert said not in told


def test_since_leaves_older_ones_out(shop: Shop) -> None:
    """Orders of the day stay, those of before go; parts and bins always stay."""
    key(shop, "H-OLD", ("REED-A", 1), received_at=NOW - timedelta(days=40))
    frames = fulfil.read_shop(shop.where, since=DAY - timedelta(days=1))
    assert "H-OLD" not in frames.orders.index
    assert {"H-1", "H-2"} <= {*frames.orders.index}
    assert len(frames.parts) > 5


def test_wrong_names() -> None:
    """In words, and as Python's own kinds of error."""
    with pytest.raises(LookupError, match="one of parts, unit_weights"):
        fulfil.columns_of("customers")
    with pytest.raises(fulfil.Refusal, match="create the shop first"):
        fulfil.read_shop("nowhere.db")
