"""Allocation promises each piece once, by a written rule."""

from collections import defaultdict
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.allocation import allocate_first_come
from fulfil.records.tiny import BIN, LINE, ORDER


def order(number: str, minutes: int, *, complete: bool = False):
    """The tiny order under another number, received later."""
    update = {
        "number": number,
        "received_at": ORDER.received_at + timedelta(minutes=minutes),
        "ship_complete": complete,
    }
    return ORDER.model_copy(update=update)


def line(number: str, pieces: int, *, part: str = "BALL-3", line_no: int = 1):
    """A line of that order."""
    return LINE.model_copy(update={"order_number": number, "pieces": pieces, "part_number": part, "line_no": line_no})


def a_bin(code: str, pieces: int, part: str = "BALL-3"):
    """A bin with a level."""
    return BIN.model_copy(update={"code": code, "pieces": pieces, "part_number": part})


def taken(allocated) -> list[tuple[str, str, int]]:
    """Allocations as (order, bin, pieces)."""
    return [(one.order_number, one.bin_code, one.pieces) for one in allocated.allocations]


def test_the_earlier_order_is_served_first():
    """Of 40 pieces the order received first gets its 30, the later one the 10 that are left."""
    orders = [(order("late", 5), [line("late", 30)]), (order("early", 0), [line("early", 30)])]

    allocated = allocate_first_come(orders, [a_bin("x", 40)])

    assert taken(allocated) == [("early", "x", 30), ("late", "x", 10)]
    assert allocated.short_pieces == {("late", 1): 20}


def test_orders_of_the_same_moment_go_by_number():
    """The tie rule: order number."""
    orders = [(order("B", 0), [line("B", 40)]), (order("A", 0), [line("A", 40)])]

    assert taken(allocate_first_come(orders, [a_bin("x", 40)])) == [("A", "x", 40)]


def test_a_line_takes_the_emptiest_bin_that_holds_all_of_it():
    """30 pieces come from the bin of 35, not from the one of 90: one stop, and a bin is emptied sooner."""
    allocated = allocate_first_come([(order("A", 0), [line("A", 30)])], [a_bin("x", 90), a_bin("y", 35)])

    assert taken(allocated) == [("A", "y", 30)]


def test_a_line_larger_than_any_bin_takes_the_fullest_first():
    """70 pieces from bins of 50 and 40: 50 and 20."""
    allocated = allocate_first_come([(order("A", 0), [line("A", 70)])], [a_bin("x", 40), a_bin("y", 50)])

    assert taken(allocated) == [("A", "y", 50), ("A", "x", 20)]


def test_an_order_that_wants_to_be_complete_leaves_the_pieces_to_later_ones():
    """It takes nothing while a line is short, and waits."""
    orders = [(order("A", 0, complete=True), [line("A", 50)]), (order("B", 1), [line("B", 40)])]

    allocated = allocate_first_come(orders, [a_bin("x", 40)])

    assert allocated.waiting == ("A",)
    assert taken(allocated) == [("B", "x", 40)]
    assert allocated.short_pieces == {("A", 1): 10}


@given(
    orders=st.lists(
        st.tuples(
            st.booleans(), st.lists(st.tuples(st.sampled_from("pqr"), st.integers(1, 60)), min_size=1, max_size=4)
        ),
        max_size=6,
    ),
    levels=st.lists(st.tuples(st.sampled_from("pqr"), st.integers(0, 80)), max_size=6),
)
def test_pieces_are_conserved_and_no_bin_goes_below_zero(orders, levels):
    """For every line: ordered = promised + short (or the order waits); for every bin: promised ≤ level."""
    bins = [a_bin(f"bin{place}", pieces, part) for place, (part, pieces) in enumerate(levels)]
    asked = [
        (
            order(f"o{place}", place, complete=complete),
            [line(f"o{place}", pieces, part=part, line_no=no) for no, (part, pieces) in enumerate(lines, start=1)],
        )
        for place, (complete, lines) in enumerate(orders)
    ]

    allocated = allocate_first_come(asked, bins)

    by_line: dict[tuple[str, int], int] = defaultdict(int)
    by_bin: dict[str, int] = defaultdict(int)
    for one in allocated.allocations:
        by_line[one.order_number, one.line_no] += one.pieces
        by_bin[one.bin_code] += one.pieces
    assert all(by_bin[place.code] <= place.pieces for place in bins)
    for one_order, lines in asked:
        for one in lines:
            key = (one.order_number, one.line_no)
            if one_order.number in allocated.waiting:
                assert by_line[key] == 0
            else:
                assert by_line[key] + allocated.short_pieces.get(key, 0) == one.pieces
