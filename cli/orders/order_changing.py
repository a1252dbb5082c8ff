"""``fulfil orders`` that change an order, pull its bags, combine it, answer a claim, or forget its customer."""

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fulfil.errors import QuantityRefused

from ..frame import Answer, Ask, command, folder_option, paper_after, table
from ..numbers import ORDER, PULLED, SERVICE, WALK
from ..telling import told_first, yes_option
from .orders import orders

if TYPE_CHECKING:
    from fulfil.orders.changing import Changed
    from fulfil.shop.told import Told
    from fulfil.store.shop import Shop


@command(orders, "address", 'fulfil orders address W-1001 --street "Sample Street 7" --post-code 4750 --out papers')
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--name", default=None, help="Who gets it.")
@click.option("--company", default=None, help="The company.")
@click.option("--street", default=None, help="Street and house number.")
@click.option("--city", default=None, help="Town.")
@click.option("--post-code", default=None, help="Post code.")
@click.option("--region", default=None, help="State or region.")
@click.option("--country", default=None, help="ISO 3166-1 alpha-2 code.")
@click.option("--phone", default=None, help="Telephone.")
@click.option("--email", default=None, help="E-mail.")
@folder_option
def address(ask: Ask, number: str, out: Path, **given: Any) -> Answer:
    """Changes the address of an order; what isn't given stays."""
    from fulfil.orders.changing import change_address

    with ask.shop() as shop:
        told = {name: text for name, text in given.items() if text is not None}
        done = change_address(shop, number, told, at=ask.at, person=ask.person)
        return _answer(ask, shop, done, "address changed", out)


@command(orders, "send-by", "fulfil orders send-by 1002 ROAD --reason 'customer agreed by telephone'")
@click.argument("number", type=ORDER, metavar="ORDER")
@click.argument("service_code", type=SERVICE, metavar="SERVICE")
@click.option("--reason", default="", help="Who agreed, and when: needed once a package is sealed.")
@folder_option
def send_by(ask: Ask, number: str, service_code: str, reason: str, out: Path) -> Answer:
    """Sends an order by another service; boxes that were chosen are chosen and weighed again."""
    from fulfil.orders.changing import change_service

    with ask.shop() as shop:
        done = change_service(shop, number, service_code, reason=reason, at=ask.at, person=ask.person)
        return _answer(ask, shop, done, f"goes by {service_code}", out)


@command(
    orders,
    "lines",
    "fulfil orders lines W-1001 --change-line 2:30 --change-line 3:0 --new-line BALL-3:50 --reason 'called at nine'",
    is_once=True,
)
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option(
    "--change-line", "changes", multiple=True, metavar="LINE:PIECES", help="Pieces wanted now, 0 for none; repeat."
)
@click.option("--new-line", "added", multiple=True, metavar="PART:PIECES", help="One more line; repeat.")
@click.option("--reason", default="", help="For the one who finds it tomorrow.")
@folder_option
def lines(ask: Ask, number: str, changes: tuple[str, ...], added: tuple[str, ...], reason: str, out: Path) -> Answer:
    """Changes how much an order wants; bags that are on a cart are pulled, the pull slip says which."""
    from fulfil.orders.changing import change_lines

    wants = {int(line) if line.isascii() and line.isdigit() else 0: n for line, n in map(_pair, changes)}
    with ask.shop() as shop:
        more = [*map(_pair, added)]
        done = change_lines(shop, number, wants, at=ask.at, person=ask.person, added=more, reason=reason)
        return _answer(ask, shop, done, reason or "lines changed", out)


@command(orders, "note", "fulfil orders note W-1001 --packer 'pad well'")
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--picker", default=None, help="For the picker.")
@click.option("--packer", default=None, help="For the packer.")
@folder_option
def note(ask: Ask, number: str, picker: str | None, packer: str | None, out: Path) -> Answer:
    """Writes the notes for picker and packer."""
    from fulfil.orders.changing import change_notes

    with ask.shop() as shop:
        done = change_notes(shop, number, at=ask.at, person=ask.person, picker=picker, packer=packer)
        return _answer(ask, shop, done, "note", out)


@command(orders, "put-back", "fulfil orders put-back B2603020017")
@click.argument("bag", type=PULLED, metavar="BAG")
@click.option("--pieces", type=click.IntRange(min=0), default=None, help="As counted, where it isn't what was in it.")
def put_back(ask: Ask, bag: str, pieces: int | None) -> Answer:
    """Books the pieces of a pulled bag back into their bin."""
    from fulfil.orders.pulling import put_back as book_back

    with ask.shop() as shop:
        done = book_back(shop, bag, at=ask.at, person=ask.person, pieces=pieces)
    return Answer([f"{done.put_back_pieces} pieces are back in bin {done.bin_code}."], done.model_dump(mode="json"))


@command(orders, "pulled", "fulfil orders pulled")
def pulled(ask: Ask) -> Answer:
    """Lists pulled bags whose pieces aren't back in their bins."""
    from fulfil.records.pulled import PulledBag

    with ask.shop() as shop, shop.reading() as books:
        bags = books.find(PulledBag, put_back_at=None)
    rows = [(bag.bag_code, bag.order_number, bag.part_number, bag.pieces, bag.bin_code, bag.reason) for bag in bags]
    shown = table(rows, ("bag", "order", "part", "pieces", "back to", "why")) if rows else ["None is out."]
    return Answer(shown, {"pulled": [bag.model_dump(mode="json") for bag in bags]}, must_act=bool(bags))


@command(orders, "combine", "fulfil orders combine W-1001 W-1007")
@click.argument("numbers", nargs=-1, type=ORDER, metavar="[ORDER]...")
def combine(ask: Ask, numbers: tuple[str, ...]) -> Answer:
    """Lists orders of one person and day; with numbers, puts the later ones into the first."""
    from fulfil.orders.combining import combine_orders, look_alike_orders

    with ask.shop() as shop:
        if numbers:
            taken = combine_orders(shop, numbers[0], numbers[1:], at=ask.at, person=ask.person)
            facts: dict[str, Any] = {"order": numbers[0], "lines": [line.model_dump(mode="json") for line in taken]}
            return Answer([f"Order {numbers[0]} has {len(taken)} lines now; plan again."], facts)
        with shop.reading() as books:
            found = look_alike_orders(books)
    rows = [(", ".join(one.numbers), one.name, "the same twice?" if one.is_same_twice else "") for one in found]
    shown = table(rows, ("orders", "from", "")) if rows else ["No orders look alike."]
    return Answer(shown, {"alike": [{"orders": [*one.numbers], "is_same_twice": one.is_same_twice} for one in found]})


@command(orders, "why", "fulfil orders why W-1001")
@click.argument("number", type=ORDER, metavar="ORDER")
def why(ask: Ask, number: str) -> Answer:
    """Says of every line of an order where its pieces are, and why not more of them are promised."""
    from fulfil.orders.places import places_of
    from fulfil.orders.shown import where as where_they_are
    from fulfil.records.order import Order, OrderLine
    from fulfil.records.pieces import Owed

    with ask.shop() as shop, shop.reading() as books:
        order = books.need(Order, number)
        found = books.find(OrderLine, order_number=number)
        places = places_of(books, [number])
        rule = books.settings().allocation_rule
    rows, where = [], {}
    for line in found:
        at = places[number, line.line_no]
        where[line.line_no] = {place.value: n for place in Owed if (n := at.pieces(place))}
        are = where_they_are(line, at.balances)
        rows.append((line.line_no, line.part_number, line.pieces, line.cancelled_pieces, are, line.short_reason))
    shown = [
        f"Order {number} is {order.state}. Promised by the rule: {rule}.",
        *table(rows, ("line", "part", "ordered", "cancelled", "where they are", "why not more")),
    ]
    if any(at_line.pieces(Owed.WAITING) for at_line in places.values()):
        shown.append("Pieces that wait go onto the next plan: fulfil walks plan.")
    lines_ = [line.model_dump(mode="json") | {"places": where[line.line_no]} for line in found]
    return Answer(shown, {"rule": rule, "lines": lines_})


@command(orders, "evidence", "fulfil orders evidence W-1001 --line 2 --out papers")
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--line", "line_no", type=click.IntRange(min=1), default=None, help="Only this line.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print it there, to send.")
def evidence(ask: Ask, number: str, line_no: int | None, out: Path | None) -> Answer:
    """Shows how each bag of an order was counted, weighed and checked, and how sure its count is."""
    from fulfil.despatch.claims import evidence_of
    from fulfil.despatch.desk.evidence_paper import evidence_facts, evidence_sheet, package_fact, probability
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        with shop.reading() as books:
            found = evidence_of(books, number, line_no)
            zone = books.settings().time_zone
        written: list[Path] = []
        if out is not None:
            written = print_papers(shop, out, lambda books: evidence_sheet(books, found, day=ask.day(shop)))
    shown = []
    for one in found.bags:
        bag, sure = one.bag, probability(one.p_right)
        right = f"; count right: {sure}" if sure else ""
        shown.append(f"Bag {bag.code}, line {bag.line_no}: {bag.pieces} of {bag.part_number}, {bag.state}{right}")
        shown += [f"  {fact}" for fact in evidence_facts(one, zone)]
    packages = {one.package.number: package_fact(one) for one in found.bags if one.package is not None}
    shown += [packages[code] for code in sorted(packages)] or ["Nothing was packed yet."]
    shown += [f"to print: {path}" for path in written]
    facts = {
        "order": number,
        "bags": [
            {
                "bag": one.bag.model_dump(mode="json"),
                "weighings": [weighing.model_dump(mode="json") for weighing in one.weighings],
                "checker": one.checker,
                "p_right": one.p_right,
                "package": None if one.package is None else one.package.model_dump(mode="json"),
            }
            for one in found.bags
        ],
        "claims": [claim.model_dump(mode="json") for claim in found.claims],
        "papers": [str(path) for path in written],
    }
    return Answer(shown, facts)


@command(orders, "forget", "fulfil orders forget --older-than-days 730 --papers papers", has_dry_run=True)
@click.option("--older-than-days", type=click.IntRange(1, 36_500), required=True, help="Received longer ago than this.")
@click.option(
    "--papers",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="Remove fulfil's own PDF files in this folder that are as old, too.",
)
def forget(ask: Ask, older_than_days: int, papers: Path | None) -> Answer:
    """Removes names, addresses and what was typed about orders that ended long ago; what was sent stays counted."""
    from fulfil.despatch.desk.forgetting import forget_customers
    from fulfil.papers.marked import remove_older
    from fulfil.store.safe.copies import backups_of

    before = ask.at - timedelta(days=older_than_days)
    with ask.shop() as shop:
        done = forget_customers(shop, before, at=ask.at, person=ask.person)
    removed = [] if papers is None else remove_older(papers, before, is_dry_run=bool(ask.copied_from))
    where = ask.copied_from or ask.where
    backups = [] if "://" in where else backups_of(Path(where))
    shown = [f"{len(done.orders)} orders no longer say whose they were."]
    if done.still_open:
        shown.append(f"{len(done.still_open)} old orders still owe pieces and were kept: {', '.join(done.still_open)}.")
    if not done.is_cleared:
        shown.append("Old pages of the database may still hold them, since others are at work: do it again tonight.")
    shown += [f"removed {path}" for path in removed]
    if backups:
        listed_ = ", ".join(map(str, backups))
        shown.append(f"Backups made before hold them still, remove these when you can: {listed_}.")
    shown += [f"Look whether this picture shows an address, and remove it: {path}" for path in done.photos]
    shown.append("Copies elsewhere, exported files and paper in folders are yours to remove.")
    facts = {
        "orders": [*done.orders],
        "still_open": [*done.still_open],
        "is_cleared": done.is_cleared,
        "removed": [str(path) for path in removed],
        "backups": [str(path) for path in backups],
        "photos": [*done.photos],
    }
    return Answer(shown, facts, must_act=not done.is_cleared)


def _answer(ask: Ask, shop: "Shop", done: "Changed", reason: str, out: Path) -> Answer:
    """What changed, what the bench must do, and the slip that tells it."""
    from fulfil.despatch.order_papers import pull_slip_sheets
    from fulfil.shop.printing import print_papers

    number, day = done.order.number, ask.day(shop)
    written, lacks = paper_after(
        lambda: print_papers(
            shop, out, lambda books: pull_slip_sheets(books, number, reason, done.tells, done.pulled, day=day)
        ),
        f"fulfil papers show X{number} --out pull-slip.png",
    )
    shown = [f"Order {number} is changed; it is {done.order.state}.", *[f"  {text}" for text in done.tells]]
    shown += [f"  pull bag {bag.bag_code}, {bag.pieces} pieces, back to bin {bag.bin_code}" for bag in done.pulled]
    shown += [*[f"to print: {path}" for path in written], *lacks]
    facts = {
        "order": done.order.model_dump(mode="json"),
        "tells": [*done.tells],
        "pulled": [bag.model_dump(mode="json") for bag in done.pulled],
        "papers": [str(path) for path in written],
    }
    return Answer(shown, facts, must_act=bool(done.tells or done.pulled), not_printed=bool(lacks))


def _pair(text: str) -> tuple[str, int]:
    from fulfil.quantities import parse_pieces

    name, colon, pieces = text.rpartition(":")
    if not colon or not name:
        raise QuantityRefused("read", text, "NAME:PIECES, such as 2:30 or BALL-3:50")
    return name, parse_pieces(pieces, least=0)


@command(orders, "rush", "fulfil orders rush W-1001 --onto W2603020004")
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--onto", type=WALK, default="", metavar="WALK", help="A walk that has not left yet; else its own.")
@yes_option
def rush(ask: Ask, number: str, onto: str, is_agreed: bool) -> Answer:
    """Plans an order that must go now: onto a walk of its own, or onto one that has not left yet."""
    from fulfil.walks.rush import rush_order

    with ask.shop() as shop:
        day = ask.day(shop)

        def step(is_preview: bool) -> "Told":
            return rush_order(shop, number, day=day, at=ask.at, person=ask.person, onto=onto, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)
