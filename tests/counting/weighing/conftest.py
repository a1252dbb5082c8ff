"""The shop that these tests begin with."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import ElementKind, RoomElement
from fulfil.records.tiny import SERVICE
from fulfil.store.shop import Shop, open_shop
from tests.counting.weighing.steps import AT, BENCH, FINE, LARGE, SCREW, SMALL, part, place


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Screws of two lots, nuts of a handbook weight, springs never weighed; two scales."""
    with open_shop(tmp_path / "shop.sqlite", create=True) as opened:
        with opened.writing() as books:
            books.add([part("SCREW"), part("NUT"), part("SPRING", "spring"), FINE, BENCH, SMALL, LARGE, SERVICE])
            books.add([RoomElement(kind=ElementKind.AISLE, name="1", x_mm=1000)])
            books.add([RoomElement(kind=ElementKind.CROSS_AISLE, name=str(y), y_mm=y) for y in (0, 9000)])
            books.add([RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=1000)])
            books.add([place("B-1", "SCREW", lot="L1"), place("B-2", "SCREW", lot="L2"), place("B-3", "NUT")])
            books.add([place("B-4", "SPRING")])
            books.add([SCREW])
            books.add([UnitWeight(part_number="NUT", mean_g=1.2, u_g=0.06, piece_sd_g=0.012, sample_pieces=0,
                                  source=WeightSource.HANDBOOK)])  # fmt: skip
            books.move(
                stock=[bin_move(part_number="SCREW", bin_code="B-1", pieces=5000, reason="counted", source="test")],
                at=AT,
                person="ann",
            )
        yield opened
