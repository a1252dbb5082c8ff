"""Kits: parts made of parts, in the shop's words and on the papers.

A kit is sold as one line at one price. Stock, walks, bags and checks know its parts only; the customer's papers know
the kit. Its bags go together into one more bag with a label of its own: what it should weigh is the sum of the bags
that passed, or of their unit weights before, and the mean empty bag; its window is made as a package's is, for the
finest scale of the shop that carries it, which the label names.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fulfil.checking.package import ExpectedPackage
from fulfil.day.pack_boxes import bag_mass, window_of
from fulfil.day.scale_checks import usable_scales
from fulfil.errors import StateRefused, WeighingRefused
from fulfil.files.catalogue import read_bytes
from fulfil.files.columns import Column, code, needed_names, pieces
from fulfil.files.csv_rows import read_rows
from fulfil.files.reading import FileReading
from fulfil.orders.places import kits_of, orders_with
from fulfil.papers.repeated import part_words
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.records.equipment import BagType
from fulfil.records.finding import Finding
from fulfil.records.kit import KitPart
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import ENDED_PLACES, Owed
from fulfil.records.plan import Bag, CountMethod
from fulfil.standards import dangerous_goods
from fulfil.store.books import Books
from fulfil.store.shop import Shop

KITS = (Column("kit", "kit_number", code), Column("part", "part_number", code), Column("pieces", "pieces", pieces))


@dataclass(frozen=True)
class KitsImport:
    """What came in: new or changed kits; nothing where there are findings."""

    kits: int
    findings: tuple[Finding, ...]


def import_kits(shop: Shop, path: Path, *, at: datetime, person: str, encoding: str = "utf-8-sig") -> KitsImport:
    """Imports a CSV file of kits (``kit``, ``part``, ``pieces``, a row a part), whole or not at all.

    Kits of the file take the place of those with the same number; the others stay.

    Raises:
        FileRefused: the file can't be read, or ``encoding`` is no encoding.
    """
    rows = read_rows(read_bytes(path), path.name, needed=needed_names(KITS), optional=(), encoding=encoding)
    file = FileReading(path.name, list(rows.findings))
    with shop.writing() as books:
        known = {part.number: part for part in books.find(Part)}
        kits = {row.cells["kit"] for row in rows.rows}
        made = []
        for row in rows.rows:
            one = file.record(KitPart, KITS, row)
            if one is None or not file.is_new(row, "part", f"{one.kit_number} {one.part_number}"):
                continue
            for column, number in (("kit", one.kit_number), ("part", one.part_number)):
                if number not in known:
                    file.find(row, column, "is no part of the shop", "add it to parts.csv")
            if one.part_number in kits:
                file.find(row, "part", "is a kit itself", "name the parts that are in it")
            made.append(one)
        if file.findings:
            return KitsImport(0, tuple(file.findings))
        numbers = sorted({one.kit_number for one in made})
        used = {line.part_number for line in _open_lines(books)}
        before = kits_of(books)
        now: dict[str, list[KitPart]] = {number: [] for number in numbers}
        for one in made:
            now[one.kit_number].append(one)
        changed = [number for number in numbers if before.get(number) != _content(now[number])]
        for number in changed:
            if number in used:
                says, do = "is in orders that aren't sent yet, so it must stay as it is", "import it when they are sent"
                return KitsImport(0, (Finding(path.name, None, "kit", number, says, do),))
        books.remove(KitPart, kit_number=changed)
        books.add([one for number in changed for one in now[number]])
        if changed:
            books.journal(at=at, person=person, event="kits imported", subject="kits", particulars={"kits": changed})
    return KitsImport(len(changed), ())


def kit_label_sheets(books: Books, order_number: str) -> list[BagLabelSheet]:
    """A label for the outer bag of each kit line of an order that has bags, lines in order."""
    kits = kits_of(books)
    order = books.need(Order, order_number)
    sheets = []
    for line in books.find(OrderLine, order_number=order_number):
        bags = books.find(Bag, order_number=order_number, line_no=line.line_no)
        if line.part_number in kits and bags:
            sheets.append(_label(books, order, line, bags, kits[line.part_number]))
    return sheets


def _label(
    books: Books, order: Order, line: OrderLine, bags: Sequence[Bag], parts: Sequence[tuple[str, int]]
) -> BagLabelSheet:
    kit = books.need(Part, line.part_number)
    outer = max(books.find(BagType), key=lambda bag_type: (bag_type.usable_volume_mm3, bag_type.code))
    had = {part: sum(bag.pieces for bag in bags if bag.part_number == part) for part, _ in parts}
    kits = min(had[part] // per for part, per in parts)
    whole, scale_code = _expected(books, bags, outer)
    hazards: Iterable[str] = [word for one in books.find(Part, number=sorted(had)) for word in one.hazard_words]
    return BagLabelSheet(
        bag_code=f"Z{order.number}.{line.line_no}"[:40],
        **part_words(kit),
        pieces=kits,
        method=CountMethod.HAND if whole is None else CountMethod.WEIGH,
        target_g=None if whole is None else whole.expected_g,
        lower_g=None if whole is None else whole.lower_g,
        upper_g=None if whole is None else whole.upper_g,
        order_number=order.number,
        cart_position=bags[0].cart_position,
        stop_no=bags[-1].stop_no,
        bin_code="kit",
        walk_number=bags[0].walk_number,
        bag_type=outer.code,
        note=f"{len(bags)} bags in this one" + (f", scale {scale_code}" if scale_code else ""),
        cautions=dangerous_goods.cautions(sorted(set(hazards))),
    )


def _expected(books: Books, bags: Sequence[Bag], outer: BagType) -> tuple[ExpectedPackage | None, str]:
    """What the bag of bags should weigh and on which scale; None where no mass can be told or no scale carries it."""
    try:
        masses = [bag_mass(books, bag) for bag in bags]
    except WeighingRefused:
        return None, ""
    gross_g = sum((mass.gross_g for mass in masses), outer.tare_g)
    scales = [scale for scale in usable_scales(books) if scale.min_g <= gross_g <= scale.max_g]
    if not scales:
        return None, ""
    scale = min(scales, key=lambda scale: (scale.d_g, scale.code))
    return window_of(books, outer, masses, scale), scale.code


def set_kit(shop: Shop, number: str, parts: Sequence[tuple[str, int]], *, at: datetime, person: str) -> None:
    """Says what one kit is made of.

    Raises:
        UnknownRefused: the kit or a part is no part of the shop.
        StateRefused: the kit is in an order that isn't sent yet, or holds itself or another kit.
    """
    with shop.writing() as books:
        books.need(Part, number)
        kits = kits_of(books)
        for part, _ in parts:
            books.need(Part, part)
        if any(part == number or part in kits for part, _ in parts) or not parts:
            raise StateRefused("make the kit", number, "parts that are no kits, one or more")
        if any(line.part_number == number for line in _open_lines(books)):
            raise StateRefused("change the kit", number, "one that is in no order that waits to be sent")
        books.remove(KitPart, kit_number=number)
        books.add([KitPart(kit_number=number, part_number=part, pieces=n) for part, n in parts])
        books.journal(at=at, person=person, event="kit set", subject=number, particulars={"parts": dict(parts)})


def _content(rows: Sequence[KitPart]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted((row.part_number, row.pieces) for row in rows))


def _open_lines(books: Books) -> list[OrderLine]:
    """Lines of orders of which something is still owed."""
    numbers = orders_with(books, *(place for place in Owed if place not in ENDED_PLACES))
    return books.find(OrderLine, order_number=numbers)
