"""How many minutes of hand counting a day's bags take, and what taring and pours leave of them.

    python -m tests.benchmarks.weighed.counting_minutes DEMO/shop.sqlite

The bags of a shop's walks are counted as they were planned, and as they would be without tared bags (every bag that is
tared or poured counted by hand instead, as before). Times are the shop's own, one person's.
"""

import sys
from pathlib import Path

from fulfil.counting.count_lines import times_set
from fulfil.records.plan import Bag, CountMethod
from fulfil.store.shop import open_shop


def main(path: Path) -> None:
    """Prints pieces and minutes, before and after, and what is left by reason."""
    with open_shop(path) as shop, shop.reading() as books:
        times = times_set(books.settings())
        bags = [bag for bag in books.find(Bag) if bag.method is not CountMethod.WEIGH]
    tared = [bag for bag in bags if bag.method.is_net]
    by_hand = [bag for bag in bags if not bag.method.is_weighed]
    before, left = sum(bag.pieces for bag in bags), sum(bag.pieces for bag in by_hand)
    tared_s = sum(times.poured_s(bag.pours, odd_pieces=bag.odd_pieces) for bag in tared)
    before_s, left_s = times.by_hand_s(before), times.by_hand_s(left)
    print(f"before: {before} pieces of {len(bags)} bags by hand, {before_s / 60:.1f} min")
    print(f"now: {left} of {len(by_hand)} by hand, {left_s / 60:.1f} min ({left_s / before_s - 1:+.0%});")
    in_all = (left_s + tared_s) / before_s - 1
    print(f"  {len(tared)} bags on the tared scale, {tared_s / 60:.1f} min; in all {in_all:+.0%}")
    reasons: dict[str, list[int]] = {}
    for bag in by_hand:
        why = "sample first" if bag.reason.startswith("sample first") else (
            "lighter than 3 e" if "lighter than" in bag.reason else
            "below the scale's Min" if "minimum load" in bag.reason else
            "by hand is quickest" if "quickest" in bag.reason else bag.reason)  # fmt: skip
        reasons.setdefault(why, []).append(bag.pieces)
    for why, pieces in sorted(reasons.items(), key=lambda one: -sum(one[1])):
        print(f"  {sum(pieces)} pieces in {len(pieces)} bags: {why}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
