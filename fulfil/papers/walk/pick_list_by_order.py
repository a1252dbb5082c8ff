"""One order a page: the pick list of a walk, taken apart for people who pick one order at a time.

Each order's pages hold its own stops and bags, in the order of the walk, under its own number and bar code, so that
they can be handed out one by one. The way between stops isn't the walk's any more: a bin's side is given as signed, not
as the picker's hand, each aisle is a heading, and there is no map.

>>> from datetime import date
>>> from decimal import Decimal
>>> from fulfil.papers.walk.pick_list_sheet import PickBag
>>> from fulfil.records.place import Side
>>> from fulfil.records.plan import CountMethod
>>> bags = tuple(PickBag(bag_code=f"B{n}", cart_position=n, order_number=f"O-{n}", pieces=50, tare_g=Decimal(3),
...                      method=CountMethod.HAND) for n in (2, 1))
>>> stop = PickStop(stop_no=1, bin_code="A04-L-07-2", aisle="4", side=Side.LEFT, section=7, level=2, bags=bags,
...                 part_number="SCR-0016", description="Cap screw M3 x 16", family="cap screw")
>>> walk = PickListSheet(document_number="W-1", shop_name="Example", day=date(2025, 3, 4), walk_number="W-1",
...                      cart_name="cart 2", length_mm=9000, stops=(stop,), risk_statement="")
>>> [(one.document_number, one.pieces, one.stops[0].turn) for one in by_order(walk)]
[('O-1', 50, 'Aisle 4'), ('O-2', 50, 'Aisle 4')]
"""

from dataclasses import replace

from fulfil.papers.walk.pick_list_sheet import PickListSheet, PickStop


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
