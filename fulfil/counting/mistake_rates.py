"""How often each mistake happens in this shop, from its verdicts: what the diagnosis of a bag starts from.

A count by hand or in pours says how many pieces were off; the checker's eye says that another part was in the bag. A
weight that was off says neither, so it isn't counted. Each bag counts once, by its first check; verdicts that were
undone don't count. Counted are the walks of the last thirteen weeks that had any: people, parts and benches change,
and a bag that is off waits for no reading of years.
"""

from collections import Counter
from datetime import timedelta

from fulfil.records.bench import Recount, RecountState, SentBackFor
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.store.books import Books
from fulfil.weighing.causes.learned_priors import Found, LearnedRate, learned_rates, with_rates
from fulfil.weighing.causes.mistake_priors import BAG_PRIORS, BagPriors

WEEKS = 13
"""Over how many weeks verdicts are counted, and the report of mistakes goes when nobody says from when on."""
_CHECKED = (BagState.PASSED, BagState.PACKED, BagState.RECOUNT, BagState.LOOK, BagState.STOP)
_BY_COUNT = (CountMethod.HAND, CountMethod.POUR)
_OFF = {-2: "two_short", -1: "one_short", 1: "one_over", 2: "two_over"}


def mistake_rates(books: Books) -> tuple[LearnedRate, ...]:
    """The rates that this shop's verdicts decide, with what they rest on."""
    walks = _late_walks(books)
    counts = _found_by_count(books, walks)
    states = [RecountState.OPEN, RecountState.DONE]
    looked = books.count(Recount, sent_back_for=SentBackFor.LOOK, which=1, state=states, walk_number=walks)
    checked = books.count(Bag, state=list(_CHECKED), walk_number=walks)
    counts["look_alike"] = Found(min(looked, checked), checked)
    return learned_rates(BAG_PRIORS, counts)


def shop_priors(books: Books) -> BagPriors:
    """The priors of a bag's diagnosis in this shop."""
    return with_rates(BAG_PRIORS, mistake_rates(books))


def _late_walks(books: Books) -> list[str]:
    last_day = books.greatest(WalkRecord, "day")
    if last_day is None:
        return []
    return [walk.number for walk in books.between(WalkRecord, "day", last_day - timedelta(weeks=WEEKS))]


def _found_by_count(books: Books, walks: list[str]) -> dict[str, Found]:
    slips = books.fields(
        Recount,
        ("pieces_off",),
        sent_back_for=SentBackFor.COUNT,
        which=1,
        state=[RecountState.OPEN, RecountState.DONE],
        walk_number=walks,
    )
    found = Counter(_OFF.get(off, "several_short" if off < 0 else "several_over") for (off,) in slips if off)
    # A bag that was counted though its weight would do is among the slips alone.
    counted = max(books.count(Bag, method=list(_BY_COUNT), state=list(_CHECKED), walk_number=walks), len(slips))
    names = ("one_short", "one_over", "two_short", "two_over", "several_short", "several_over")
    return {name: Found(found[name], counted) for name in names}
