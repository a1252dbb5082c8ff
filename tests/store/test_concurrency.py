"""Several stations at once: nothing is lost, nobody gets the same number, the last piece has one winner."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from threading import Barrier

from fulfil.errors import StateRefused
from fulfil.records.pieces import StockEntry, bin_move
from fulfil.records.place import Bin
from fulfil.records.tiny import BIN
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)


def _at_once(path: Path, stations: int, work: Callable[[Shop, int], object]) -> list[object]:
    """Runs the work at several stations, each with its own opened shop, all starting together."""
    start = Barrier(stations)

    def station(number: int) -> object:
        with open_shop(path) as shop:
            start.wait()
            return work(shop, number)

    with ThreadPoolExecutor(stations) as pool:
        return list(pool.map(station, range(stations)))


def test_read_change_write_loses_no_update(shop: Shop, path: Path) -> None:
    """Four stations read a level and write it back 25 times each; all 100 changes are there in the end."""

    def add_pieces(at: Shop, station: int) -> None:
        for _ in range(25):
            with at.writing() as books:
                level = books.need(Bin, BIN.code).pieces
                entry = bin_move(
                    part_number="BALL-3", bin_code=BIN.code, pieces=1, reason="booked in", source=str(level)
                )
                books.move(stock=[entry], at=NOW, person=f"station {station}")

    _at_once(path, 4, add_pieces)
    with shop.reading() as books:
        entries = books.find(StockEntry)

        assert books.need(Bin, BIN.code).pieces == 140
        assert sum(entry.pieces for entry in entries) == 140
        assert [entry.source for entry in entries[1:]] == [str(level) for level in range(40, 140)]


def test_last_pieces_have_one_winner(shop: Shop, path: Path) -> None:
    """Four stations want the same 40 pieces: one gets them, three are told that there are none."""
    entry = bin_move(part_number="BALL-3", bin_code=BIN.code, pieces=-40, reason="picked", source="test")

    def take_all(at: Shop, station: int) -> bool:
        try:
            with at.writing() as books:
                books.move(stock=[entry], at=NOW, person=f"station {station}")
        except StateRefused:
            return False
        return True

    assert sorted(_at_once(path, 4, take_all)) == [False, False, False, True]
    with shop.reading() as books:
        assert books.need(Bin, BIN.code).pieces == 0


def test_numbers_are_given_once(shop: Shop, path: Path) -> None:
    """Four stations take 25 numbers each: 1 to 100, none twice, none missing."""

    def take(at: Shop, _: int) -> list[int]:
        taken = []
        for _ in range(25):
            with at.writing() as books:
                taken.append(books.next_number("bag"))
        return taken

    taken = _at_once(path, 4, take)
    assert sorted(number for numbers in taken for number in numbers) == list(range(1, 101))  # type: ignore[attr-defined]
