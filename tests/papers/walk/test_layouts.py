"""Other layouts of the pick list: one order a page, and large print; the same bags in both."""

from itertools import pairwise

import pytest

from fulfil.papers.door import leaves, pdf
from fulfil.papers.elements.number_tail import same_beginning
from fulfil.papers.ink import Text
from fulfil.papers.walk.layouts import layout_named
from fulfil.papers.walk.pick_list_by_order import by_order
from fulfil.papers.walk.pick_list_large import large
from fulfil.records.settings import Paper
from tests.papers import geometry, invented

MADE = ["by-order", "large"]


@pytest.mark.parametrize("page", list(Paper))
@pytest.mark.parametrize("name", ["usual", "forty bags", "forty stops", "four hundred stops"])
def test_large_print_is_sound(name, page):
    """Nothing overlaps, leaves the margins or is cut, on usual and on extreme walks."""
    sheet = invented.pick_list() if name == "usual" else invented.extremes()[name]

    geometry.assert_all(leaves([large(sheet)], page=page))


def test_large_print_is_twice_as_large():
    """Bins and pieces are at least 30 pt, windows 20 pt."""
    sheet = invented.pick_list()
    bins = {stop.bin_code for stop in sheet.stops}
    windows = {f"{bag.lower_g} – {bag.upper_g} g" for stop in sheet.stops for bag in stop.bags}
    texts = [
        mark for leaf in leaves([large(sheet)], page=Paper.A4) for mark, _ in leaf.marks() if isinstance(mark, Text)
    ]

    assert min(mark.size_pt for mark in texts if mark.text in bins) >= 30
    assert min(mark.size_pt for mark in texts if mark.text in windows) >= 20


@pytest.mark.parametrize("name", MADE)
def test_every_bag_is_on_the_paper(read_text, name):
    """Each bag's code stands on it once: whole, or by its end under what all bags of the list begin with."""
    sheet = invented.pick_list()
    lists = layout_named(name)(sheet)
    text = "".join(read_text(pdf(lists, page=Paper.A4)))
    said = 0
    for each in lists:
        codes = [bag.bag_code for stop in each.stops for bag in stop.bags]
        begins = "" if name == "large" else same_beginning(codes)
        said += len(codes)
        for code in codes:
            assert f"B2{code.removeprefix(begins)}" in text
        if begins:
            assert f"bag{begins}…" in text

    assert said == sheet.bags


def test_every_order_has_pages_of_its_own(read_text):
    """A page names one order; stops stay in walking order; each aisle is said when it begins."""
    sheet = invented.pick_list()
    orders = by_order(sheet)
    texts = read_text(pdf(orders, page=Paper.A4))

    assert len(orders) == len({bag.order_number for stop in sheet.stops for bag in stop.bags})
    assert sum(order.bags for order in orders) == sheet.bags
    for order in orders:
        assert all(a.stop_no < b.stop_no for a, b in pairwise(order.stops))
        assert all(bool(b.turn) == (a.aisle != b.aisle) for a, b in pairwise(order.stops))
        assert order.stops[0].turn
    for text in texts:
        assert sum(text.startswith(f"Picklist{order.document_number}") for order in orders) == 1


@pytest.mark.parametrize("page", list(Paper))
def test_pages_by_order_are_sound(page):
    """The same rules of geometry."""
    for order in by_order(invented.extremes()["forty bags"]) + by_order(invented.pick_list()):
        geometry.assert_all(leaves([order], page=page))
