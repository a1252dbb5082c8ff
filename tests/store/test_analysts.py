"""The views hold what ``read_shop`` gives: the harbour shop's day in grams, on its own clock, and nobody's name."""

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pandas as pd
import pytest

from fulfil.records.order import Order
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighingRecord
from fulfil.shop.frames import read_frames
from fulfil.store.safe.analysts import CLOCK, KINDS, view_name
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import NOW, PEOPLE, open_one_sent


@pytest.fixture
def shop(tmp_path: Path):
    """One order sent, one waiting."""
    with open_one_sent(tmp_path) as opened:
        yield opened


def rows(shop: Shop, asked: str) -> list[dict[str, Any]]:
    """What a program that speaks SQL is given."""
    with shop.reading() as books:
        return [dict(row) for row in books._connection.exec_driver_sql(asked).mappings()]


@pytest.mark.parametrize("frame", sorted(KINDS))
def test_a_view_says_what_the_frame_says(shop: Shop, frame: str) -> None:
    """The same columns, and in each column the same values, whatever the order of the rows."""
    seen = rows(shop, f"SELECT * FROM {view_name(frame)}")
    with shop.reading() as books:
        wanted = getattr(read_frames(books), frame)
        zone = books.settings().time_zone
    wanted = wanted.reset_index() if wanted.index.names != [None] else wanted
    assert len(seen) == len(wanted)
    for field in wanted.columns:
        assert sorted(map(str, (plain(one[field]) for one in seen))) == sorted(
            str(plain(one, zone)) for one in wanted[field]
        ), field
    assert not seen or {*seen[0]} == {*wanted.columns}


def plain(value: Any, zone: str = "UTC") -> Any:
    """A value as both say it: a moment to the millisecond on the shop's clock, a number as one, nothing as nothing."""
    if value is None or value is pd.NaT or (isinstance(value, float) and value != value):
        return None
    if isinstance(value, str) and len(value) >= 19 and value[4:5] == value[7:8] == "-" and value[10] == " ":
        return f"{datetime.fromisoformat(value):%Y-%m-%d %H:%M:%S}"
    if isinstance(value, datetime):
        local = value.astimezone(ZoneInfo(zone)) if value.tzinfo else value
        return f"{local:%Y-%m-%d %H:%M:%S}"
    if str(value) in ("True", "False"):
        return "yes" if value else "no"
    if str(value) in ("nan", "None", "<NA>", "NaT"):
        return None
    return round(float(value), 6) if isinstance(value, int | float | Decimal) or hasattr(value, "dtype") else value


def test_grams_and_times_are_the_shops_own(shop: Shop) -> None:
    """One weighing, as the scale and the clock on the wall showed it."""
    with shop.reading() as books:
        one = books.find(WeighingRecord)[0]
    seen = rows(shop, f"SELECT indication_g, at FROM {view_name('weighings')}")

    assert float(one.indication_g) in {float(row["indication_g"]) for row in seen}
    local = one.at.astimezone(ZoneInfo("Pacific/Chatham"))
    assert f"{local:%Y-%m-%d %H:%M:%S}" in {str(row["at"])[:19] for row in seen}


def test_nobody_is_named(shop: Shop) -> None:
    """No view holds a customer's name, town, telephone number or note."""
    told = " ".join(str(rows(shop, f"SELECT * FROM {view_name(frame)}")) for frame in KINDS)
    for said in (*(one for person in PEOPLE for one in person[:2]), "1 Sample Quay", "Tama", "305 0000"):
        assert said not in told


def test_clocks_that_change(tmp_path: Path) -> None:
    """Central European time of 2026: 29 March and 25 October, 01:00 UTC (Directive 2000/84/EC, articles 2 and 3)."""
    with open_shop(tmp_path / "shop.db", create=True) as shop:
        times = [
            datetime(2026, *at, tzinfo=UTC) for at in ((3, 29, 0, 59), (3, 29, 1, 0), (10, 25, 0, 59), (10, 25, 1))
        ]
        with shop.writing() as books:
            books.replace([Settings(time_zone="Europe/Berlin")])
            books.add([order(f"A-{number}", at) for number, at in enumerate(times)])
        asked = f"SELECT received_at FROM {view_name('orders')} ORDER BY number"

        assert [str(row["received_at"])[11:16] for row in rows(shop, asked)] == ["01:59", "03:00", "02:59", "02:00"]
        with shop.writing() as books:
            books.replace([Settings(time_zone="Asia/Kathmandu")])
        assert [str(row["received_at"])[11:16] for row in rows(shop, asked)] == ["06:44", "06:45", "06:44", "06:45"]


def test_settings_on_the_same_clock_leave_the_views(tmp_path: Path) -> None:
    """SQLite's own count of changed schemas (documentation, "PRAGMA schema_version") moves with the clock only."""
    with open_shop(tmp_path / "shop.db", create=True) as shop:
        seen = []
        for zone, city in (("Asia/Kathmandu", "Sample"), ("Asia/Kathmandu", "Other"), ("Asia/Kolkata", "Other")):
            with shop.writing() as books:
                if books._connection.dialect.name == "postgresql":
                    pytest.skip("PostgreSQL has time zones of its own")
                books.replace([Settings(time_zone=zone, city=city)])
            seen += [row["schema_version"] for row in rows(shop, "PRAGMA schema_version")]

        assert seen[0] == seen[1] < seen[2]


def order(number: str, at: datetime) -> Order:
    """An invented order."""
    return Order(
        number=number, source="test", received_at=at, name="Invented", street="1 Sample Quay", city="Sample",
        post_code="1", country="NZ", service_code="ROAD", currency="EUR",
    )  # fmt: skip


def test_the_clock_is_right_every_hour_of_ten_years(tmp_path: Path) -> None:
    """Against the IANA database, in zones with odd offsets: half hours, 45 minutes, changes in the south."""
    for zone in ("Pacific/Chatham", "Australia/Lord_Howe", "America/Sao_Paulo", "Africa/Casablanca"):
        with open_shop(tmp_path / f"{zone[-4:]}.db", create=True) as shop:
            with shop.writing() as books:
                if books._connection.dialect.name == "postgresql":
                    pytest.skip("PostgreSQL has time zones of its own")
                books.replace([Settings(time_zone=zone)])
            changes = [(one["from_utc"], one["seconds"]) for one in rows(shop, f"SELECT * FROM {CLOCK}")]
        for hour in range(0, 10 * 366 * 24):
            at = datetime.fromtimestamp(1_700_000_000 + hour * 3600, UTC)
            said = f"{at:%Y-%m-%d %H:%M:%S}.000000"
            found = [seconds for from_, seconds in changes if from_ <= said][-1] if hour % 97 == 0 else None
            assert found is None or found == at.astimezone(ZoneInfo(zone)).utcoffset().total_seconds()
    assert NOW.utcoffset().total_seconds() == 12.75 * 3600
