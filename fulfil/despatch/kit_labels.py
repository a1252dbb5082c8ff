"""The label of a kit's outer bag: the bag that its parts' bags go into.

What it should weigh is the sum of the bags that passed, or of their unit weights before, and the mean empty bag; its
window is made as a package's is, for the finest scale of the shop that carries it, which the label names.
"""

from collections.abc import Iterable, Sequence

from fulfil.checking.package import ExpectedPackage
from fulfil.counting.scale_checks import usable_scales
from fulfil.despatch.boxes import bag_mass, packing_by_type, window_of
from fulfil.errors import WeighingRefused
from fulfil.orders.places import kits_of
from fulfil.papers.repeated import part_words
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.records.equipment import BagType
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.plan import Bag, CountMethod
from fulfil.standards import dangerous_goods
from fulfil.store.books import Books


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
    return window_of(books, packing_by_type(outer), masses, scale), scale.code
