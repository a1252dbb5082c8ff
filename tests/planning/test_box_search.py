"""The search for cheaper and fewer boxes: exact where it says so, never worse than first fit decreasing."""

from itertools import combinations
from math import inf

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.boxes.box_search import Groups, Item, Kind, cheapest_groups

KINDS = [(60.0, 40.0, 50.0), (100.0, 60.0, 90.0)]


def search(items, sizes, apart, **more) -> Groups:
    """The search over items with a length, and kinds that take a length, for nothing."""
    kinds = [Kind(volume, load, 1) for volume, load, _ in sizes]
    given = [
        Item(volume, load, tuple(0 if length <= most else inf for _, _, most in sizes))
        for volume, load, length in items
    ]
    return cheapest_groups(given, kinds, apart, **more)


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

    found = search(items, KINDS, apart)

    true = min(len(ways) for ways in partitions(list(range(len(items)))) if all(fits(g, items, apart) for g in ways))
    assert (len(found.groups), found.fewest, found.is_proven) == (true, true, True)
    assert sorted(i for group in found.groups for i in group) == list(range(len(items)))
    assert all(fits(list(group), items, apart) for group in found.groups)


def test_the_first_packing_is_not_always_the_best():
    """6, 6, 4, 4, 3, 3 in boxes of 13: first fit decreasing puts 6 to 6 and needs three; 6 + 4 + 3 twice fills two."""
    items = [(size, 1, 1) for size in (6, 6, 4, 4, 3, 3)]

    assert search(items, [(13, 9, 9)], [()] * 6).groups == ((0, 2, 4), (1, 3, 5))
    assert len(search(items, [(13, 9, 9)], [()] * 6, search_steps=0).groups) == 3


def test_out_of_steps_the_bound_is_said_instead_of_a_proof():
    """Triples that fill their boxes exactly are hard: few steps leave a gap between what was found and the bound."""
    triples = [(407, 313, 280), (431, 299, 270), (467, 281, 252), (389, 333, 278), (443, 291, 266), (419, 307, 274)]
    items = [(size, 1, 1) for size in sorted((s for triple in triples for s in triple), reverse=True)]
    found = search(items, [(1000, 999, 9)], [()] * len(items), bound=6, search_steps=3)

    assert found.fewest == 6
    assert len(found.groups) >= 6


def test_an_order_of_six_hundred_bags_is_packed_without_a_search():
    """A real order had 593 lines: the first packing stands, every item is in one group, the bound is kept."""
    items = [(10.0 - place / 100, 1.0, 1.0) for place in range(600)]

    found = search(items, [(100.0, 50.0, 9.0)], [()] * 600, bound=43)

    assert sorted(place for group in found.groups for place in group) == list(range(600))
    assert all(sum(items[place][0] for place in group) <= 100.0 for group in found.groups)
    assert found.fewest == 43


def steps(*, of, price):
    """A tariff: the price of the first load that isn't below, far more above the last."""
    return lambda load: next((one for most, one in zip(of, price, strict=True) if load <= most), 10_000)


PRICED = [
    Kind(60, 40, 100, steps(of=(10, 25, 40), price=(30, 55, 60))),
    Kind(100, 60, 250, steps(of=(10, 25, 40, 60), price=(45, 50, 70, 140))),
    Kind(150, 90, 180, steps(of=(20, 90), price=(80, 120))),
]
FLOORS = st.tuples(*[st.sampled_from([0, 0, 40, 90, inf])] * 3)
PIECE = st.builds(Item, st.integers(1, 100), st.integers(1, 60), FLOORS)


def price_of(group, items):
    """The cheapest kind that takes a group, None where none does; written out for itself."""
    volume, load = sum(items[i].volume for i in group), sum(items[i].load for i in group)
    able = []
    for place, kind in enumerate(PRICED):
        floor = sum(items[i].floors[place] for i in group)
        if volume <= kind.volume and load <= kind.load and floor <= kind.floor:
            able.append(kind.cost(load))
    return min(able) if able else None


@given(st.lists(PIECE, min_size=1, max_size=5), st.sets(st.tuples(st.integers(0, 4), st.integers(0, 4)), max_size=2))
def test_the_search_finds_the_cheapest_of_all_packings(items, pairs):
    """Up to five items in three kinds of box with prices by load, against all partitions: cost, then number."""
    items = [item for item in items if price_of([0], [item]) is not None]
    apart = [
        {b if a == i else a for a, b in pairs if i in (a, b) and a != b and max(a, b) < len(items)}
        for i in range(len(items))
    ]
    if not items:
        return

    found = cheapest_groups(items, PRICED, apart)

    ways = []
    for groups in partitions(list(range(len(items)))):
        costs = [price_of(group, items) for group in groups]
        parted = all(b not in apart[a] for group in groups for a, b in combinations(group, 2))
        if parted and None not in costs:
            ways.append((sum(costs), len(groups)))
    assert (found.cost, len(found.groups)) == min(ways)
    assert found.is_proven
    assert found.least_cost == found.cost
    assert sum(price_of(group, items) for group in found.groups) == found.cost
    assert sorted(i for group in found.groups for i in group) == list(range(len(items)))


def test_cut_short_the_bound_on_the_cost_holds():
    """One step: what is found costs no less than the bound, and isn't called proven."""
    items = [Item(20, 9, (0, 0, 0))] * 5

    found = cheapest_groups(items, PRICED, [()] * 5, search_steps=1)

    assert not found.is_proven
    assert found.least_cost <= cheapest_groups(items, PRICED, [()] * 5).cost <= found.cost
