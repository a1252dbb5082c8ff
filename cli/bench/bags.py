"""``fulfil bags``: check bags."""

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, Noun, command
from ..numbers import BAG, SCALE
from ..telling import told_first, yes_option

if TYPE_CHECKING:
    from fulfil.records.plan import Bag
    from fulfil.shop.told import Told


@click.group(cls=Noun)
def bags() -> None:
    """Check bags by weight, by count, by eye."""


@command(bags, "check", "fulfil bags check B2603020001 --gross 46.9", is_once=True)
@click.argument("code", type=BAG, metavar="BAG")
@click.option(
    "--gross", default="", help="What the scale shows, in grams, digits as shown: with the bag on it, or net."
)
@click.option(
    "--pour",
    "pours",
    multiple=True,
    help="Of a bag poured out in lots: what the tared scale shows for each; PIECES:GRAMS if you counted it by hand.",
)
@click.option("--counted", default="", help="Pieces by your own count.")
@click.option("--looks-wrong", default="", help="What you saw: another part, finish or size, or damage.")
@click.option("--scale", type=SCALE, default="", help="The scale, when it isn't the one on the label.")
def check(
    ask: Ask, code: str, gross: str, pours: tuple[str, ...], counted: str, looks_wrong: str, scale: str
) -> Answer:
    """Says whether a bag passes, and if not, why it is likely off and what to do."""
    from fulfil.bench.check import Seen, check_bag
    from fulfil.counting.told_pours import read_pour
    from fulfil.quantities import keyed_grams, parse_pieces
    from fulfil.records.weighing import Verdict

    seen = Seen(
        gross_g=keyed_grams(gross) if gross else None,
        counted=parse_pieces(counted, least=0) if counted else None,
        looks_wrong=looks_wrong,
        scale_code=scale,
        pours=tuple(read_pour(pour) for pour in pours),
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


@command(bags, "acted-on", "fulfil bags acted-on BAG-S --reason 'ten empty bags weighed, tare set'")
@click.argument("bag_type", metavar="BAG-TYPE")
@click.option("--reason", required=True, help="What was done about it; kept.")
def acted_on(ask: Ask, bag_type: str, reason: str) -> Answer:
    """Says what was done about bags that weighed otherwise than their type: their alarm ends, they teach again."""
    from fulfil.counting.goods_alarms import act_on_goods
    from fulfil.records.equipment import BagType
    from fulfil.records.weighing import AlarmedGoods

    with ask.shop() as shop, shop.writing() as books:
        books.need(BagType, bag_type)
        done = act_on_goods(books, AlarmedGoods.BAG_TYPE, bag_type, reason, at=ask.at, person=ask.person)
    lines = [f"The alarm of bags {bag_type} ends, by {done.acted_by}: {done.reason}."]
    return Answer(lines, {"alarm": done.model_dump(mode="json")})


@command(bags, "show", "fulfil bags show B2603020001")
@click.argument("code", type=BAG, metavar="BAG")
def show(ask: Ask, code: str) -> Answer:
    """Shows a bag: what should be in it, its window with its risks, and what makes its weight uncertain."""
    from fulfil.counting.budgets import bag_budget, bag_second, bag_worst, budget_lines, worst_words
    from fulfil.records.plan import Bag

    with ask.shop() as shop, shop.reading() as books:
        bag = books.need(Bag, code)
        budget, worst, second = bag_budget(books, bag), bag_worst(books, bag), bag_second(books, bag)
    lines = [
        f"Bag {bag.code}, {bag.state}: {bag.pieces} pieces of {bag.part_number} from bin {bag.bin_code}",
        f"Order {bag.order_number}, line {bag.line_no}, walk {bag.walk_number}, position {bag.cart_position}",
    ]
    if bag.target_g is None or bag.p_pass_one_short is None or bag.p_reject is None:
        lines.append(f"Count by hand: {bag.reason}.")
    else:
        lines += _how_weighed(bag)
        lines.append(f"One short passes {bag.p_pass_one_short:.2g}, a right bag is sent back {bag.p_reject:.2g}")
    facts = bag.model_dump(mode="json")
    if worst is not None:
        lines.append(worst_words(worst))
        facts["worst_risks"] = asdict(worst)
    if second is not None:
        lines.append(second.sentence)
        facts["second_weighing"] = asdict(second)
    if budget is not None:
        lines += budget_lines(budget)
        facts["budget"] = [
            {"term": term.name, "u_g": term.u_g, "share": budget.share(term), "shrink_by": term.remedy}
            for term in budget.terms
        ]
    return Answer(lines, facts)


def _how_weighed(bag: "Bag") -> list[str]:
    from fulfil.papers.elements.count_words import check_words, fill_words

    what = {"tare and weigh": "without the bag", "tare and pour": f"for each {bag.pour_pieces}"}.get(
        bag.method, "with the bag"
    )
    said = [f"Scale {bag.scale_code}: {bag.target_g} g, pass {bag.lower_g} to {bag.upper_g} g, {what}"]
    if words := fill_words(bag.method, bag.pieces, bag.pours):
        said.append(f"To fill: {words} To check: {check_words(bag.method, bag.pieces, bag.pours)}")
    if bag.method.is_net and bag.reason:
        said.append(f"{bag.reason[:1].upper()}{bag.reason[1:]}.")
    return said


@command(bags, "count-up", "fulfil bags count-up B2603020001 --pour 10:53.27 --pour 15:79.90")
@click.argument("code", type=BAG, metavar="BAG")
@click.option(
    "--pour",
    "pours",
    multiple=True,
    required=True,
    help="What the tared scale shows for a lot; PIECES:GRAMS for one counted by hand. Repeat it, in order.",
)
@click.option("--scale", type=SCALE, default="", help="The scale, when it isn't the one on the label.")
def count_up(ask: Ask, code: str, pours: tuple[str, ...], scale: str) -> Answer:
    """Says how many pieces each lot on the tared scale is, and how many more to pour; writes nothing."""
    from fulfil.counting.readings import scale_for
    from fulfil.counting.told_pours import read_pour, tell_pours
    from fulfil.quantities import as_shown
    from fulfil.records.plan import Bag

    typed = [read_pour(pour) for pour in pours]
    with ask.shop() as shop, shop.reading() as books:
        bag = books.need(Bag, code)
        record = scale_for(books, scale or bag.scale_code, [pour.net_g for pour in typed])
        told = tell_pours(books, bag, typed, record)
    if told.pieces is None:
        lines = [f"{told.trouble[:1].upper()}{told.trouble[1:]}. Take it out again."]
    else:
        lines = [f"{told.sum_words} = {told.pieces} of {bag.pieces} pieces, on {record.code}."]
    if told.unproven:
        lines.append(f"One lot proves nothing yet: {told.unproven}.")
    elif told.stage is not None:
        lower_g, upper_g = as_shown(told.stage.lower_g, record.d_g), as_shown(told.stage.upper_g, record.d_g)
        lines.append(f"TARE to 0, pour {told.stage.pieces} more: the scale must show {lower_g} to {upper_g} g.")
    elif told.pieces == bag.pieces:
        lines.append("It is full: close it.")
    elif told.pieces is not None and told.pieces > bag.pieces:
        lines.append(f"Take out {told.pieces - bag.pieces}.")
    facts = {
        "bag": bag.code,
        "pieces": told.pieces,
        "pours": list(told.counts),
        "trouble": told.trouble,
        "unproven": told.unproven,
        "next_pieces": None if told.stage is None else told.stage.pieces,
        "next_lower_g": None if told.stage is None else str(told.stage.lower_g),
        "next_upper_g": None if told.stage is None else str(told.stage.upper_g),
    }
    return Answer(lines, facts, must_act=bool(told.trouble) or (told.pieces or 0) > bag.pieces)


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
