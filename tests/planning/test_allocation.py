"""Allocation promises each piece once, by a written rule."""

from collections import defaultdict
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.allocation import Rule, allocate
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

    allocated = allocate(orders, [a_bin("x", 40)])

    assert taken(allocated) == [("early", "x", 30), ("late", "x", 10)]
    assert allocated.short_pieces == {("late", 1): 20}


def test_orders_of_the_same_moment_go_by_number():
    """The tie rule: order number."""
    orders = [(order("B", 0), [line("B", 40)]), (order("A", 0), [line("A", 40)])]

    assert taken(allocate(orders, [a_bin("x", 40)])) == [("A", "x", 40)]


def test_a_line_takes_the_emptiest_bin_that_holds_all_of_it():
    """30 pieces come from the bin of 35, not from the one of 90: one stop, and a bin is emptied sooner."""
    allocated = allocate([(order("A", 0), [line("A", 30)])], [a_bin("x", 90), a_bin("y", 35)])

    assert taken(allocated) == [("A", "y", 30)]


def test_a_line_larger_than_any_bin_takes_the_fullest_first():
    """70 pieces from bins of 50 and 40: 50 and 20."""
    allocated = allocate([(order("A", 0), [line("A", 70)])], [a_bin("x", 40), a_bin("y", 50)])

    assert taken(allocated) == [("A", "y", 50), ("A", "x", 20)]


def test_an_order_that_wants_to_be_complete_leaves_the_pieces_to_later_ones():
    """It takes nothing while a line is short, and waits."""
    orders = [(order("A", 0, complete=True), [line("A", 50)]), (order("B", 1), [line("B", 40)])]

    allocated = allocate(orders, [a_bin("x", 40)])

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

    allocated = allocate(asked, bins)

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


def test_cut_off_first_serves_the_service_that_leaves_first():
    """The later order goes out at 14:00, the earlier one at 17:00: the later one gets the pieces."""
    early, late = order("early", 0), order("late", 5).model_copy(update={"service_code": "noon"})
    cut_offs = {"post": datetime(2026, 3, 2, 17, tzinfo=UTC), "noon": datetime(2026, 3, 2, 14, tzinfo=UTC)}
    orders = [(early, [line("early", 30)]), (late, [line("late", 30)])]

    allocated = allocate(orders, [a_bin("x", 40)], rule=Rule.CUT_OFF_FIRST, cut_offs=cut_offs)

    assert taken(allocated) == [("late", "x", 30), ("early", "x", 10)]


def test_most_complete_orders_prefers_two_small_ones():
    """Of 40 pieces the first order wants 40, two later ones 20 each: two complete orders are better than one."""
    orders = [
        (order(number, place), [line(number, n)]) for place, (number, n) in enumerate([("a", 40), ("b", 20), ("c", 20)])
    ]

    allocated = allocate(orders, [a_bin("x", 40)], rule=Rule.MOST_COMPLETE)

    assert (allocated.complete, allocated.bound) == (("b", "c"), 2)
    assert allocated.reasons == {("a", 1): "40 of 40 short: 0 were free at its turn; served before: b (20), c (20)"}


def test_every_line_that_is_short_says_why():
    """The reason names what was free at its turn and who was served before, the last three of them."""
    orders = [(order(f"o{n}", n), [line(f"o{n}", 10)]) for n in range(5)]

    reasons = allocate(orders, [a_bin("x", 44)]).reasons

    assert reasons == {
        ("o4", 1): "6 of 10 short: 4 were free at its turn; served before: o1 (10), o2 (10), o3 (10) and 1 more"
    }


def test_an_order_that_waits_says_for_which_line():
    """The line that could be had names the one that can't."""
    lines = [line("A", 5), line("A", 5, part="GEAR-12", line_no=2)]

    allocated = allocate([(order("A", 0, complete=True), lines)], [a_bin("x", 40)])

    assert allocated.reasons["A", 1] == "waits to be complete: line 2 can't be had"
    assert allocated.short_pieces == {("A", 2): 5}


def test_a_kit_is_promised_whole():
    """A kit of 4 balls and 1 gear: 9 balls and 5 gears make two kits; the third is short, and the balls stay free."""
    bins = [a_bin("x", 9), a_bin("y", 5, "GEAR-12")]
    kits = {"KIT": (("BALL-3", 4), ("GEAR-12", 1))}
    orders = [(order("A", 0), [line("A", 3, part="KIT")]), (order("B", 1), [line("B", 1)])]

    allocated = allocate(orders, bins, kits=kits)

    assert taken(allocated) == [("A", "x", 8), ("A", "y", 2), ("B", "x", 1)]
    assert allocated.short_pieces == {("A", 1): 1}
    assert allocated.reasons["A", 1].startswith("1 of 3 short: 9 of BALL-3 were free")


def test_a_bin_counted_below_its_promises_gives_nothing():
    """A free level below zero (a count found less than is promised) is nothing to promise."""
    place = BIN.model_copy(update={"pieces": -5})

    assert allocate([(order("A", 0), [line("A", 3)])], [place]).short_pieces == {("A", 1): 3}
