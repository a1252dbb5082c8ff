"""The check bench at work: each line is read, decided, and carried out in one transaction of its own.

The machine of states is :mod:`fulfil.checking.station`; here it gets its facts, and what it wants is done. What is in
hand is written with every step (:class:`~fulfil.records.bench.BenchPlace`), so that a bench that was killed opens again
with the same bag: only the reading that was on its way is lost.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal
from math import inf

from fulfil.bench.check import BagCheck, Seen, check_within, undo_check
from fulfil.bench.checkers import must_not_be_picker, note_within
from fulfil.bench.facts import WAITING, FactsOfCheck, KeptIndex, bag_against
from fulfil.bench.places import must_be_free, place_of
from fulfil.checking.entry import Entry, EntryKind, as_code
from fulfil.checking.reading import Pan, ScaleReading, Sifted, sift
from fulfil.checking.saying import OF_VERDICT, Say, refused, said
from fulfil.checking.station import CheckState, advance, prompt, read_entry
from fulfil.checking.wants import (
    BagFacts,
    CheckBag,
    LetGo,
    NotePicker,
    PassUnchecked,
    SignIn,
    SkipBag,
    TakeBag,
    TakeWalk,
    UndoCheck,
    Want,
)
from fulfil.counting.told_pours import Pour
from fulfil.errors import Refusal, StateRefused
from fulfil.records.bench import BenchKind, BenchPlace
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.weighing import Verdict
from fulfil.store.books import Books
from fulfil.store.shop import Shop

ANY_D_G = Decimal("0.1")
"""The interval by which readings are told apart while no bag says which scale it needs."""

_DO = {
    Verdict.PASSED: "",
    Verdict.RECOUNT: "Put it aside with its slip; it goes back to bin {bin}.",
    Verdict.LOOK: "Count it by hand, then type the count.",
    Verdict.STOP: "The order is held. Put the bag aside and tell the person in charge.",
}


@dataclass(frozen=True)
class Judged:
    """The last verdict of a bench: the bag as it was in hand, what was found, and what came of it."""

    bag: BagFacts
    seen: CheckBag
    check: BagCheck


@dataclass
class CheckBench:
    """One check bench of a shop; :meth:`open` before the first line.

    ``slips`` collects the numbers of recount slips to print; ``facts`` holds the session's rules and index;
    ``judged`` is the verdict that the last line gave, None after a line that gave none.
    """

    shop: Shop
    bench: str
    person: str = ""
    facts: FactsOfCheck = field(default_factory=lambda: FactsOfCheck(KeptIndex()))
    steady_run: int = 1
    is_simulated: bool = False
    state: CheckState = field(default_factory=CheckState, init=False)
    slips: list[str] = field(default_factory=list, init=False)
    judged: Judged | None = field(default=None, init=False)
    said: Say | None = field(default=None, init=False)
    """What was said of the last step that was written: known before its transaction ends."""
    kept: BenchPlace | None = field(default=None, init=False)
    """What that step wrote of what is in hand."""
    is_closed: bool = field(default=False, init=False)
    _pan: Pan = field(default_factory=Pan, init=False)
    _wanted_since_s: float = field(default=0.0, init=False)
    _clear_run: int = field(default=0, init=False)

    def open(self, *, now_s: float = 0.0) -> Say:
        """Goes on from what the bench had in hand."""
        if isinstance(self.facts.index, KeptIndex):
            self.facts.index.warm(self.shop)
        with self.shop.reading() as books:
            # The first bag of a session prepares what later ones use again; better now than under a hand.
            if (last_walk := books.greatest(WalkRecord, "number")) is not None:
                for any_bag in books.find(Bag, walk_number=last_walk)[:1]:
                    self.facts.of_code(books, any_bag.code, walk_number="", clear_run=0)
            place = place_of(books, self.bench, BenchKind.CHECK)
            bag = books.get(Bag, place.bag_code) if place.bag_code else None
            held = self.facts.of_bag(books, bag) if bag is not None else None
            last = books.get(Bag, place.last_bag_code) if place.last_bag_code else None
        if held is not None and held.stands_against:
            held = None
        self.state = CheckState(
            person=self.person or place.person,
            walk_number=place.walk_number,
            order_number=place.order_number,
            bag=held,
            last_bag_code=place.last_bag_code,
        )
        self._clear_run = place.clear_run
        self._wanted_since_s = now_s
        start = prompt(self.state)
        again = "Back at" if place.order_number else "This is"
        who = f", {self.state.person}" if self.state.person else ""
        lines = start.lines if last is None else (f"Last verdict here: bag {last.code}, {last.state}.", *start.lines)
        return said(f"{again} bench {self.bench}{who}. {start.headline}", lines)

    def enter(self, line: str, *, at: datetime, now_s: float = 0.0) -> Say:
        """One line that was typed or scanned; refusals are said, nothing is raised for them."""
        entry = read_entry(line)
        return self._enter(as_code(entry) if self.state.bag is None else entry, at, now_s)

    def weighed(self, reading: ScaleReading, *, at: datetime, sent_at_s: float) -> Say | None:
        """One reading of a scale that sends by itself; None when there is nothing to say about it."""
        bag = self.state.bag
        d_g = bag.d_g if bag is not None and bag.d_g is not None else ANY_D_G
        sifted, self._pan = sift(
            reading,
            self._pan,
            d_g=d_g,
            sent_at_s=sent_at_s,
            wanted_since_s=inf if bag is None else self._wanted_since_s,
            steady_run=self.steady_run,
        )
        if sifted is Sifted.NEGATIVE and bag is not None:
            return refused(f"{reading.mass_g} g: a negative weight. Empty the pan, set it to zero, weigh again.")
        if sifted is not Sifted.COUNTS or bag is None or self.state.gross_g is not None:
            return None
        return self._enter(Entry(EntryKind.MASS, f"{reading.mass_g} g", reading.mass_g), at, sent_at_s)

    def _enter(self, entry: Entry, at: datetime, now_s: float) -> Say:
        self.judged = None
        try:
            with self.shop.reading() as books:
                found = self._found(books, entry)
            step = advance(self.state, entry, found)  # type: ignore[arg-type]
            say = step.say
            state = step.state
            if step.want is not None:
                state, say = self._carry_out(step.want, state, say, at)
        except Refusal as refusal:
            return refused(str(refusal))
        if state.bag is not None and (self.state.bag is None or state.bag.code != self.state.bag.code):
            self._wanted_since_s = now_s
        self.state = state
        self.is_closed = step.leaves
        return say

    def _found(self, books: Books, entry: Entry) -> object:
        if entry.kind is EntryKind.POSITION:
            return self.facts.of_position(books, int(entry.number), self.state.walk_number)
        if entry.kind is EntryKind.CODE:
            return self.facts.of_code(books, entry.text, walk_number=self.state.walk_number, clear_run=self._clear_run)
        return None

    def _carry_out(self, want: Want, state: CheckState, say: Say, at: datetime) -> tuple[CheckState, Say]:
        """Does what the machine wants, in one transaction with what is then in hand."""
        with self.shop.writing() as books:
            place = place_of(books, self.bench, BenchKind.CHECK)
            clear_run, judged = place.clear_run, None
            if isinstance(want, TakeBag):
                state, say = self._take(books, place, want, state, say, at)
            elif isinstance(want, CheckBag | PassUnchecked):
                if isinstance(want, CheckBag) and place.bag_code != want.bag_code:
                    raise StateRefused(
                        "check bag", want.bag_code, "a bag in hand here; its order was freed: undo, scan"
                    )
                checked = self._check(books, place, want, at)
                if isinstance(want, CheckBag) and self.state.bag is not None:
                    judged = Judged(self.state.bag, want, checked)
                clear_run = clear_run + 1 if checked.verdict.verdict is Verdict.PASSED else 0
                state, say = _after(books, checked, state)
            else:
                say = self._small(books, place, want, say, at)
                if isinstance(want, UndoCheck):
                    clear_run = max(0, clear_run - 1)
            self.kept = _kept(place, state, clear_run)
            books.replace([self.kept])
            self.said = say
        self._clear_run, self.judged = clear_run, judged
        return state, say

    def _take(
        self, books: Books, place: BenchPlace, want: TakeBag, state: CheckState, say: Say, at: datetime
    ) -> tuple[CheckState, Say]:
        must_be_free(books, place, want.order_number)
        bag = books.need(Bag, want.bag_code) if want.bag_code else books.find(Bag, order_number=want.order_number)[0]
        walk = bag.walk_number
        must_not_be_picker(books, walk, state.person)
        if want.bag_code:
            # Looked at again inside the transaction: another bench may have been faster.
            against = bag_against(books, bag)
            if against:
                raise StateRefused("take bag", want.bag_code, f"one that waits. {against}")
        if place.order_number != want.order_number:
            particulars = {"bench": self.bench}
            books.journal(
                at=at,
                person=state.person or self.bench,
                event=Happening.ORDER_TAKEN,
                subject=want.order_number,
                particulars=particulars,
            )
        return replace(state, walk_number=walk), say

    def _check(self, books: Books, place: BenchPlace, want: CheckBag | PassUnchecked, at: datetime) -> BagCheck:
        if isinstance(want, PassUnchecked):
            must_be_free(books, place, want.order_number)
            seen = Seen(unchecked_by=want.statement)
        else:
            seen = Seen(
                gross_g=want.gross_g,
                counted=want.counted,
                looks_wrong=want.looks_wrong,
                is_damaged=want.is_damaged,
                pours=tuple(Pour(net_g) for net_g in want.pours_g),
            )
        checked = check_within(
            books,
            want.bag_code,
            seen,
            at=at,
            person=self.state.person or self.bench,
            is_simulated=self.is_simulated,
            index=self.facts.index,
        )
        if checked.recount_number:
            self.slips.append(checked.recount_number)
        return checked

    def _small(self, books: Books, place: BenchPlace, want: Want, say: Say, at: datetime) -> Say:
        """The wants that change one thing."""
        person = self.state.person or self.bench
        if isinstance(want, UndoCheck):
            must_be_free(books, place, books.need(Bag, want.bag_code).order_number)
            undone = undo_check(books, want.bag_code, at=at, person=person)
            return replace(say, lines=(f"It is of order {undone.order_number}, position {undone.cart_position}.",))
        if isinstance(want, SkipBag):
            books.journal(at=at, person=person, event=Happening.BAG_PUT_ASIDE, subject=want.bag_code)
        elif isinstance(want, NotePicker):
            note_within(books, want.walk_number, at=at, person=want.person)
        elif isinstance(want, LetGo):
            particulars = {"bench": self.bench}
            books.journal(
                at=at, person=person, event=Happening.ORDER_LET_GO, subject=want.order_number, particulars=particulars
            )
        elif isinstance(want, SignIn | TakeWalk):
            subject = self.bench if isinstance(want, SignIn) else want.walk_number
            event = Happening.SIGNED_IN if isinstance(want, SignIn) else Happening.WALK_AT_BENCH
            books.journal(
                at=at,
                person=want.person if isinstance(want, SignIn) else person,
                event=event,
                subject=subject,
                particulars={"bench": self.bench},
            )
        return say


def _kept(place: BenchPlace, state: CheckState, clear_run: int) -> BenchPlace:
    kept = {
        "person": state.person,
        "walk_number": state.walk_number,
        "order_number": state.order_number,
        "bag_code": "" if state.bag is None else state.bag.code,
        "last_bag_code": state.last_bag_code,
        "clear_run": clear_run,
    }
    return revised(place, kept)


def _after(books: Books, checked: BagCheck, state: CheckState) -> tuple[CheckState, Say]:
    """What to say after a verdict; the order is let go when none of its bags waits for a first check."""
    bag, verdict = checked.bag, checked.verdict
    others = books.find(Bag, order_number=bag.order_number)
    back = sum(other.state not in WAITING[:1] and other.state in WAITING for other in others)
    waiting = [other.code for other in others if other.state is WAITING[0]]
    lines = [*verdict.likely_causes]
    if do := _DO[verdict.verdict].format(bin=bag.bin_code):
        lines.append(do)
    if checked.recount_number:
        lines.append(f"Slip {checked.recount_number}, check {bag.checks}.")
    is_over = checked.order_is_held or not waiting
    if checked.order_is_checked:
        lines.append(f"Order {bag.order_number} is checked: on to packing.")
    elif checked.order_is_held:
        lines.append(f"Order {bag.order_number} leaves this bench.")
    elif is_over:
        lines.append(f"No bag of order {bag.order_number} waits here; {back} on the way back.")
    else:
        lines.append(f"{len(waiting)} more of order {bag.order_number}.")
    last = "" if verdict.verdict is Verdict.STOP else bag.code
    state = replace(state, bag=None, last_bag_code=last, order_number="" if is_over else bag.order_number)
    sound = OF_VERDICT[verdict.verdict]
    return state, Say(sound, f"Bag {bag.code} {verdict.reason}.", tuple(lines), verdict.verdict.upper())
