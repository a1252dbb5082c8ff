"""A carrier's bill at the desk: its file is looked at or taken in, whole or not at all; then its differences come.

How a carrier's files are read was said once (:mod:`fulfil.stations.desk.reading_page`). The file is written into a
folder of its own for as long as it is read. The same file again changes nothing.
"""

from contextlib import AbstractContextManager
from pathlib import Path

from starlette.responses import Response

from fulfil.despatch.bill_mapping import BillPreview, kept_bill_mapping, preview_bill
from fulfil.despatch.reconcile import take_bill
from fulfil.files.bill_mapping import BillMapping
from fulfil.papers.elements.counted import counted
from fulfil.quantities import parse_decimal
from fulfil.records.bench import StationKind
from fulfil.records.despatch.bill_mapping import KeptBillMapping
from fulfil.records.despatch.carrier_bill import CarrierBill
from fulfil.standards import iso4217
from fulfil.stations.desk.lines import Told, take_line
from fulfil.stations.house import House
from fulfil.stations.posted_file import written
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.store.shop import Shop

PATH = "/clerk/bill"
_MOST_SHOWN = 12


@worked_at(StationKind.CLERK)
def show(house: House, visit: Visit) -> Response:
    """Which file, of which carrier."""
    return _page(house, visit, Told())


@worked_at(StationKind.CLERK)
def take(house: House, visit: Visit) -> Response:
    """The file looked at, or taken in."""
    assert visit.worker is not None  # noqa: S101
    at, person, form = visit.at, visit.worker.name, visit.form
    file = visit.file

    def sent() -> AbstractContextManager[Path]:
        return written(file, "read the bill", "a file: choose the one that the carrier has sent")

    def mapping_of(shop: Shop) -> BillMapping:
        with shop.reading() as books:
            return kept_bill_mapping(books, form.get("carrier", ""))

    def look(shop: Shop, _: str) -> tuple[str, ...]:
        with sent() as path:
            preview = preview_bill(shop, path, mapping_of(shop))
        return (*says_of_bill(preview), "Nothing is taken in yet: choose the file again.")

    def bill(shop: Shop, _: str) -> tuple[str, ...]:
        said = form.get("total", "").strip()
        total = parse_decimal(said, "an amount of money") if said else None
        number = form.get("number", "").strip()
        with sent() as path:
            taken = take_bill(shop, path, mapping_of(shop), at=at, person=person, number=number, total=total)
        if taken.findings:
            return ("Nothing of the bill was taken in:", *map(str, taken.findings), *taken.notes)
        what = "was there already" if taken.is_unchanged else "is taken in"
        says = [f"Bill {number or path.stem} {what}: {taken.lines} line{'' if taken.lines == 1 else 's'}."]
        says += [f"{taken.unknown} for numbers that aren't ours: they are among the differences."] * bool(taken.unknown)
        return (*says, *taken.notes)

    return _page(house, visit, take_line(house, visit, {"look": look, "bill": bill}))


def says_of_bill(preview: BillPreview) -> tuple[str, ...]:
    """What a bill would bring in."""
    sums = [iso4217.print_money(minor, currency) for currency, minor in sorted(preview.sums_minor.items())]
    lines = counted(len(preview.lines), "line")
    says = [f"{lines}, {' and '.join(sums) or 'nothing'} would come in: is that its total?"]
    off = [one.package_number for one in preview.lines if one.package_number not in preview.ours]
    says += [f"Not ours: {', '.join(off[:_MOST_SHOWN])}{' …' * (len(off) > _MOST_SHOWN)}."] if off else []
    return (*says, *map(str, preview.findings), *preview.notes)


def _page(house: House, visit: Visit, told: Told) -> Response:
    with house.shop.reading() as books:
        carriers = sorted(one.carrier for one in books.find(KeptBillMapping))
        bills = sorted(books.find(CarrierBill), key=lambda one: (one.at, one.number), reverse=True)[:_MOST_SHOWN]
    typed = {} if told.says and not told.is_refused else visit.form
    key = house.fresh()
    return shown("bill.html", visit, told=told, carriers=carriers, bills=bills, typed=typed, key=key)
