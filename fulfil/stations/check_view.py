"""What the check bench's page shows: one bag, what it should be, what it still needs, or the verdict on the last one.

Of a bag that is counted by hand the page hides how many pieces were ordered until the own count is in: who knows the
number counts to it.
"""

from dataclasses import dataclass, field
from decimal import Decimal

from markupsafe import Markup

from fulfil.bench.check_station import CheckBench, Judged
from fulfil.bench.facts import WAITING
from fulfil.checking.saying import Say, Sound
from fulfil.checking.station import CheckState, Need, asks, needs, prompt
from fulfil.checking.wants import BagFacts
from fulfil.orders.listed import recent_walks
from fulfil.records.part import Part
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import Verdict
from fulfil.stations import svg
from fulfil.store.books import Books

_ASKS = {
    Need.COUNT: "Count the pieces, then key your own count.",
    Need.WEIGHT: "Put the bag on scale {scale} and key what it shows.",
    Need.WEIGHT_TOO: "Weigh it too, on any scale, and key the weight with g.",
    Need.LOOK: "Look at a piece: is it what stands here?",
}
_MARKS = {
    BagState.PLANNED: ("todo", "waits"),
    BagState.LOOK: ("back", "to be counted by hand"),
    BagState.RECOUNT: ("back", "sent back"),
    BagState.STOP: ("back", "stopped"),
    BagState.PASSED: ("done", "passed"),
    BagState.PACKED: ("done", "packed"),
}


@dataclass(frozen=True)
class BagMark:
    """A bag of the order in hand as a small mark; ``can_take`` where touching it takes it in hand."""

    code: str
    shape: str
    says: str
    is_here: bool
    can_take: bool


@dataclass(frozen=True)
class Choice:
    """Something to take in hand by touch: what is entered, and how it reads."""

    line: str
    says: str


@dataclass(frozen=True)
class Shown:
    """The verdict or refusal at the top; ``next`` is the one thing to do now."""

    kind: str
    word: str
    says: str
    next: str
    lines: tuple[str, ...] = ()
    gauge: Markup = field(default_factory=Markup)
    shape: Markup = field(default_factory=Markup)


@dataclass(frozen=True)
class CheckView:
    """The page; ``hides_pieces`` while the own count is not in."""

    bag: BagFacts | None
    shown: Shown | None
    asks: tuple[str, ...]
    needs: frozenset[str]
    hides_pieces: bool
    gauge: Markup
    ruler: Markup
    order_number: str
    position: int
    marks: tuple[BagMark, ...]
    choices: tuple[Choice, ...]
    can_undo: bool
    has_picture: bool
    sound: str


def check_view(books: Books, bench: CheckBench, say: Say, judged: Judged | None) -> CheckView:
    """The page of a bench after what it said last."""
    state = bench.state
    bag = state.bag
    lacks = needs(state)
    part = books.get(Part, bag.part_number) if bag is not None else None
    is_weighed = bag is not None and bag.lower_g is not None and bag.upper_g is not None and not state.counts
    marks, position = _marks(books, state.order_number, bag)
    return CheckView(
        bag=bag,
        shown=_shown(say, judged, state),
        asks=tuple(_asked(need, state) for need in lacks),
        needs=frozenset(need.name.lower() for need in lacks),
        hides_pieces=bag is not None and state.counted is None and (state.counts or not bag.is_weighed),
        gauge=svg.gauge(bag.lower_g, bag.target_g, bag.upper_g, state.gross_g)
        if is_weighed and bag is not None and bag.lower_g is not None and bag.upper_g is not None and not bag.pours
        else Markup(),
        ruler=svg.ruler(part.longest_mm) if part is not None else Markup(),
        order_number=state.order_number,
        position=position,
        marks=marks,
        choices=() if state.order_number else _choices(books, state.walk_number),
        can_undo=bag is not None or bool(state.last_bag_code),
        has_picture=part is not None and bool(part.photo_path),
        sound=say.sound.value,
    )


def _asked(need: Need, state: CheckState) -> str:
    """What the page asks for; of a bag that is poured into a tared cup lot by lot, the next lot."""
    bag = state.bag
    if bag is not None and need is Need.WEIGHT and bag.pours:
        done = len(state.pours_g)
        if not done:
            return f"Tare the cup on {bag.scale_code}, pour the first lot, type what it shows."
        lots = f"{done} lot{'s' if done > 1 else ''}"
        return f"{lots} typed. Tare, pour the next lot on {bag.scale_code}; 0 when the bag is empty."
    return _ASKS[need].format(scale=bag.scale_code if bag else "")


def _shown(say: Say, judged: Judged | None, state: CheckState) -> Shown | None:
    """What was said last; what the page asks for anyway is not said twice."""
    if judged is not None:
        return _verdict(say, judged)
    if say.sound is Sound.REFUSED:
        left = [line for line in say.lines if line != asks(state)]
        return Shown("refused", "NOT TAKEN", say.headline, " ".join(left), shape=svg.sign("refused"))
    if (state.bag is not None and not say.big) or not say.headline:
        return None
    lines = tuple(line for line in say.lines if not line.startswith("bag "))
    start = prompt(state).headline
    headline = say.headline if say.headline == start else say.headline.removesuffix(start).strip()
    if not lines and (headline == start or headline.startswith("This is bench ")):
        return None
    return Shown(say.sound.value, say.big, headline, "", lines, shape=svg.sign(say.sound.value))


def _verdict(say: Say, judged: Judged) -> Shown:
    causes = len(judged.check.verdict.likely_causes)
    following = say.lines[causes:]
    seen, bag = judged.seen, judged.bag
    drawn = Markup()
    if seen.gross_g is not None and seen.counted is None and bag.lower_g is not None and bag.upper_g is not None:
        drawn = svg.gauge(bag.lower_g, bag.target_g, bag.upper_g, _shown_as(seen.gross_g, bag))
    kind = judged.check.verdict.verdict.value
    return Shown(
        kind,
        say.big,
        say.headline,
        following[0] if following else "",
        (*say.lines[:causes], *following[1:]),
        drawn,
        svg.sign(kind if judged.check.verdict.verdict in Verdict else "none"),
    )


def _shown_as(gross_g: Decimal, bag: BagFacts) -> Decimal:
    return gross_g if bag.lower_g is None else gross_g.quantize(bag.lower_g)


def _marks(books: Books, order_number: str, here: BagFacts | None) -> tuple[tuple[BagMark, ...], int]:
    """The bags of the order in hand in their order along the walk, and its position on the cart."""
    if not order_number:
        return (), 0
    bags = sorted(books.find(Bag, order_number=order_number), key=lambda bag: (bag.stop_no, bag.code))
    marks = tuple(
        BagMark(
            bag.code,
            *_MARKS[bag.state],
            is_here=here is not None and bag.code == here.code,
            can_take=here is None and bag.state in WAITING,
        )
        for bag in bags
    )
    return marks, bags[0].cart_position if bags else 0


def _choices(books: Books, walk_number: str) -> tuple[Choice, ...]:
    """What can be taken in hand: positions of the cart that stands here, else carts, each with what waits on it."""
    if walk_number:
        bags = [bag for bag in books.find(Bag, walk_number=walk_number) if bag.state in WAITING]
        positions = sorted({bag.cart_position for bag in bags})
        if positions:
            counts = {one: sum(bag.cart_position == one for bag in bags) for one in positions}
            return tuple(Choice(f"pos {one}", f"Position {one}: {_many(counts[one])}") for one in positions)
    walks = [walk.number for walk in recent_walks(books) if walk.released_at is not None]
    waiting: dict[str, int] = {}
    for number, state in books.fields(Bag, ("walk_number", "state"), walk_number=walks) if walks else ():
        waiting[number] = waiting.get(number, 0) + (state in WAITING)
    return tuple(Choice(one, f"Cart of walk {one}: {_many(n)}") for one, n in sorted(waiting.items()) if n)


def _many(count: int) -> str:
    return f"{count} bag{'' if count == 1 else 's'}"
