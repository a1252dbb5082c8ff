"""The text of each page, as a reader of the file finds it, against the sheet."""

from dataclasses import fields, is_dataclass
from decimal import Decimal

import pytest

from fulfil.papers.elements.number_tail import same_beginning
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.ink import Text

NOT_PRINTED = {
    "language": "metadata of the file",
    "route_map": "drawn, not written",
    "chart": "drawn, not written",
    "bars": "drawn, not written",
    "is_closed": "a frame or a caution",
    "agrees": "a sign",
    "value_minor": "printed in units of the currency",
    "unit_price_minor": "printed in units of the currency",
    "net_g": "kilograms on customs papers",
    "tare_g": "the window is gross: the scale shows bag and pieces",
    "day": "printed in words",
    "cut_off": "printed as hours and minutes",
    "method": "weights or the words count by hand",
    "supply": "a heading",
    "side": "left out where the picker's own hand is known",
    "on_your": "printed as a phrase",
    "gross_g": "kilograms above 2 kg",
    "bin_code": "on labels: the stop number finds the bin",
    "is_total": "a heavier rule",
    "is_balanced": "a frame or a caution",
    "length_mm": "printed in metres",
    "order_number": "on the pick list's rows: the cart position is the order",
    "walk_number": "on the smaller label",
}


ELSEWHERE = {
    ("cart", "service"): "the cart card",
    ("cart", "destination"): "the cart card",
    ("rows", "target_g"): "the bag label; a checker compares with the window",
    ("rows", "look_alikes", "right_mm"): "the words; drawn for the first of a bag",
    ("rows", "look_alikes", "wrong_mm"): "the words; drawn for the first of a bag",
}
"""Said by another paper of the same walk, or in words."""


def squeezed(text):
    """Text without white space."""
    return "".join(text.split())


def facts(sheet, path=()):
    """Every text, count and mass of a sheet, with the name of its field."""
    if is_dataclass(sheet):
        for field in fields(sheet):
            yield from facts(getattr(sheet, field.name), (*path, field.name))
    elif isinstance(sheet, tuple):
        for each in sheet:
            yield from facts(each, path)
    elif not NOT_PRINTED.keys() & set(path) and path not in ELSEWHERE and sheet not in (None, ""):
        yield path, sheet


def test_the_page_says_what_was_drawn_in_that_order(case):
    """The text read from each page is the text of its marks, one after the other."""
    for leaf, read in zip(case.leaves, case.texts, strict=True):
        drawn = "".join(squeezed(mark.text) for mark, _ in leaf.marks() if isinstance(mark, Text))

        if any(word in case.name for word in ("crowd", "room", "four hundred")):
            # Where numbers stand this close, the reader (PDFium) sorts some of them by place.
            assert sorted(read) == sorted(drawn)
        else:
            assert read == drawn


def test_the_paper_says_everything_of_its_sheet(case):
    """Every text, mass and count of the sheet is printed whole."""
    if "label" in case.name:
        pytest.skip("labels shorten descriptions by rule, see test_bag_label.py")
    read = "".join(case.texts)
    for path, fact in facts(case.sheets[0]):
        if path[-1] in ("to_follow", "sent_before", "cancelled", "bags", "ordered", "inside") and fact in (0, 1):
            continue
        if path[-1] == "bag_code" and "stops" in path:
            begins = same_beginning([bag.bag_code for stop in case.sheets[0].stops for bag in stop.bags])
            fact = fact.removeprefix(begins)
        text = pieces_text(fact) if isinstance(fact, int) else f"{fact:f}" if isinstance(fact, Decimal) else fact
        for word in text.split():
            assert squeezed(word) in read, (path, fact)


def said_number(sheet, bag):
    """A bag's number as its row has it: without what all bags of the list begin with."""
    return bag.bag_code.removeprefix(same_beginning([each.bag_code for stop in sheet.stops for each in stop.bags]))


def test_every_bag_of_a_pick_list_is_one_readable_row(cases):
    """In the order of the hands, on one page: bag, pieces, window, cart position; then the aim and the scale."""
    for name in ("pick_list A4", "pick_list Letter", "extreme forty bags A4", "extreme forty stops Letter"):
        case = cases[name]
        for stop in case.sheets[0].stops:
            for bag in stop.bags:
                window = f"{bag.lower_g}–{bag.upper_g}g" if bag.target_g is not None else "COUNTBYHAND"
                aim = f"withbag,aimat{bag.target_g}·{bag.scale}" if bag.target_g is not None else ""
                number = f"{bag.bag_type}{said_number(case.sheets[0], bag)}"
                start = f"{number}{pieces_text(bag.pieces)}{window}{bag.cart_position}"
                rows = [squeezed(f"{start}{aim}{bag.note}"), squeezed(f"{start}{bag.note}{aim}")]

                assert sum(any(row in text for row in rows) for text in case.texts) == 1, rows


def test_stops_come_in_walking_order_and_whole(cases):
    """Bins are printed in the order of the walk; a stop of one page's size is on one page with all its bags."""
    case = cases["pick_list A4"]
    read = "".join(case.texts)
    places = [read.rindex(stop.bin_code) for stop in case.sheets[0].stops]

    assert places == sorted(places)

    def row(bag):
        return f"{bag.bag_type}{said_number(case.sheets[0], bag)}{pieces_text(bag.pieces)}"

    for stop in case.sheets[0].stops:
        pages = {i for i, text in enumerate(case.texts) for bag in stop.bags if row(bag) in text}
        assert len(pages) == 1
        assert stop.bin_code in case.texts[pages.pop()]


def test_a_stop_of_forty_bags_says_on_each_page_which_bags_it_holds(cases):
    """A stop that no page can hold repeats its head and counts its bags through."""
    case = cases["extreme forty bags A4"]
    stop = case.sheets[0].stops[0]
    holding = [text for text in case.texts if any(squeezed(pieces_text(bag.pieces)) in text for bag in stop.bags)]

    assert len(holding) > 1
    for text in holding:
        assert stop.bin_code in text
        assert "of40atthisstop" in text


def test_an_order_of_three_hundred_lines_repeats_its_headings(cases):
    """Each page with lines carries the column headings."""
    case = cases["extreme 300 lines A4"]

    assert len(case.texts) > 5
    for text in case.texts[1:]:
        assert "orderedinside" in text
