"""The packing bench as a machine of states: bags into their box one by one, then the weight, then the seal.

Works like :mod:`fulfil.checking.station`: a line comes in, what it means is decided here, and a *want* says what the
shop must do in one transaction. A bag goes into the box only by its scan, so that a bag of another order is refused
before it lies in it; the package is weighed when its last bag is in. Its empty box may be weighed before the first.
A bench may count its bags instead: then all of them are counted into the box, and the count is typed with the weight.

>>> package = PackageFacts(number="P-1", order_number="A-1", box_type="BOX-1", place="1 of 1",
...     bags=(BoxBag("B-1", "50 × cap screw", "46.9", is_in=True), BoxBag("B-2", "12 × bush", "30.2")),
...     expected_g=Decimal(135), lower_g=Decimal(131), upper_g=Decimal(139), d_g=Decimal(1), scale_code="PACK-1")
>>> state = PackState(person="ben", order_number="A-1", package=package)
>>> print(advance_packing(state, read_entry("135"), None).say.headline)
1 bag is not in the box yet: B-2.
>>> print(advance_packing(state, read_entry("B-2"), BagToPack("B-2", "A-1", "P-1")).want)
BoxTheBag(bag_code='B-2')
>>> counting = replace(state, package=replace(package, counts_bags=True))
>>> print(advance_packing(counting, read_entry("135 1 bag"), None).say.headline)
1 bag counted, 2 belong in: look for B-2 first.
>>> print(advance_packing(counting, read_entry("135 2 bags"), None).want)
WeighPackage(package_number='P-1', gross_g=Decimal('135'), photo_path='', bags_counted=2)
>>> print(advance_packing(state, read_entry("empty box 58"), None).want)
WeighEmpty(package_number='P-1', empty_g=Decimal('58'), reason='')
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TypeAlias

from fulfil.checking.empty_box import read_empty
from fulfil.checking.entry import SAYS, Card, Entry, EntryKind, card_code, read_entry, wrong_badge, wrong_digits
from fulfil.checking.pack_wants import (
    BoxTheBag,
    ChoosePackage,
    ForgetEmpty,
    PackWant,
    ReopenPackage,
    TakeOrder,
    UnboxTheBag,
    WeighEmpty,
    WeighPackage,
)
from fulfil.checking.saying import Say, refused, said
from fulfil.checking.wants import LetGo, SignIn, TakeWalk, Unknown
from fulfil.records.despatch.dispatch import PackageState

__all__ = ["PackState", "PackStep", "PackageFacts", "advance_packing", "packing_prompt", "read_entry", "show_package"]


@dataclass(frozen=True)
class BoxBag:
    """A bag of the package: what the packer sees of it, its mass in g as printed, whether it is in the box.

    ``weight_tells``: it needn't be scanned, since the package's weight shows when it is missing.
    """

    code: str
    looks: str
    mass_g: str
    is_in: bool = False
    weight_tells: bool = False


@dataclass(frozen=True, kw_only=True)
class PackageFacts:
    """What the bench knows of a package; bags heaviest first. ``place`` is 'n of m' of its order.

    ``counts_bags``: a count of all bags stands for the scans of those that the weight would miss; ``bags_counted`` is
    the last one, 0 where none was given. ``empty_g`` is what the empty box weighed, ``pays`` what
    its weight would show.
    """

    number: str
    order_number: str
    box_type: str
    place: str
    bags: tuple[BoxBag, ...]
    expected_g: Decimal
    lower_g: Decimal
    upper_g: Decimal
    d_g: Decimal
    scale_code: str
    fill: float = 0.0
    state: PackageState = PackageState.PLANNED
    seen: str = ""
    cautions: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    note: str = ""
    counts_bags: bool = False
    bags_counted: int = 0
    empty_g: Decimal | None = None
    pays: str = ""

    @property
    def missing(self) -> tuple[str, ...]:
        """Bags that are to be scanned into the box yet; none once all were counted."""
        if self.counts_bags and self.bags_counted == len(self.bags):
            return ()
        return tuple(bag.code for bag in self.bags if not (bag.is_in or bag.weight_tells))


@dataclass(frozen=True)
class BagToPack:
    """A bag that was scanned; ``package_number`` is empty while the order has no boxes."""

    code: str
    order_number: str
    package_number: str
    stands_against: str = ""


@dataclass(frozen=True)
class OrderToPack:
    """An order that was scanned, or the one at a scanned cart position."""

    number: str
    stands_against: str = ""


@dataclass(frozen=True)
class CartToPack:
    """The cart of a walk that was scanned: from now on positions are positions on it."""

    walk_number: str


PackFound: TypeAlias = BagToPack | OrderToPack | PackageFacts | CartToPack | Unknown | None


@dataclass(frozen=True)
class PackState:
    """What is in hand at the packing bench. ``sealed_number`` is a sealed package that was scanned, to be reopened.

    ``weighs_empty``: the next weight is the empty box's.
    """

    person: str = ""
    walk_number: str = ""
    order_number: str = ""
    package: PackageFacts | None = None
    last_bag_code: str = ""
    sealed_number: str = ""
    photo_path: str = ""
    weighs_empty: bool = False


@dataclass(frozen=True)
class PackStep:
    """The state after the line, what to say, what the shop must do first; ``leaves`` closes the bench."""

    state: PackState
    say: Say
    want: PackWant = None
    leaves: bool = False


_CHECKING = (Card.HAND_COUNT, Card.DAMAGED, Card.LOOKS_RIGHT, Card.LOOKS_WRONG, Card.PICKER)


def advance_packing(state: PackState, entry: Entry, found: PackFound) -> PackStep:
    """One line at the packing bench; ``found`` is what the shop knows about the entry's code or position."""
    if entry.kind is EntryKind.NOTHING:
        return PackStep(state, packing_prompt(state))
    if entry.kind is EntryKind.CARD and entry.card is not None:
        return _card(state, entry.card, entry.text)
    if entry.kind is EntryKind.BADGE:
        if wrong := wrong_badge(entry.text):
            return PackStep(state, refused(wrong))
        signed = replace(state, person=entry.text)
        return PackStep(signed, said(f"{entry.text} packs at this bench."), SignIn(entry.text))
    if entry.kind in (EntryKind.CODE, EntryKind.POSITION):
        return _scanned(state, found)
    return _weight(state, entry)


def packing_prompt(state: PackState) -> Say:
    """What is in hand, and what is asked for."""
    package = state.package
    if package is None:
        return said("Scan a checked order, one of its bags or its cart position.")
    missing = package.missing
    if missing and package.counts_bags:
        asks = f"Count all {len(package.bags)} bags in, close it, weigh it on {package.scale_code}. "
        asks += f"Type weight and count: {package.expected_g} {_bags(len(package.bags))}"
    elif missing:
        asks = f"{len(missing)} bag{'s' if missing[1:] else ''} to put in, heaviest first: scan each."
    else:
        asks = f"All bags are in: fill up with cushioning, close it, weigh it on {package.scale_code}."
    return said(f"Package {package.number} ({package.place}), box {package.box_type}. {asks}", show_package(package))


def show_package(package: PackageFacts) -> tuple[str, ...]:
    """A package as the packer needs it: bags heaviest first, what it must weigh, what its weight can't show."""
    bags = [f"{_mark(bag)} {bag.code}  {bag.mass_g:>9} g  {bag.looks}" for bag in package.bags]
    window = f"expect {package.expected_g} g, {package.lower_g} to {package.upper_g} g; bags fill {package.fill:.0%}"
    note = (f"note: {package.note}",) if package.note else ()
    stopped = ("STOPPED at its last weight.",) if package.state is PackageState.STOP else ()
    empty = (f"empty box {package.empty_g} g",) if package.empty_g is not None else ()
    pays = (package.pays,) if package.pays and not any(bag.is_in for bag in package.bags) else ()
    return (*bags, *pays, *empty, window, package.seen, *stopped, *note, *package.cautions, *package.findings)


def _mark(bag: BoxBag) -> str:
    return "in " if bag.is_in else "wt " if bag.weight_tells else "-- "


def _card(state: PackState, card: Card, words: str) -> PackStep:
    if card is Card.HELP:
        lines = tuple(f"{one.value:<12} {card_code(one):<14} {SAYS[one]}" for one in Card if one not in _CHECKING)
        return PackStep(state, said("Commands, typed or scanned:", lines))
    if card is Card.SHOW:
        return PackStep(state, packing_prompt(state))
    if card is Card.LEAVE:
        return PackStep(state, said("Closed; what is in hand stays in hand."), leaves=True)
    if card in _CHECKING:
        return PackStep(state, refused(f"'{card.value}' is for the check bench."))
    if card is Card.REOPEN:
        return _reopen(state, words)
    if card is Card.PHOTO:
        if state.package is None:
            return PackStep(state, refused("No package in hand for a photo."))
        if not words:
            return PackStep(state, refused("Add the photo's path: photo PATH."))
        return PackStep(replace(state, photo_path=words), said(f"Photo {words} is kept with the weight."))
    if card is Card.EMPTY_BOX:
        return _empty_box(state, words)
    if card is Card.UNDO:
        if state.weighs_empty:
            return PackStep(replace(state, weighs_empty=False), said("The empty box isn't weighed."))
        if not state.last_bag_code:
            package = state.package
            if package is not None and package.empty_g is not None and not any(bag.is_in for bag in package.bags):
                back = said(f"The empty box's {package.empty_g} g are taken back.")
                return PackStep(state, back, ForgetEmpty(package.number))
            return PackStep(state, refused("Nothing to undo: no bag was put in since the last weight."))
        out = said(f"Take bag {state.last_bag_code} out again.")
        return PackStep(replace(state, last_bag_code=""), out, UnboxTheBag(state.last_bag_code))
    if not state.order_number:
        return PackStep(state, refused("No order in hand."))
    gone = said(f"Order {state.order_number} is put aside, free for another bench.")
    return PackStep(PackState(person=state.person, walk_number=state.walk_number), gone, LetGo(state.order_number))


def _empty_box(state: PackState, words: str) -> PackStep:
    package = state.package
    if package is None:
        return PackStep(state, refused("The empty box of which package? Scan its order first."))
    if not words:
        filled = "with its cushioning, its papers and its closing strip, no bag in it"
        asks = f"Put box {package.box_type} on {package.scale_code}, {filled}; type what it shows."
        return PackStep(replace(state, weighs_empty=True), said(asks))
    read = read_empty(words)
    if read is None:
        return PackStep(state, refused(f"'{words}' is no weight.", "Type it so: empty box 128"))
    return _empty_weight(state, package, *read)


def _empty_weight(state: PackState, package: PackageFacts, empty_g: Decimal, reason: str = "") -> PackStep:
    if empty_g < 0:
        return PackStep(state, refused(f"{empty_g}: a negative weight. Set the scale to zero, weigh again."))
    if wrong := wrong_digits(empty_g, package.d_g):
        return PackStep(state, refused(wrong))
    weighed = said(f"Empty box {empty_g} g. Stick the strip on last, after the weight of the full box.")
    return PackStep(replace(state, weighs_empty=False), weighed, WeighEmpty(package.number, empty_g, reason))


def _reopen(state: PackState, reason: str) -> PackStep:
    if not state.sealed_number:
        return PackStep(state, refused("Scan the sealed package first, then reopen with a reason."))
    if not reason:
        return PackStep(state, refused("A seal is broken only for a reason: reopen REASON."))
    opened = said(f"Package {state.sealed_number} is open again; every bag is scanned anew.")
    return PackStep(replace(state, sealed_number=""), opened, ReopenPackage(state.sealed_number, reason))


def _scanned(state: PackState, found: PackFound) -> PackStep:
    if isinstance(found, Unknown) and found.stands_against:
        return PackStep(state, refused(found.stands_against, "Keep it out of every box."))
    if found is None or isinstance(found, Unknown):
        code = "" if found is None else found.code
        half = "" if found is None or not found.half_of else f"It may be half of {found.half_of}: scan again."
        return PackStep(state, refused(f"'{code}' is not a bag, order or package of this shop.", half))
    if isinstance(found, CartToPack):
        cart = said(f"The cart of walk {found.walk_number} stands here.")
        return PackStep(replace(state, walk_number=found.walk_number), cart, TakeWalk(found.walk_number))
    if isinstance(found, PackageFacts):
        return _package_scanned(state, found)
    number = found.number if isinstance(found, OrderToPack) else found.order_number
    if state.order_number not in ("", number):
        wrong = f"WRONG ORDER: {number}. Order {state.order_number} is in hand."
        return PackStep(state, refused(wrong, "Keep it out of this box."))
    if found.stands_against:
        return PackStep(state, refused(found.stands_against))
    if not state.order_number:
        bag = found.code if isinstance(found, BagToPack) else ""
        package = found.package_number if isinstance(found, BagToPack) else ""
        return PackStep(state, said(""), TakeOrder(number, bag, package))
    if isinstance(found, OrderToPack) or state.package is None:
        return PackStep(state, packing_prompt(state))
    if found.package_number != state.package.number:
        other = f"Bag {found.code} goes into package {found.package_number}, not {state.package.number}."
        return PackStep(state, refused(other, "Keep it out of this box."))
    if any(bag.code == found.code and bag.is_in for bag in state.package.bags):
        return PackStep(state, refused(f"Bag {found.code} is in the box already."))
    return PackStep(
        replace(state, last_bag_code=found.code, weighs_empty=False),
        said(f"Bag {found.code} is in."),
        BoxTheBag(found.code),
    )


def _package_scanned(state: PackState, found: PackageFacts) -> PackStep:
    if found.state is PackageState.UNDONE:
        return PackStep(
            state, refused(f"Package {found.number} is no more: its boxes were chosen anew.", "Scan a bag.")
        )
    if found.state in (PackageState.SEALED, PackageState.SHIPPED):
        if state.order_number:
            return PackStep(state, refused(f"Package {found.number} is {found.state} already."))
        how = f"Package {found.number} is {found.state}: 'reopen REASON' breaks the seal."
        return PackStep(replace(state, sealed_number=found.number), said(how))
    if not state.order_number:
        return PackStep(state, said(""), TakeOrder(found.order_number, "", found.number))
    if state.order_number != found.order_number:
        return PackStep(state, refused(f"WRONG ORDER: {found.order_number}. Order {state.order_number} is in hand."))
    if state.package is not None and state.package.number == found.number:
        return PackStep(state, packing_prompt(state))
    return PackStep(state, said(""), ChoosePackage(found.number))


def _weight(state: PackState, entry: Entry) -> PackStep:
    package = state.package
    if package is None:
        return PackStep(state, refused(f"'{entry.text}' is for no package: scan its order first."))
    if entry.kind is EntryKind.PIECES:
        return PackStep(state, refused("A package is weighed, not counted."))
    if entry.bags or entry.kind is EntryKind.BAGS:
        if off := _count_off(package, entry.bags):
            return PackStep(state, off)
        package = replace(package, bags_counted=entry.bags)
        state = replace(state, package=package)
        if entry.kind is EntryKind.BAGS:
            return PackStep(state, packing_prompt(state))
    if state.weighs_empty:
        return _empty_weight(state, package, entry.number)
    missing = package.missing
    if missing:
        several = "bags are" if missing[1:] else "bag is"
        how = f"Or count all bags: {entry.number} {_bags(len(package.bags))}." if package.counts_bags else ""
        says = f"{len(missing)} {several} not in the box yet: {', '.join(missing)}."
        return PackStep(state, refused(says, how))
    if entry.number < 0:
        return PackStep(state, refused(f"{entry.text}: a negative weight. Empty the pan, set it to zero, weigh again."))
    if wrong := wrong_digits(entry.number, package.d_g):
        return PackStep(state, refused(wrong))
    weigh = WeighPackage(package.number, entry.number, state.photo_path, package.bags_counted)
    return PackStep(replace(state, last_bag_code=""), said(""), weigh)


def _count_off(package: PackageFacts, bags: int) -> Say | None:
    """What to say of a count of bags that can't be right, or that this bench doesn't take."""
    belong = len(package.bags)
    if not package.counts_bags:
        return refused("At this bench bags are scanned, not counted.", "Open it with --count-bags to count them.")
    if bags == belong:
        return None
    if bags > belong:
        return refused(f"{_bags(bags)} counted, {belong} belong in: a bag of another order is in this box.")
    unseen = [bag.code for bag in package.bags if not (bag.is_in or bag.weight_tells)]
    first = f": look for {', '.join(unseen)} first" if unseen else ""
    return refused(f"{_bags(bags)} counted, {belong} belong in{first}.")


def _bags(count: int) -> str:
    return f"{count} bag{'' if count == 1 else 's'}"
