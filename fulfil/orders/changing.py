"""Change an order: its address, its service, its lines, its notes; what is allowed depends on how far it has come.

| stage | address | service | lines |
|---|---|---|---|
| no bag on paper | changed | changed | changed, planned anew |
| bags at the benches | changed | changed | whole bags are pulled, the rest is planned anew |
| boxes chosen | changed, papers printed again | boxes chosen anew | as at the benches, boxes chosen anew |
| a package sealed | the same country: labels printed again | open the package first | open the package first |
| sent in part | for what follows | for what follows | what was not sent |
| sent or cancelled whole | refused | refused | refused |

What the bench must do is said in sentences (``tells``) and printed on the pull slip. The journal names what changed,
never the address itself.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations

from fulfil.errors import StateRefused, UnknownRefused
from fulfil.orders.gates import must_owe
from fulfil.orders.moving import cancel_pieces, end_with, take_back_plan, want_more
from fulfil.orders.places import kits_of, owes
from fulfil.orders.print_check import must_print
from fulfil.orders.pulling import bags_here, pull_bags
from fulfil.orders.replacing import open_claim_again
from fulfil.orders.unpacking import reopen_within, unbox
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.plan import Bag
from fulfil.records.pulled import PulledBag
from fulfil.records.revised import revised
from fulfil.standards import iso3166
from fulfil.store.books import Books
from fulfil.store.shop import Shop

ADDRESS = ("name", "company", "street", "city", "post_code", "region", "country", "phone", "email")
AGAIN = "changed: to be planned again"
_MOST_TRIED = 12


@dataclass(frozen=True)
class Changed:
    """The order as it is now, what the bench must do, and the bags to pull."""

    order: Order
    tells: tuple[str, ...] = ()
    pulled: tuple[PulledBag, ...] = ()


def change_address(shop: Shop, number: str, given: Mapping[str, str], *, at: datetime, person: str) -> Changed:
    """Gives an order another address, or parts of one; ``given`` names fields of :data:`ADDRESS`.

    Raises:
        UnknownRefused: there is no such order, or a field is none of an address.
        CodeRefused: the country is none.
        RecordRefused: it holds letters that the papers can't print.
        StateRefused: the order is past that stage, or its service doesn't go to the new country.
    """
    with shop.writing() as books:
        order = _open_order(books, number, "change the address of order")
        for name in given:
            if name not in ADDRESS:
                raise UnknownRefused("change the address's", name, f"one of {', '.join(ADDRESS)}")
        changed = revised(order, dict(given))
        must_print(changed, given)
        iso3166.validate(changed.country)
        _reaches(books, changed)
        packages = _packages(books, order)
        sealed = [package.number for package in packages if package.state is PackageState.SEALED]
        if sealed and changed.country != order.country:
            expected = f"the same country while {', '.join(sealed)} is sealed; reopen it first"
            raise StateRefused("change the address of order", number, expected)
        tells = [
            f"Package {one.number}: print its labels and the packing list again, cover the old ones."
            for one in packages
        ]
        books.replace([changed])
        names = sorted(name for name in given if getattr(order, name) != getattr(changed, name))
        _journal(books, number, {"address": names}, at, person)
    return Changed(changed, tuple(tells))


def change_service(
    shop: Shop, number: str, service_code: str, *, at: datetime, person: str, reason: str = ""
) -> Changed:
    """Sends what is still owed of an order by another service; boxes that are chosen are chosen anew.

    A sealed package is opened for it only with a ``reason``: who agreed, and when.

    Raises:
        UnknownRefused: there is no such order or service.
        StateRefused: a package is sealed and there is no reason, nothing is owed any more, or the service doesn't go
            there.
    """
    with shop.writing() as books:
        order = _open_order(books, number, "change the service of order")
        service = books.get(Service, service_code)
        if service is None or (service.is_retired and order.service_code != service.code):
            known = ", ".join(one.code for one in books.find(Service, is_retired=False))
            raise UnknownRefused("find the service", service_code, f"one of {known}")
        changed = revised(order, {"service_code": service.code})
        _reaches(books, changed)
        for package in _packages(books, order) if reason.strip() else ():
            if package.state is PackageState.SEALED:
                reopen_within(books, package.number, f"service changed: {reason.strip()}", at=at, person=person)
        undone = unbox(books, order, "change the service of order", at=at, person=person)
        now = books.need(Order, number)
        changed = revised(now, {"service_code": service.code})
        books.replace([changed])
        particulars: dict[str, object] = {"service": [order.service_code, service_code]}
        if reason:
            particulars["reason"] = reason
        _journal(books, number, particulars, at, person)
    return Changed(changed, _unbox_tells(undone))


def change_notes(
    shop: Shop, number: str, *, at: datetime, person: str, picker: str | None = None, packer: str | None = None
) -> Changed:
    """Writes the notes for picker and packer; one for the picker of a released walk is told to the bench.

    Raises:
        StateRefused: the order has ended.
        RecordRefused: a note holds letters that the papers can't print.
    """
    with shop.writing() as books:
        order = _open_order(books, number, "change the notes of order")
        given = {"note_picker": picker, "note_packer": packer}
        update = {name: text for name, text in given.items() if text is not None}
        changed = revised(order, update)
        must_print(changed, update)
        books.replace([changed])
        tells = []
        if picker and books.count(Bag, order_number=number):
            tells.append(f"Picker, of order {number}: {changed.note_picker}")
        if packer and _packages(books, order):
            tells.append(f"Packer, of order {number}: {changed.note_packer}")
        _journal(books, number, {"notes": sorted(update)}, at, person)
    return Changed(changed, tuple(tells))


def change_lines(
    shop: Shop,
    number: str,
    pieces: Mapping[int, int],
    *,
    at: datetime,
    person: str,
    added: Sequence[tuple[str, int]] = (),
    reason: str = "",
) -> Changed:
    """Changes how many pieces of its lines an order wants (0: none any more), and adds lines at today's price.

    Raises:
        UnknownRefused: there is no such order, line or part.
        StateRefused: the order has ended, a package is sealed, or more than that was sent already.
    """
    why = reason.strip() or "the customer changed the order"
    with shop.writing() as books:
        order = _open_order(books, number, "change the lines of order")
        undone = unbox(books, order, "change the lines of order", at=at, person=person)
        take_back_plan(books, [number], at=at, person=person)
        lines = {line.line_no: line for line in books.find(OrderLine, order_number=number)}
        before = {line_no: line.pieces - line.cancelled_pieces for line_no, line in lines.items()}
        pulled: list[PulledBag] = []
        for line_no, wants in sorted(pieces.items()):
            line = books.need(OrderLine, number, line_no)
            if wants < 0:
                raise StateRefused("change the line to", wants, "0 pieces or more")
            pulled += _pull_surplus(books, order, line, wants, why, at, person)
            _resize(books, line, wants - before[line_no], why, at, person)
        for part_number, wants in added:
            part = books.need(Part, part_number)
            line_no = max(lines, default=0) + 1
            lines[line_no] = OrderLine(
                order_number=number,
                line_no=line_no,
                part_number=part.number,
                pieces=wants,
                unit_price_minor=part.price_minor,
            )
            books.add([lines[line_no]])
        _say_again(books, number)
        changed = books.need(Order, number)
        if not owes(books, number):
            changed = end_with(books, number, why)
            _say_cancelled(books, order, changed, why, at, person)
            open_claim_again(books, changed, why, at=at, person=person)
        now = {line.line_no: line.pieces - line.cancelled_pieces for line in books.find(OrderLine, order_number=number)}
        differs = {str(no): [before.get(no, 0), n] for no, n in sorted(now.items()) if before.get(no, 0) != n}
        _journal(books, number, {"lines": differs, "reason": why}, at, person)
    return Changed(changed, _unbox_tells(undone), tuple(pulled))


def _resize(books: Books, line: OrderLine, more: int, why: str, at: datetime, person: str) -> None:
    """Fewer pieces are cancelled ones, so that what was ordered stays known; more are ordered ones."""
    totals: dict[str, int] = defaultdict(int)
    for one in books.find(OwedBalance, order_number=line.order_number, line_no=line.line_no):
        totals[one.part_number] += one.pieces
    change = {
        (line.order_number, line.line_no, part): abs(more) * (n // line.pieces) for part, n in sorted(totals.items())
    }
    if more > 0:
        want_more(books, change, why, at=at, person=person)
    elif more < 0:
        for key, pieces in change.items():
            cancel_pieces(books, key, pieces, why, at=at, person=person)


def _say_cancelled(books: Books, was: Order, now: Order, why: str, at: datetime, person: str) -> None:
    """An order of which nothing is wanted any more, and nothing was sent, is cancelled as by its own step."""
    if now.state is OrderState.CANCELLED:
        particulars = {"from": was.state, "to": now.state, "reason": why}
        books.journal(
            at=at, person=person, event=Happening.ORDER_CANCELLED, subject=now.number, particulars=particulars
        )


def _say_again(books: Books, number: str) -> None:
    """Says why lines are not promised in full: they wait for the next plan."""
    waiting = {one.line_no for one in books.find(OwedBalance, order_number=number, place=[Owed.WAITING, Owed.HELD])}
    lines = books.find(OrderLine, order_number=number)
    said = {line.line_no: AGAIN if line.line_no in waiting else line.short_reason for line in lines}
    books.replace(
        revised(line, {"short_reason": said[line.line_no]}) for line in lines if said[line.line_no] != line.short_reason
    )


def _pull_surplus(
    books: Books, order: Order, line: OrderLine, wants: int, why: str, at: datetime, person: str
) -> list[PulledBag]:
    """Pulls whole bags until no more lies in bags than is wanted; of a kit all bags that are still here."""
    here = [bag for bag in bags_here(books, order) if bag.line_no == line.line_no]
    codes = {bag.code for bag in here}
    sent = [bag for bag in books.find(Bag, order_number=order.number, line_no=line.line_no) if bag.code not in codes]
    kits = kits_of(books)
    if line.part_number in kits:
        per = dict(kits[line.part_number])
        had, lies = (_pieces_by_part(some) for some in (sent, here))
        gone = max((had[part] // n for part, n in per.items()), default=0)
        surplus = here if any(pieces > per[part] * (wants - gone) for part, pieces in lies.items()) else []
    else:
        gone = sum(bag.pieces for bag in sent)
        surplus = _fewest_pieces(here, sum(bag.pieces for bag in here) + gone - wants) if wants >= gone else []
    if wants < gone:
        expected = f"at least the {gone} pieces that were sent; what comes back is a return"
        raise StateRefused(f"change line {line.line_no} of order {order.number} to", wants, expected)
    return pull_bags(books, surplus, why, at=at, person=person)


def _pieces_by_part(bags: Iterable[Bag]) -> Counter[str]:
    pieces: Counter[str] = Counter()
    for bag in bags:
        pieces[bag.part_number] += bag.pieces
    return pieces


def _fewest_pieces(bags: Sequence[Bag], surplus: int) -> list[Bag]:
    """The bags to pull: of all choices that take the surplus away, the fewest pieces, then the fewest bags."""
    if surplus <= 0:
        return []
    if len(bags) > _MOST_TRIED:
        return [*bags]
    choices: list[tuple[Bag, ...]] = [
        choice
        for count in range(1, len(bags) + 1)
        for choice in combinations(sorted(bags, key=lambda bag: bag.code), count)
        if sum(bag.pieces for bag in choice) >= surplus
    ]
    return list(min(choices, key=_pieces_and_bags))


def _pieces_and_bags(choice: Iterable[Bag]) -> tuple[int, int]:
    pieces = [bag.pieces for bag in choice]
    return sum(pieces), len(pieces)


def _open_order(books: Books, number: str, attempted: str) -> Order:
    return must_owe(books, number, attempted)


def _reaches(books: Books, order: Order) -> None:
    if not books.need(Service, order.service_code).reaches(order.country):
        raise StateRefused(
            "send order", order.number, f"a service that goes to {order.country}, not {order.service_code}"
        )


def _packages(books: Books, order: Order) -> list[Package]:
    return books.find(Package, order_number=order.number, state=list(HERE))


def _unbox_tells(undone: Sequence[str]) -> tuple[str, ...]:
    return tuple(f"Package {number}: take its bags out again; its boxes are chosen anew." for number in undone)


def _journal(books: Books, number: str, particulars: dict[str, object], at: datetime, person: str) -> None:
    books.journal(at=at, person=person, event=Happening.ORDER_CHANGED, subject=number, particulars=particulars)
