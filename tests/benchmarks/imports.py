"""How long the shop takes to come in: 10,000 parts and bins, and 10,000 order lines.

Run it: ``python tests/benchmarks/imports.py [parts] [orders]``. It prints seconds for reading the files, for a first
and a second import, against the time in which the csv module alone splits the same files (the reference of the same
run), and the peak memory of the process. All content is invented.
"""

import csv
import io
import resource
import sys
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from fulfil.files.catalogue import read_catalogue
from fulfil.orders.importing import import_orders
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import open_shop

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
FIXED = {
    "scales.csv": "scale,accuracy_class,e_g,d_g,max_g,min_g,repeatability_g,use\nS1,II,0.1,0.01,2200,0.5,0.01,bags\n",
    "bags.csv": "bag_type,width_mm,height_mm,tare_g,tare_sd_g,max_load_g\nB1,60,80,0.9,0.02,250\n",
    "boxes.csv": "box_type,length_mm,width_mm,height_mm,tare_g,tare_sd_g,max_load_g,fill_fraction\n"
    "X1,150,100,50,40,1,2000,0.7\n",
    "services.csv": "service,name,kind,countries,cut_off,max_weight_g\npost,Invented Packet,postal,*,16:30,2000\n",
}


def _write(path: Path, header: str, rows: list[list[object]]) -> None:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header.split(","))
    writer.writerows(rows)
    path.write_text(text.getvalue(), encoding="utf-8")


def write_shop(folder: Path, parts: int, orders: int) -> None:
    """Writes a catalogue of that many parts, one bin each, and a file of orders of ten lines."""
    for name, text in FIXED.items():
        (folder / name).write_text(text, encoding="utf-8")
    header = (
        "part,description,family,size,finish,unit_weight_g,piece_sd_g,sample_pieces,weight_source,lot,bulk_volume_mm3,"
        "longest_mm,supply,supplier,hazards,customs_description,hs_code,origin,price,currency,photo_path"
    )
    rows: list[list[object]] = [
        [f"P-{i:05}", f"Invented cap screw number {i}", "cap screw", f"M3 x {i % 60 + 4}", "zinc",
         f"{0.5 + i / 1e4:.4f}", "0.005", 100, "sampled", "", 400 + i % 100, i % 60 + 10, "buy", "Invented Supplier",
         "", "steel screws", "731815", "AT", f"0.{i % 90 + 10}", "EUR", ""]
        for i in range(parts)
    ]  # fmt: skip
    _write(folder / "parts.csv", header, rows)
    aisles = 20
    room: list[list[object]] = [["aisle", f"A{i:02}", 2500 * i, ""] for i in range(aisles)]
    room += [["cross-aisle", "front", "", 0], ["cross-aisle", "back", "", 30000], ["bench", "bench", 0, 0]]
    _write(folder / "room.csv", "element,name,x_mm,y_mm", room)
    rows = [
        [f"B-{i:05}", f"A{i % aisles:02}", ("left", "right")[i % 2], i % 40, i % 6, i % 40 * 700, f"P-{i:05}", "", 500]
        for i in range(parts)
    ]
    _write(folder / "bins.csv", "bin,aisle,side,section,level,y_mm,part,lot,pieces", rows)
    rows = [
        [f"W-{i:05}", "2026-03-02T07:00:00+01:00", "web", "Invented Person", f"Sample Street {i}", "Sampletown", "NA",
         "post", f"P-{(i * 37 + line * 11) % parts:05}", 10 + line]
        for i in range(orders)
        for line in range(10)
    ]  # fmt: skip
    _write(folder / "orders.csv", "order,received_at,source,name,street,city,country,service,part,pieces", rows)


def main() -> None:
    """Measures and prints."""
    parts, orders = (int(text) for text in (*sys.argv[1:], "10000", "1000")[:2])
    with TemporaryDirectory() as name:
        folder = Path(name)
        write_shop(folder, parts, orders)
        started = perf_counter()
        for file in ("parts.csv", "bins.csv"):
            with (folder / file).open(encoding="utf-8", newline="") as lines:
                sum(1 for _ in csv.reader(lines))
        reference = perf_counter() - started
        print(f"{'csv module alone, parts and bins':42} {reference:7.3f} s")

        def step(what: str, since: float) -> float:
            seconds = perf_counter() - since
            print(f"{what:42} {seconds:7.3f} s = {seconds / reference:5.1f} times the csv module")
            return perf_counter()

        since = perf_counter()
        read_catalogue(folder)
        since = step(f"read and check {parts} parts and bins", since)
        with open_shop(folder / "shop.db", create=True) as shop:
            since = step("create the shop", since)
            import_catalogue(shop, folder, at=NOW, person="ann")
            since = step(f"import {parts} parts and bins", since)
            import_catalogue(shop, folder, at=NOW, person="ann")
            since = step("the same files again", since)
            result = import_orders(shop, folder / "orders.csv", at=NOW, person="ann")
            since = step(f"import {len(result.new)} orders of 10 lines", since)
            import_orders(shop, folder / "orders.csv", at=NOW, person="ann")
            step("the same file again", since)
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
