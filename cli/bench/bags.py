"""``fulfil bags``: check bags."""

from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, Noun, command
from ..numbers import BAG, SCALE
from ..telling import told_first, yes_option

if TYPE_CHECKING:
    from fulfil.shop.told import Told


@click.group(cls=Noun)
def bags() -> None:
    """Check bags by weight, by count, by eye."""


@command(bags, "check", "fulfil bags check B2603020001 --gross 46.9")
@click.argument("code", type=BAG, metavar="BAG")
@click.option("--gross", default="", help="What the scale shows with the bag on it, in grams, digits as shown.")
@click.option("--counted", default="", help="Pieces by your own count.")
@click.option("--looks-wrong", default="", help="What you saw: another part, finish or size, or damage.")
@click.option("--scale", type=SCALE, default="", help="The scale, when it isn't the one on the label.")
def check(ask: Ask, code: str, gross: str, counted: str, looks_wrong: str, scale: str) -> Answer:
    """Says whether a bag passes, and if not, why it is likely off and what to do."""
    from fulfil.bench.check import Seen, check_bag
    from fulfil.quantities import keyed_grams, parse_pieces
    from fulfil.records.weighing import Verdict

    seen = Seen(
        gross_g=keyed_grams(gross) if gross else None,
        counted=parse_pieces(counted, least=0) if counted else None,
        looks_wrong=looks_wrong,
        scale_code=scale,
    )
    with ask.shop() as shop:
        done = check_bag(shop, code, seen, at=ask.at, person=ask.person)
    verdict = done.verdict
    lines = [f"{verdict.verdict.upper()}: bag {code} {verdict.reason}."]
    lines += [f"  {cause}" for cause in verdict.likely_causes]
    if verdict.verdict is Verdict.RECOUNT:
        lines.append(
            f"Take it back to bin {done.bag.bin_code} and count again: fulfil bench slips {done.recount_number}."
        )
    if verdict.verdict is Verdict.STOP:
        lines.append(f"Order {done.bag.order_number} is held. Put the bag aside and ask the person in charge.")
    if done.bin_lacked:
        lines.append(
            f"Bin {done.bag.bin_code} had {done.bin_lacked} fewer by the books; this bag proves them. "
            f"Count what is left: fulfil bins count {done.bag.bin_code}."
        )
    if done.order_is_checked:
        lines.append(f"Order {done.bag.order_number} is checked: fulfil packages pack {done.bag.order_number}.")
    facts = {
        "bag": done.bag.model_dump(mode="json"),
        "verdict": verdict.verdict.value,
        "reason": verdict.reason,
        "likely_causes": list(verdict.likely_causes),
        "order_is_checked": done.order_is_checked,
        "recount": done.recount_number,
        "order_is_held": done.order_is_held,
        "bin_lacked": done.bin_lacked,
    }
    return Answer(lines, facts, must_act=verdict.verdict is not Verdict.PASSED)


@command(bags, "undo", "fulfil bags undo B2603020001")
@click.argument("code", type=BAG, metavar="BAG")
def undo(ask: Ask, code: str) -> Answer:
    """Takes the last verdict on a bag back: it waits for its check again; the journal keeps both."""
    from fulfil.bench.check import undo_check

    with ask.shop() as shop, shop.writing() as books:
        bag = undo_check(books, code, at=ask.at, person=ask.person)
    return Answer([f"Bag {code} waits for its check again."], {"bag": bag.model_dump(mode="json")})


@command(bags, "show", "fulfil bags show B2603020001")
@click.argument("code", type=BAG, metavar="BAG")
def show(ask: Ask, code: str) -> Answer:
    """Shows a bag: what should be in it, its window with its risks, and what makes its weight uncertain."""
    from fulfil.counting.budgets import bag_budget, budget_lines
    from fulfil.records.plan import Bag

    with ask.shop() as shop, shop.reading() as books:
        bag = books.need(Bag, code)
        budget = bag_budget(books, bag)
    lines = [
        f"Bag {bag.code}, {bag.state}: {bag.pieces} pieces of {bag.part_number} from bin {bag.bin_code}",
        f"Order {bag.order_number}, line {bag.line_no}, walk {bag.walk_number}, position {bag.cart_position}",
    ]
    if bag.target_g is None or bag.p_pass_one_short is None or bag.p_reject is None:
        lines.append(f"Count by hand: {bag.reason}.")
    else:
        lines.append(f"Scale {bag.scale_code}: {bag.target_g} g, pass {bag.lower_g} to {bag.upper_g} g, with the bag")
        lines.append(f"One short passes {bag.p_pass_one_short:.2g}, a right bag is sent back {bag.p_reject:.2g}")
    facts = bag.model_dump(mode="json")
    if budget is not None:
        lines += budget_lines(budget)
        facts["budget"] = [
            {"term": term.name, "u_g": term.u_g, "share": budget.share(term), "shrink_by": term.remedy}
            for term in budget.terms
        ]
    return Answer(lines, facts)


@command(bags, "missing", "fulfil bags missing B2603020001")
@click.argument("code", type=BAG, metavar="BAG")
@yes_option
def missing(ask: Ask, code: str, is_agreed: bool) -> Answer:
    """Takes a bag that nobody can find out of its order, and plans its pieces again."""
    from fulfil.stock.lost_bags import bag_missing

    with ask.shop() as shop:
        day = ask.day(shop)

        def step(is_preview: bool) -> "Told":
            return bag_missing(shop, code, day=day, at=ask.at, person=ask.person, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)


@command(bags, "found", "fulfil bags found B2603020001 --pieces 40")
@click.argument("code", type=BAG, metavar="BAG")
@click.option("--pieces", type=click.IntRange(min=0), default=None, help="As counted; else as it was made.")
@yes_option
def found(ask: Ask, code: str, pieces: int | None, is_agreed: bool) -> Answer:
    """Says what becomes of a bag that turned up: one that was missed, or a twin of one that is here."""
    from fulfil.stock.lost_bags import bag_found

    with ask.shop() as shop:

        def step(is_preview: bool) -> "Told":
            return bag_found(shop, code, pieces, at=ask.at, person=ask.person, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)
