"""Twenty invented exports of twenty habits: mapped by example with three answers at most, right to piece and cent."""

import importlib.util
import json
import shutil
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, time
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from zoneinfo import ZoneInfo

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.files.mapping.proposing import settled
from fulfil.orders.extras import keep_mapping
from fulfil.orders.importing import import_orders
from fulfil.orders.previewing import example, preview_orders
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply
from fulfil.records.settings import Settings
from fulfil.standards import iso4217
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 20, 11, tzinfo=UTC)


def _load() -> ModuleType:
    path = Path(__file__).parents[1] / "files" / "exports.py"
    spec = importlib.util.spec_from_file_location("exports", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


MADE = _load()
EXPORTS = MADE.exports()


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of five parts and two services that is not the demo, in a file to copy."""
    path = tmp_path_factory.mktemp("exports") / "shop.db"
    with open_shop(path, create=True) as shop, shop.writing() as books:
        books.add(
            [
                Part(number=number, description=f"Invented {number}", family="part", bulk_volume_mm3=10.0, longest_mm=5,
                     supply=Supply.BUY, price_minor=11, currency="EUR")
                for number in MADE.PARTS
            ]
            + [
                Service(code=code, name=name, kind=ServiceKind.PARCEL, cut_off=time(14, 0), max_weight_g=Decimal(0))
                for code, name in MADE.SERVICES.items()
            ]
        )  # fmt: skip
        settings = Settings.model_validate(
            books.settings().model_dump() | {"time_zone": "Europe/Vienna", "country": "AT", "currency": "EUR"}
        )
        books.replace([settings])
    return path


@pytest.fixture
def shop(empty: Path, tmp_path: Path) -> Iterator[Shop]:
    """A copy of the shop."""
    with open_shop(shutil.copy(empty, tmp_path / "shop.db")) as opened:
        yield opened


def test_there_are_twenty() -> None:
    """Each with a name of its own."""
    assert len({one.name for one in EXPORTS}) == 20


@pytest.mark.parametrize("export", EXPORTS, ids=lambda one: one.name)
def test_an_export_comes_in_right_to_the_piece_and_cent(shop: Shop, tmp_path: Path, export) -> None:
    """Proposed from the file, three answers at most, previewed without a finding, imported as the truth says."""
    path = tmp_path / export.name
    path.write_bytes(export.raw)

    proposal = example(shop, path, "theirs")

    assert {one.key for one in proposal.questions} == set(export.answers), proposal
    assert len(proposal.questions) <= 3
    mapping = settled(proposal, export.answers)
    preview = preview_orders(shop, path, mapping, at=NOW, person="ann")
    assert [str(one) for one in preview.told.findings] == []
    with shop.reading() as books:
        assert books.count(Order) == 0
    keep_mapping(shop, mapping, at=NOW, person="ann")
    done = import_orders(shop, path, at=NOW, person="ann", source="theirs")
    assert (len(done.new), done.findings) == (len(export.orders), ())

    with shop.reading() as books:
        orders = {one.number: one for one in books.find(Order)}
        lines = books.find(OrderLine)
    for true in export.orders:
        order = orders[true.number]
        told = (order.name, order.street, order.city, order.post_code, order.country, order.service_code)
        assert told == (true.name, export.street(true), true.city, true.post_code, true.country, true.service)
        local = order.received_at.astimezone(ZoneInfo(export.time_zone))
        assert local.date() == true.at.date()
        assert (local.hour, local.minute) in ((true.at.hour, true.at.minute), (0, 0))
        assert order.currency == export.currency
        kept = [(one.part_number, one.pieces, one.unit_price_minor) for one in lines if one.order_number == true.number]
        asked = [
            (part, pieces, iso4217.to_minor(price, export.currency) if export.has_prices else 11)
            for part, pieces, price in true.lines
        ]
        assert kept == asked
    shown = {one.number: [line.casefold() for line in one.label] for one in preview.orders}
    assert all(export.street(true).casefold() in shown[true.number] for true in export.orders)


@pytest.mark.parametrize("export", EXPORTS, ids=lambda one: one.name)
def test_an_export_is_mapped_at_the_keyboard_with_three_lines(shop: Shop, tmp_path: Path, export) -> None:
    """``orders map`` asks three times at most, counted where it asks; then ``orders import`` takes every order."""
    path = tmp_path / export.name
    path.write_bytes(export.raw)
    with shop.reading() as books:
        assert books.count(Order) == 0
    answers = [export.answers[one.key] for one in example(shop, path, "theirs").questions]
    words = ["--shop", str(tmp_path / "shop.db"), "--at", NOW.isoformat(), "--by", "ann", "--json"]
    asked: list[str] = []

    def prompt(text: str, **_: object) -> str:
        asked.append(text)
        return answers[len(asked) - 1]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("click.prompt", prompt)
        mapped = CliRunner().invoke(main, ["orders", "map", "theirs", str(path), *words], catch_exceptions=False)
    assert (mapped.exit_code, len(asked) <= 3) == (0, True), mapped.output
    assert len(asked) == len(answers)
    taken = CliRunner().invoke(
        main, ["orders", "import", str(path), "--from", "theirs", *words], catch_exceptions=False
    )
    assert (taken.exit_code, len(json.loads(taken.stdout)["new"])) == (0, len(export.orders)), taken.output
