"""How often each mistake happens in this shop, from its verdicts: what the diagnosis of a bag starts from.

A count by hand or in pours says how many pieces were off; the checker's eye says that another part was in the bag. A
weight that was off says neither, so it isn't counted. Each bag counts once, by its first check; verdicts that were
undone don't count. Counted are the last :data:`DAYS` days that had walks.
"""

from collections import Counter
from datetime import timedelta

from fulfil.records.bench import Recount, RecountState, SentBackFor
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.store.books import Books
from fulfil.weighing.causes.learned_priors import Found, LearnedRate, learned_rates, with_rates
from fulfil.weighing.causes.mistake_priors import BAG_PRIORS, BagPriors

DAYS = 7
"""Over how many days the verdicts are counted: the shop as it is now, and no more bags in an old shop than in a new."""
_CHECKED = (BagState.PASSED, BagState.PACKED, BagState.RECOUNT, BagState.LOOK, BagState.STOP)
_BY_COUNT = (CountMethod.HAND, CountMethod.POUR)
_OFF = {-2: "two_short", -1: "one_short", 1: "one_over", 2: "two_over"}


def mistake_rates(books: Books) -> tuple[LearnedRate, ...]:
    """The rates that the verdicts of this shop's last days decide, with what they rest on."""
    last_day = books.greatest(WalkRecord, "day")
    since = None if last_day is None else last_day - timedelta(days=DAYS)
    walks = [] if since is None else [walk.number for walk in books.between(WalkRecord, "day", since)]
    counts = _found_by_count(books, walks)
    states = [RecountState.OPEN, RecountState.DONE]
    looked = books.count(Recount, walk_number=walks, sent_back_for=SentBackFor.LOOK, which=1, state=states)
    checked = books.count(Bag, walk_number=walks, state=list(_CHECKED))
    counts["look_alike"] = Found(min(looked, checked), checked)
    return learned_rates(BAG_PRIORS, counts)


def shop_priors(books: Books) -> BagPriors:
    """The priors of a bag's diagnosis in this shop."""
    return with_rates(BAG_PRIORS, mistake_rates(books))


def _found_by_count(books: Books, walks: list[str]) -> dict[str, Found]:
    slips = books.fields(
        Recount,
        ("pieces_off",),
        walk_number=walks,
        sent_back_for=SentBackFor.COUNT,
        which=1,
        state=[RecountState.OPEN, RecountState.DONE],
    )
    found = Counter(_OFF.get(off, "several_short" if off < 0 else "several_over") for (off,) in slips if off)
    # A bag that was counted though its weight would do is among the slips alone.
    counted = max(books.count(Bag, walk_number=walks, method=list(_BY_COUNT), state=list(_CHECKED)), len(slips))
    names = ("one_short", "one_over", "two_short", "two_over", "several_short", "several_over")
    return {name: Found(found[name], counted) for name in names}
