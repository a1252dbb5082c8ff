"""The search for fewer boxes: exact where it says so, never worse than first fit decreasing."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.boxes.box_search import fewest_groups

KINDS = [(60.0, 40.0, 50.0), (100.0, 60.0, 90.0)]


def partitions(items):
    """All ways to part a list into groups."""
    if not items:
        yield []
        return
    first, *rest = items
    for groups in partitions(rest):
        for i, group in enumerate(groups):
            yield [*groups[:i], [first, *group], *groups[i + 1 :]]
        yield [[first], *groups]


def fits(group, items, apart):
    """Whether one kind takes the group."""
    if any(b in apart[a] for a, b in combinations(group, 2)):
        return False
    volume, load = sum(items[i][0] for i in group), sum(items[i][1] for i in group)
    length = max(items[i][2] for i in group)
    return any(volume <= kind[0] and load <= kind[1] and length <= kind[2] for kind in KINDS)


ITEM = st.tuples(st.integers(1, 100), st.integers(1, 60), st.integers(1, 90))


@given(st.lists(ITEM, min_size=1, max_size=6), st.sets(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=3))
def test_the_search_finds_the_true_minimum_of_small_orders(items, pairs):
    """By volume, load, length and pairs kept apart, against all partitions."""
    items = [item for item in items if any(all(a <= b for a, b in zip(item, kind, strict=True)) for kind in KINDS)]
    apart = [
        {b if a == i else a for a, b in pairs if i in (a, b) and a != b and max(a, b) < len(items)}
        for i in range(len(items))
    ]
    if not items:
        return

    found = fewest_groups(items, KINDS, apart)

    true = min(len(ways) for ways in partitions(list(range(len(items)))) if all(fits(g, items, apart) for g in ways))
    assert len(found.groups) == found.fewest == true
    assert sorted(i for group in found.groups for i in group) == list(range(len(items)))
    assert all(fits(list(group), items, apart) for group in found.groups)


def test_the_first_packing_is_not_always_the_best():
    """6, 6, 4, 4, 3, 3 in boxes of 13: first fit decreasing puts 6 to 6 and needs three; 6 + 4 + 3 twice fills two."""
    items = [(size, 1, 1) for size in (6, 6, 4, 4, 3, 3)]

    assert fewest_groups(items, [(13, 9, 9)], [()] * 6).groups == ((0, 2, 4), (1, 3, 5))
    assert len(fewest_groups(items, [(13, 9, 9)], [()] * 6, search_steps=0).groups) == 3


def test_out_of_steps_the_bound_is_said_instead_of_a_proof():
    """Triples that fill their boxes exactly are hard: few steps leave a gap between what was found and the bound."""
    triples = [(407, 313, 280), (431, 299, 270), (467, 281, 252), (389, 333, 278), (443, 291, 266), (419, 307, 274)]
    items = [(size, 1, 1) for size in sorted((s for triple in triples for s in triple), reverse=True)]
    found = fewest_groups(items, [(1000, 999, 9)], [()] * len(items), bound=6, search_steps=3)

    assert found.fewest == 6
    assert len(found.groups) >= 6


def test_an_order_of_six_hundred_bags_is_packed_without_a_search():
    """A real order had 593 lines: the first packing stands, every item is in one group, the bound is kept."""
    items = [(10.0 - place / 100, 1.0, 1.0) for place in range(600)]

    found = fewest_groups(items, [(100.0, 50.0, 9.0)], [()] * 600, bound=43)

    assert sorted(place for group in found.groups for place in group) == list(range(600))
    assert all(sum(items[place][0] for place in group) <= 100.0 for group in found.groups)
    assert found.fewest == 43
