"""One order a page: the pick list of a walk, taken apart for people who pick one order at a time.

Each order's pages hold its own stops and bags, in the order of the walk, under its own number and bar code, so that
they can be handed out one by one. The way between stops isn't the walk's any more: a bin's side is given as signed, not
as the picker's hand, each aisle is a heading, and there is no map.

>>> from fulfil.papers.samples.walk import pick_list as sample
>>> [one.document_number for one in by_order(sample(8))][:3]
['O-1002', 'O-1003', 'O-1005']
>>> sum(one.pieces for one in by_order(sample(8))) == sample(8).pieces
True
"""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.document import document_pdf
from fulfil.papers.render import Leaf
from fulfil.papers.walk import pick_list
from fulfil.records.settings import Paper
from fulfil.records.sheets.pick_list import PickListSheet, PickStop


def pdf(sheets: Sequence[PickListSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """All orders of the walks in one file, each beginning on a page of its own.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    orders = [order for sheet in sheets for order in by_order(sheet)]
    return document_pdf(orders, pick_list.leaves, title=pick_list.TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: PickListSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of all orders of a walk, each with its own count."""
    return [leaf for order in by_order(sheet) for leaf in pick_list.leaves(order, page=page, printer_dpi=printer_dpi)]


def by_order(sheet: PickListSheet) -> list[PickListSheet]:
    """One sheet an order, by cart position."""
    at = {bag.order_number: bag.cart_position for stop in sheet.stops for bag in stop.bags}
    return [_of_order(sheet, number) for number in sorted(at, key=lambda number: (at[number], number))]


def _of_order(sheet: PickListSheet, number: str) -> PickListSheet:
    stops: list[PickStop] = []
    for stop in sheet.stops:
        bags = tuple(bag for bag in stop.bags if bag.order_number == number)
        if bags:
            is_same_aisle = bool(stops) and stops[-1].aisle == stop.aisle
            turn = "" if is_same_aisle else f"{stop.way_word.capitalize()} {stop.aisle}"
            stops.append(replace(stop, bags=bags, turn=turn, on_your=None))
    return replace(
        sheet,
        document_number=number,
        cart=tuple(each for each in sheet.cart if each.order_number == number),
        stops=tuple(stops),
        route_map=None,
        length_mm=0,
        bound_statement="",
    )
