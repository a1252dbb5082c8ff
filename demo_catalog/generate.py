"""Writes the files of the invented demo shop: ``python -m fulfil_demo_catalog.generate [--out DIR]``.

Without ``--out`` the checked-in files beside this module are written anew. The same code writes the same bytes on
every machine: the seed is fixed, lines end with a line feed, text is UTF-8 without a byte order mark.
"""

import argparse
import csv
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generator import catalogue, equipment, kits, orders, rooms, stock, tariffs


def write_all(folder: Path) -> list[Path]:
    """Writes every file of the demo shop into ``folder`` (made if missing); returns their paths, sorted."""
    today = orders.orders(orders.DEMO_DAY)
    written = [
        _write(folder / "parts.csv", catalogue.COLUMNS, (row.values() for row in catalogue.rows())),
        _write(folder / "bins.csv", rooms.BIN_COLUMNS, (row.values() for row in stock.bins())),
        _write(folder / "kits.csv", kits.COLUMNS, (row.values() for row in kits.rows())),
        _write(folder / "room.csv", rooms.ROOM_COLUMNS, rooms.main_room()),
        _write(folder / "zones.csv", tariffs.ZONE_COLUMNS, tariffs.zones()),
        _write(folder / "prices.csv", tariffs.PRICE_COLUMNS, tariffs.prices()),
        _write(folder / "surcharges.csv", tariffs.SURCHARGE_COLUMNS, tariffs.SURCHARGES),
        _write(folder / "sdr_rates.csv", tariffs.RATE_COLUMNS, tariffs.SDR_RATES),
        _write(folder / "orders.csv", orders.COLUMNS, _order_rows(order for order in today if order.source == "web")),
        _write_json(folder / "orders_phone.json", (order for order in today if order.source != "web")),
    ]
    for name, rows in (
        ("scales.csv", equipment.SCALES),
        ("bags.csv", equipment.bags()),
        ("boxes.csv", equipment.BOXES),
        ("services.csv", equipment.SERVICES),
        ("closures.csv", equipment.CLOSURES),
        ("settings.csv", equipment.SETTINGS),
    ):
        written.append(_write(folder / name, rows[0], rows[1:]))
    for day in orders.WEEK:
        path = folder / "week" / f"orders-{day}.csv"
        written.append(_write(path, orders.COLUMNS, _order_rows(orders.orders(day))))
    for name, (room, bins) in (("three-cross-aisles", rooms.three_cross_aisles()), ("odd", rooms.odd())):
        written.append(_write(folder / "rooms" / name / "room.csv", rooms.ROOM_COLUMNS, room))
        written.append(_write(folder / "rooms" / name / "bins.csv", rooms.BIN_COLUMNS, bins))
    return sorted(written)


def _order_rows(day_orders: Iterable[orders.DemoOrder]) -> Iterable[Iterable[str]]:
    for order in day_orders:
        head = order.head()
        for line in order.line_rows():
            yield (head | line).values()


def _write(path: Path, header: Sequence[str], rows: Iterable[Iterable[str]]) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)
    return path


def _write_json(path: Path, told: Iterable[orders.DemoOrder]) -> Path:
    content = [{**order.head(), "lines": list(order.line_rows())} for order in told]
    path.write_text(json.dumps(content, ensure_ascii=False, indent=1) + "\n", encoding="utf-8", newline="\n")
    return path


def main(arguments: Sequence[str] | None = None) -> None:
    """The command line."""
    parser = argparse.ArgumentParser(prog="python -m fulfil_demo_catalog.generate", description=__doc__)
    parser.add_argument("--out", type=Path, default=FOLDER, metavar="DIR", help="folder to write to")
    folder = parser.parse_args(arguments).out
    for path in write_all(folder):
        print(f"{path.relative_to(folder)}: {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
