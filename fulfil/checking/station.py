"""A bench as a machine of states: a line comes in, a new state and what to say come out; nothing else happens here.

:func:`advance` decides about the check bench: what a line means now, whether it is refused, and what the shop must do
(a *want*). It never writes; whoever runs it carries the want out in one transaction and then takes the new state. A
refused line changes nothing. A bag in hand passes when everything that it needs is there, in any order: a weight or a
count, and a look where a second look is asked for.

>>> bag = BagFacts(code="B-1", order_number="A-1", walk_number="W-1", position=3, part_number="SCR-0016", pieces=50,
...     looks="cap screw · M3 x 16 · zinc", bin_code="A04-L-07-2", is_weighed=True, scale_code="BENCH-1",
...     d_g=Decimal("0.01"), lower_g=Decimal("46.67"), target_g=Decimal("47.10"), upper_g=Decimal("47.53"))
>>> scanned = advance(CheckState(person="ann"), read_entry("B-1"), bag)
>>> print(scanned.want)
TakeBag(order_number='A-1', bag_code='B-1')
>>> in_hand = CheckState(person="ann", order_number="A-1", bag=bag)
>>> print(advance(in_hand, read_entry("47.1"), None).say.headline)
Type the digits that the scale shows: 47.10, not 47.1.
>>> print(advance(in_hand, read_entry("47.10"), None).want)
CheckBag(bag_code='B-1', gross_g=Decimal('47.10'), counted=None, looks_wrong='', is_damaged=False, pours_g=())

Limits: one bag in hand at a time; the verdict itself is :mod:`fulfil.checking.bag`'s.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from fulfil.checking.entry import SAYS, Card, Entry, EntryKind, card_code, read_entry, wrong_badge, wrong_digits
from fulfil.checking.saying import Say, Sound, refused, said
from fulfil.checking.wants import (
    BagFacts,
    CheckBag,
    Found,
    LetGo,
    NotePicker,
    OrderFacts,
    PassUnchecked,
    SignIn,
    SkipBag,
    TakeBag,
    TakeWalk,
    UndoCheck,
    Unknown,
    WalkFacts,
    Want,
)

__all__ = ["BagFacts", "CheckState", "Need", "Step", "advance", "needs", "prompt", "read_entry", "show_bag"]

FAR_COUNT = 10
"""A plain number is taken for a count only up to twice the pieces and this many more: else it may be half a scan."""


@dataclass(frozen=True)
class CheckState:
    """What is in hand at the check bench. ``counts`` says that the next number is the checker's own count.

    ``pours_g`` are the lots poured so far of a bag that is checked in lots; ``gross_g`` is their sum when it is empty.
    """

    person: str = ""
    walk_number: str = ""
    order_number: str = ""
    bag: BagFacts | None = None
    gross_g: Decimal | None = None
    counted: int | None = None
    has_looked: bool = False
    counts: bool = False
    pours_g: tuple[Decimal, ...] = ()
    names_picker: bool = False
    last_bag_code: str = ""


@dataclass(frozen=True)
class Step:
    """The state after the line, what to say, and what the shop must do first; ``leaves`` closes the bench."""

    state: CheckState
    say: Say
    want: Want = None
    leaves: bool = False


def advance(state: CheckState, entry: Entry, found: Found) -> Step:
    """One line at the check bench; ``found`` is what the shop knows about the entry's code or position."""
    if entry.kind is EntryKind.NOTHING:
        return Step(state, prompt(state))
    if entry.kind is EntryKind.CARD and entry.card is not None:
        return _card(state, entry.card, entry.text)
    if entry.kind is EntryKind.BADGE:
        return _badge(state, entry.text)
    if state.names_picker:
        return Step(replace(state, names_picker=False), refused("No badge: the picker isn't noted."))
    if entry.kind in (EntryKind.CODE, EntryKind.POSITION):
        return _scanned(state, found)
    return _number(state, entry)


def prompt(state: CheckState) -> Say:
    """What is in hand, and what is asked for."""
    bag = state.bag
    if bag is None:
        if state.order_number:
            return said(f"Order {state.order_number}: scan its next bag.")
        return said("Scan a bag, a cart position, an order or a pick list.")
    return said(f"Bag {bag.code} in hand. {asks(state)}", show_bag(bag))


def show_bag(bag: BagFacts) -> tuple[str, ...]:
    """A bag as the checker needs it: what it should be, what it must not be, what it must weigh."""
    lines = [f"{bag.pieces} × {bag.looks}", f"{bag.part_number}  {bag.description}".rstrip()]
    lines.append(f"position {bag.position}, order {bag.order_number}, from bin {bag.bin_code}")
    if bag.is_weighed:
        must = f"each {bag.pieces // bag.pours} show" if bag.pours else "must show"
        lines.append(f"{must} {bag.lower_g} to {bag.upper_g} g on {bag.scale_code} (target {bag.target_g} g)")
        if bag.how:
            lines.append(bag.how)
    else:
        lines.append(f"count by hand: {bag.why_by_hand or 'no scale here proves this count'}")
    if bag.second_look:
        lines.append(f"LOOK TWICE: {'; '.join(bag.second_look)}")
    lines += [f"not {other}" for other in bag.look_alikes]
    if bag.picture:
        lines.append(f"picture: {bag.picture}")
    return (*lines, *bag.cautions)


class Need(StrEnum):
    """What a bag in hand may still lack before it has its verdict."""

    COUNT = "own count"
    WEIGHT = "weight"
    WEIGHT_TOO = "weight beside the count"
    LOOK = "look"


def needs(state: CheckState) -> tuple[Need, ...]:
    """What the bag in hand still lacks, in the order in which it is asked for."""
    bag = state.bag
    if bag is None:
        return ()
    lacks = []
    if state.counts or (not bag.is_weighed and state.counted is None):
        lacks.append(Need.COUNT)
    elif bag.is_weighed and state.gross_g is None and state.counted is None:
        lacks.append(Need.WEIGHT)
    if bag.needs_gross and state.gross_g is None and not bag.is_weighed:
        lacks.append(Need.WEIGHT_TOO)
    if bag.second_look and not state.has_looked:
        lacks.append(Need.LOOK)
    return tuple(lacks)


def asks(state: CheckState) -> str:
    """What the bag in hand still needs, as one sentence for a keyboard."""
    if state.bag is None:
        return ""
    on_scale = f"{_pour_next(state) if state.bag.pours else 'weigh it'} on {state.bag.scale_code}"
    words = {
        Need.COUNT: "type your own count",
        Need.WEIGHT: on_scale,
        Need.WEIGHT_TOO: "weigh it too (with 'g')",
        Need.LOOK: "look: 'ok' or 'no'",
    }
    sentence = ", ".join(words[need] for need in needs(state))
    return f"{sentence[:1].upper()}{sentence[1:]}."


def _pour_next(state: CheckState) -> str:
    done = len(state.pours_g)
    if not done:
        return "tare, pour the first lot"
    return f"{done} lot{'s' if done > 1 else ''} typed: tare, pour the next, or 0 when the bag is empty,"


def _card(state: CheckState, card: Card, words: str) -> Step:
    bag = state.bag
    if card is Card.HELP:
        lines = tuple(f"{one.value:<12} {card_code(one):<14} {SAYS[one]}" for one in Card if one not in _PACKING)
        return Step(state, said("Commands, typed or scanned:", lines))
    if card is Card.SHOW:
        return Step(state, prompt(state))
    if card is Card.LEAVE:
        return Step(state, said("Closed; what is in hand stays in hand."), leaves=True)
    if card in _PACKING:
        return Step(state, refused(f"'{card.value}' is for the packing bench."))
    if card is Card.PICKER:
        if not state.walk_number:
            return Step(state, refused("No walk here: scan its pick list first."))
        return Step(replace(state, names_picker=True), said("Scan the picker's badge."))
    if card is Card.UNDO:
        if bag is not None:
            return Step(replace(state, bag=None), said(f"Bag {bag.code} is put down."), SkipBag(bag.code))
        if not state.last_bag_code:
            return Step(state, refused("Nothing to undo: only the last verdict of this bench can be taken back."))
        done = said(f"Undone: bag {state.last_bag_code} waits for its check again.")
        return Step(replace(state, last_bag_code=""), done, UndoCheck(state.last_bag_code))
    if card is Card.LET_GO:
        if bag is not None:
            return Step(state, refused(_in_hand(bag)))
        if not state.order_number:
            return Step(state, refused("No order in hand."))
        gone = said(f"Order {state.order_number} is free for another bench.")
        return Step(replace(state, order_number=""), gone, LetGo(state.order_number))
    if bag is None:
        return Step(state, refused(f"No bag in hand for '{card.value}': scan one first."))
    return _bag_card(state, bag, card, words)


_PACKING = (Card.REOPEN, Card.PHOTO, Card.EMPTY_BOX)


def _bag_card(state: CheckState, bag: BagFacts, card: Card, words: str) -> Step:
    if card is Card.SKIP:
        return Step(replace(state, bag=None), said(f"Bag {bag.code} put aside; it still waits."), SkipBag(bag.code))
    if card is Card.HAND_COUNT:
        counting = replace(state, counts=True)
        return Step(counting, said(f"Count the pieces of bag {bag.code}. {asks(counting)}"))
    if card is Card.DAMAGED:
        want = CheckBag(bag.code, state.gross_g, None, "damaged pieces", is_damaged=True)
        return Step(replace(state, bag=None), said(""), want)
    if card is Card.LOOKS_WRONG:
        want = CheckBag(bag.code, state.gross_g, None, words or "not what the label says")
        return Step(replace(state, bag=None), said(""), want)
    return _when_complete(replace(state, has_looked=True), bag)


def _badge(state: CheckState, person: str) -> Step:
    if wrong := wrong_badge(person):
        return Step(state, refused(wrong))
    if state.names_picker:
        if person == state.person:
            return Step(
                replace(state, names_picker=False),
                refused(
                    f"{person} checks here: the checker is not the picker.", "Another person must check this walk."
                ),
            )
        noted = said(f"Walk {state.walk_number} was picked by {person}.")
        return Step(replace(state, names_picker=False), noted, NotePicker(state.walk_number, person))
    return Step(replace(state, person=person), said(f"{person} checks at this bench."), SignIn(person))


def _scanned(state: CheckState, found: Found) -> Step:
    if found is None or isinstance(found, Unknown):
        return Step(state, _unknown(found))
    if state.bag is not None:
        if isinstance(found, BagFacts) and found.code == state.bag.code:
            return Step(state, prompt(state))
        return Step(state, refused(_in_hand(state.bag), asks(state)))
    if found.stands_against:
        return Step(state, refused(found.stands_against))
    if isinstance(found, WalkFacts):
        if state.order_number:
            return Step(state, refused(f"Order {state.order_number} is in hand: finish it or let it go first."))
        picker = f", picked by {found.picker}" if found.picker else ""
        here = said(f"Walk {found.number}: {found.orders} orders, {found.bags} bags{picker}.")
        return Step(replace(state, walk_number=found.number), here, TakeWalk(found.number))
    number = found.order_number if isinstance(found, BagFacts) else found.number
    if state.order_number not in ("", number):
        where = (
            f"Bag {found.code} is of order {number}, position {found.position}." if isinstance(found, BagFacts) else ""
        )
        return Step(
            state,
            refused(f"Order {state.order_number} is in hand: finish it or let it go first.", where),
        )
    if isinstance(found, OrderFacts):
        lines = tuple(f"bag {code}" for code in found.waiting)
        bags = f"{len(found.waiting)} bag{'s' if found.waiting[1:] else ''}"
        taken = said(f"Order {number} at position {found.position}: {bags} to check.", lines)
        return Step(replace(state, order_number=number), taken, TakeBag(number))
    if found.passes_by:
        return Step(state, said(""), PassUnchecked(number, found.code, found.passes_by))
    in_hand = replace(state, order_number=number, bag=found, gross_g=None, counted=None, has_looked=False, counts=False)
    in_hand = replace(in_hand, pours_g=())
    return Step(in_hand, prompt(in_hand), TakeBag(number, found.code))


def _in_hand(bag: BagFacts) -> str:
    return f"Bag {bag.code} is in hand: weigh it, put it aside ('skip') or put it down ('undo') first."


def _unknown(found: Unknown | None) -> Say:
    if found is None:
        return refused("That means nothing here.")
    if found.stands_against:
        return refused(found.stands_against)
    half = f"It may be half of {found.half_of}: scan again." if found.half_of else "Scan again, or 'help'."
    return refused(f"'{found.code}' is not {found.expected} of this shop.", half)


def _number(state: CheckState, entry: Entry) -> Step:
    bag = state.bag
    if bag is None:
        return Step(state, refused(f"'{entry.text}' is for no bag: scan its label first."))
    if entry.bags:
        return Step(state, refused(f"'{entry.text}': bags are counted at the packing bench. {asks(state)}"))
    is_count = entry.kind is EntryKind.PIECES or (
        entry.kind is EntryKind.NUMBER and (state.counts or (not bag.is_weighed and state.counted is None))
    )
    if not is_count:
        return _weight(state, bag, entry)
    if entry.number < 0 or entry.number != entry.number.to_integral_value():
        return Step(state, refused(f"'{entry.text}' is no count: whole pieces."))
    pieces = int(entry.number)
    if entry.kind is EntryKind.NUMBER and pieces > 2 * bag.pieces + FAR_COUNT:
        return Step(state, refused(f"{pieces} is far from what was ordered: type #{pieces} if you counted them."))
    return _when_complete(replace(state, counted=pieces, counts=False), bag)


def _weight(state: CheckState, bag: BagFacts, entry: Entry) -> Step:
    if entry.number < 0:
        return Step(state, refused(f"{entry.text}: a negative weight. Empty the pan, set it to zero, weigh again."))
    if not bag.is_weighed and entry.kind is not EntryKind.MASS:
        return Step(state, refused(f"No weight proves bag {bag.code}; to note its mass add 'g'. {asks(state)}"))
    if bag.pours and entry.number == 0:
        if not state.pours_g:
            return Step(state, refused("Nothing was poured yet: tare the cup, pour the first lot, type what it shows."))
        return _when_complete(replace(state, gross_g=sum(state.pours_g, Decimal(0))), bag)
    if bag.is_weighed and bag.d_g is not None and (wrong := wrong_digits(entry.number, bag.d_g)):
        return Step(state, refused(wrong))
    if bag.pours:
        return _poured(replace(state, pours_g=(*state.pours_g, entry.number)), bag)
    return _when_complete(replace(state, gross_g=entry.number), bag)


def _poured(state: CheckState, bag: BagFacts) -> Step:
    """One lot more; the bag is empty when they weigh what it should, to half a piece."""
    if bag.target_g is None:
        return Step(state, Say(Sound.NONE, asks(state)))
    each_g = bag.target_g / (bag.pieces // bag.pours)
    poured_g = sum(state.pours_g, Decimal(0))
    if poured_g < (bag.pieces - Decimal("0.5")) * each_g:
        return Step(state, Say(Sound.NONE, asks(state)))
    return _when_complete(replace(state, gross_g=poured_g), bag)


def _when_complete(state: CheckState, bag: BagFacts) -> Step:
    """The verdict when nothing is missing; at once when what is there can't pass any more."""
    is_off = (
        bag.is_weighed
        and not bag.pours
        and state.gross_g is not None
        and state.counted is None
        and bag.lower_g is not None
        and bag.upper_g is not None
        and not bag.lower_g <= state.gross_g <= bag.upper_g
    ) or (state.counted is not None and state.counted != bag.pieces)
    if is_off or not needs(state):
        gross_g = None if bag.pours else state.gross_g
        want = CheckBag(bag.code, gross_g, state.counted, pours_g=state.pours_g if state.counted is None else ())
        return Step(replace(state, bag=None), said(""), want)
    return Step(state, Say(Sound.NONE, asks(state)))
