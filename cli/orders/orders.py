"""``fulfil orders``: orders in from files, phone and post; show, hold, cancel them."""

from pathlib import Path

import click

from fulfil.errors import QuantityRefused

from ..frame import FILE_IN, Answer, Ask, Noun, all_option, command, dialect, dialect_options, listed, many, table
from ..numbers import ORDER


@click.group(cls=Noun)
def orders() -> None:
    """Bring orders in, key, show, change, hold, cancel them."""


@command(orders, "import", "fulfil orders import today.csv")
@click.argument("file", type=FILE_IN)
@click.option("--from", "source", default="", help="The source whose mapping reads the file; else our own columns.")
@dialect_options
@click.option("--latin", "in_latin", is_flag=True, help="Take addresses that can't be printed in the letters offered.")
@click.option("--dry-run", "is_dry_run", is_flag=True, help="Say what would happen and change nothing.")
@click.option(
    "--rejects", type=click.Path(path_type=Path, dir_okay=False), default=None, help="Write rows not taken there."
)
def import_(
    ask: Ask,
    file: Path,
    source: str,
    encoding: str,
    delimiter: str | None,
    decimal: str | None,
    in_latin: bool,
    is_dry_run: bool,
    rejects: Path | None,
) -> Answer:
    """Imports orders from a CSV, XLSX or JSON file (- is the standard input); an order is taken whole or not at all.

    The same file twice changes nothing. An order whose number is known with other content is shown, not applied. Rows
    that aren't taken can be written to a file, corrected there and imported again.
    """
    from fulfil.orders.importing import import_orders

    with ask.shop() as shop:
        done = import_orders(
            shop,
            file,
            at=ask.at,
            person=ask.person,
            source=source,
            in_latin=in_latin,
            **dialect(encoding, delimiter, decimal),
            is_dry_run=is_dry_run,
            rejects=rejects,
        )
    would = " Nothing was changed: a dry run." if is_dry_run else ""
    lines = [f"{file}: {len(done.new)} new orders, {len(done.unchanged)} known already.{would}"]
    if done.charges or done.returns:
        lines.append(
            f"{done.charges} charges; {done.returns} lines of cancellations and returns: {done.matched_pieces} pieces "
            f"found their orders, {done.waiting_pieces} wait."
        )
    lines += [f"Note: {note}." for note in done.notes]
    if done.conflicts:
        lines += [f"{len(done.conflicts)} orders are known with other content and were not changed:"]
        lines += [f"  {conflict}" for conflict in done.conflicts]
    if done.findings:
        lines += [
            f"{many(len(done.findings), 'finding')}; the orders they are about were not taken:",
            *listed(done.findings),
        ]
    if done.refused:
        lines += ["Goods that a service refuses; look at them now, not at the packing bench:", *listed(done.refused)]
    facts = {
        "new": list(done.new),
        "refused": [finding.as_dict() for finding in done.refused],
        "unchanged": list(done.unchanged),
        "conflicts": [str(conflict) for conflict in done.conflicts],
        "findings": [finding.as_dict() for finding in done.findings],
        "charges": done.charges,
        "returns": done.returns,
        "matched_pieces": done.matched_pieces,
        "waiting_pieces": done.waiting_pieces,
        "notes": list(done.notes),
        "rejects": None if done.rejects is None else str(done.rejects),
        "dry_run": is_dry_run,
    }
    if done.rejects is not None:
        lines.append(f"Rows that were not taken: {done.rejects}; correct them there and import that file.")
    return Answer(lines, facts, must_act=bool(done.findings or done.conflicts or done.refused))


@command(orders, "list", "fulfil orders list --state held")
@click.option("--state", default="", help="Only orders in this state, such as received, held, shipped.")
@all_option
def list_(ask: Ask, state: str, is_all: bool) -> Answer:
    """Lists the orders that are open and those of the last day, with their state."""
    from fulfil.orders.listed import recent_orders
    from fulfil.records.order import Order, OrderState

    states = [one.value for one in OrderState]
    if state and state not in states:
        raise QuantityRefused("list orders in state", state, f"one of {', '.join(states)}")
    with ask.shop() as shop, shop.reading() as books:
        found = books.find(Order, state=OrderState(state)) if state else recent_orders(books, is_all=is_all)
    rows = [(order.number, order.state.value, order.country, order.service_code, order.held_reason) for order in found]
    facts = {"orders": [order.model_dump(mode="json") for order in found]}
    return Answer(table(rows, ("order", "state", "to", "service", "why")), facts)


@command(orders, "hold", 'fulfil orders hold W-1001 --reason "address unclear"')
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--reason", required=True, help="Why; it stands in the journal and on the day report.")
def hold(ask: Ask, number: str, reason: str) -> Answer:
    """Holds an order: nothing of it goes on until it is resumed."""
    from fulfil.orders.holding import hold_order

    with ask.shop() as shop:
        order = hold_order(shop, number, reason, at=ask.at, person=ask.person)
    return Answer([f"Order {number} is held: {reason}."], order.model_dump(mode="json"))


@command(orders, "resume", "fulfil orders resume W-1001")
@click.argument("number", type=ORDER, metavar="ORDER")
def resume(ask: Ask, number: str) -> Answer:
    """Lets a held order go on."""
    from fulfil.orders.holding import resume_order

    with ask.shop() as shop:
        order = resume_order(shop, number, at=ask.at, person=ask.person)
    return Answer([f"Order {number} goes on; it is {order.state}."], order.model_dump(mode="json"))


@command(orders, "cancel", 'fulfil orders cancel W-1001 --reason "customer called"')
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--reason", required=True, help="Why; it stands in the journal.")
def cancel(ask: Ask, number: str, reason: str) -> Answer:
    """Cancels what was not sent of an order; bags on a cart are pulled and put back."""
    from fulfil.orders.holding import cancel_order

    with ask.shop() as shop:
        done = cancel_order(shop, number, reason, at=ask.at, person=ask.person)
    lines = [f"Order {number} is {done.order.state}; what was promised to it is free again."]
    lines += [f"  pull bag {bag.bag_code}, {bag.pieces} pieces, back to bin {bag.bin_code}" for bag in done.pulled]
    lines += done.tells
    facts = done.order.model_dump(mode="json") | {"pulled": [bag.model_dump(mode="json") for bag in done.pulled]}
    return Answer(lines, facts, must_act=bool(done.pulled or done.tells))
