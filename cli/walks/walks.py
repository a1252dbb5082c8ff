"""``fulfil walks``: plan, prove, release, show, draw and compare the walks of the day."""

from pathlib import Path

import click

from ..frame import Answer, Ask, Noun, all_option, command, folder_option, listed, many, table
from ..numbers import WALK


@click.group(cls=Noun)
def walks() -> None:
    """Plan, prove and release the walks of the day."""


@command(walks, "plan", "fulfil walks plan --seed 1", is_once=True, has_dry_run=True)
@click.option(
    "--seed", type=click.IntRange(min=0), default=0, show_default=True, help="The same seed gives the same plan."
)
@click.option("--effort", default="normal", show_default=True, help="How long to search; work, not seconds.")
@click.option("--by-cut-off", is_flag=True, help="Only orders with the same cut-off share a cart.")
@click.option(
    "--prove-seconds",
    type=click.FloatRange(0, 86_400),
    default=0.0,
    help="Also drive a proven bound, for at most this long.",
)
def plan(ask: Ask, seed: int, effort: str, by_cut_off: bool, prove_seconds: float) -> Answer:
    """Allocates stock, bags every line, batches orders onto carts and walks each cart the shortest way."""
    from time import monotonic

    from fulfil.quantities import print_metres
    from fulfil.walks.plan import plan_day
    from fulfil.walks.prove import prove_plan

    with ask.shop() as shop:
        day = ask.day(shop)
        planned, batches = plan_day(
            shop, day=day, at=ask.at, person=ask.person, seed=seed, effort=effort, by_cut_off=by_cut_off
        )
        proof = None
        if batches is not None and prove_seconds > 0:
            proof = prove_plan(
                shop, batches, day=day, at=ask.at, person=ask.person, seconds=prove_seconds, clock=monotonic
            )
    lines = []
    if planned.record is None:
        lines.append("No order can be walked for.")
    else:
        alone = print_metres(planned.record.one_by_one_mm)
        walks, bags = many(len(planned.walks), "walk"), many(planned.bags, "bag")
        lines.append(f"{walks}, {bags}, {print_metres(planned.record.length_mm)} in all")
        lines.append(f"(one walk per order would be {alone}).")
    if proof is not None:
        kind = "Proven" if proof.closed else "Proven so far"
        lines.append(f"{kind}: no plan is shorter than {print_metres(proof.bound_mm)}.")
    if planned.short_lines:
        lines.append(f"{planned.short_lines} lines are short: fulfil shorts list.")
    if planned.waiting:
        lines.append(f"Held until complete: {', '.join(planned.waiting)}.")
    lines += [f"Stop: {said}; get a larger bag (bags.csv), or cancel the line." for said in planned.no_bag]
    lines += [*planned.tells(), *listed(planned.findings)]
    lines.append("Next: fulfil walks release.")
    facts = {
        "walks": [walk.model_dump(mode="json") for walk in planned.walks],
        "plan": None if planned.record is None else planned.record.model_dump(mode="json"),
        "bags": planned.bags,
        "short_lines": planned.short_lines,
        "waiting": list(planned.waiting),
        "no_bag": list(planned.no_bag),
        "changed": planned.tells(),
        "findings": [finding.as_dict() for finding in planned.findings],
        "bound_mm": None if proof is None else proof.bound_mm,
        "bound_is_closed": None if proof is None else proof.closed,
    }
    return Answer(lines, facts, must_act=bool(planned.short_lines or planned.waiting or planned.no_bag))


@command(walks, "list", "fulfil walks list")
@all_option
def list_(ask: Ask, is_all: bool) -> Answer:
    """Lists the walks that are not released and those of the last day, with their length."""
    from fulfil.orders.listed import recent_walks
    from fulfil.quantities import print_metres
    from fulfil.shop.clock import local_hour

    with ask.shop() as shop, shop.reading() as books:
        settings = books.settings()
        found = recent_walks(books, is_all=is_all)
    rows = [
        (
            walk.number,
            str(walk.day),
            walk.orders,
            walk.stops,
            print_metres(walk.length_mm),
            local_hour(walk.released_at, settings) if walk.released_at else "no",
        )
        for walk in found
    ]
    facts = {"walks": [walk.model_dump(mode="json") for walk in found]}
    return Answer(table(rows, ("walk", "day", "orders", "stops", "length", "released")), facts)


@command(walks, "release", "fulfil walks release --out papers", has_dry_run=True)
@click.argument("numbers", nargs=-1, type=WALK, metavar="[WALK]...")
@folder_option
@click.option(
    "--layout",
    type=click.Choice(["by-walk", "by-order", "half", "large"]),
    default="by-walk",
    show_default=True,
    help="Of the pick list: all orders along the way, one order a page, half pages (A5), or large print.",
)
def release(ask: Ask, numbers: tuple[str, ...], out: Path, layout: str) -> Answer:
    """Prints pick list, bag labels, checklist and cart card of walks and releases them; no WALK means all."""
    from fulfil.walks.releasing import release_walks

    with ask.shop() as shop:
        written = release_walks(shop, numbers, out, at=ask.at, person=ask.person, layout=layout)
    lines = [f"{len(written)} papers in {out}:", *[f"  {path.name}" for path in written]]
    return Answer(lines, {"papers": [str(path) for path in written]})


@command(walks, "show", "fulfil walks show W2603020001")
@click.argument("number", type=WALK, metavar="WALK")
def show(ask: Ask, number: str) -> Answer:
    """Lists the stops of a walk in walking order: how to come to each, which hand, what to take."""
    from fulfil.quantities import print_metres
    from fulfil.records.plan import WalkRecord
    from fulfil.walks.papers import pick_stops

    with ask.shop() as shop, shop.reading() as books:
        walk = books.need(WalkRecord, number)
        stops = pick_stops(books, walk)
    lines = [f"Walk {walk.number}: {walk.orders} orders, {walk.stops} stops, {print_metres(walk.length_mm)}"]
    for stop in stops:
        if stop.turn:
            lines.append(f"{stop.turn}:")
        hand = f" on your {stop.on_your}" if stop.on_your else ""
        bags = ", ".join(f"{bag.pieces} for position {bag.cart_position}" for bag in stop.bags)
        lines.append(f"  {stop.stop_no:>3}  {stop.bin_code}{hand}: {stop.part_number}, {bags}")
    facts = {
        "walk": walk.model_dump(mode="json"),
        "stops": [
            {
                "stop_no": stop.stop_no,
                "turn": stop.turn,
                "bin": stop.bin_code,
                "on_your": stop.on_your,
                "part": stop.part_number,
                "bags": {bag.bag_code: bag.pieces for bag in stop.bags},
            }
            for stop in stops
        ],
    }
    return Answer(lines, facts)


@command(walks, "map", "fulfil walks map W2603020001 --out walk.svg")
@click.argument("number", type=WALK, metavar="WALK")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    help="The map's file: .svg (to scale), .png or .pdf (as on the pick list).",
)
def map_(ask: Ask, number: str, out: Path) -> Answer:
    """Draws a walk: numbered stops, and a line whose arrow heads say which way, without colour."""
    from fulfil.records.plan import WalkRecord
    from fulfil.walks.drawings import draw_walk

    with ask.shop() as shop, shop.reading() as books:
        written = draw_walk(books, books.need(WalkRecord, number), out)
    return Answer([f"drawn {written}"], {"drawing": str(written)})


@command(walks, "compare", "fulfil walks compare")
def compare(ask: Ask) -> Answer:
    """Compares the day's walks with rules of thumb (bin order, nearest next; in one block S-shape and its kin)."""
    from fulfil.quantities import print_metres
    from fulfil.walks.compare import compare_walks

    with ask.shop() as shop, shop.reading() as books:
        done = compare_walks(books, day=ask.day(shop))

    def beside(policy: str, by_policy_mm: dict[str, int], shortest_mm: int) -> tuple[str, str, str]:
        more = f"+{by_policy_mm[policy] / shortest_mm - 1:.0%}" if shortest_mm else ""
        return policy, print_metres(by_policy_mm[policy]), more

    def nearest(by_policy_mm: dict[str, int]) -> str:
        return min(by_policy_mm, key=lambda policy: (by_policy_mm[policy], policy))

    walked = [
        (walk.number, print_metres(walk.length_mm), *beside(nearest(lengths), lengths, walk.length_mm))
        for walk, lengths in ((one.walk, one.by_policy_mm) for one in done.walks)
        if lengths
    ]
    lines = table(walked, ("walk", "shortest", "nearest rule", "by it", "more"))
    rules = [beside(policy, done.by_policy_mm, done.length_mm) for policy in done.by_policy_mm]
    lines += ["", *table([("shortest", print_metres(done.length_mm), ""), *rules], ("all walks", "metres", "more"))]
    lines.append(f"One walk per order, each the shortest: {print_metres(done.one_by_one_mm)}.")
    facts = {
        "walks": [
            {"walk": one.walk.number, "shortest_mm": one.walk.length_mm, "by_policy_mm": one.by_policy_mm}
            for one in done.walks
        ],
        "shortest_mm": done.length_mm,
        "by_policy_mm": done.by_policy_mm,
        "one_by_one_mm": done.one_by_one_mm,
    }
    return Answer(lines, facts)


@command(walks, "prove", "fulfil walks prove --seconds 60")
@click.option(
    "--seconds",
    type=click.FloatRange(0, 86_400),
    default=60.0,
    show_default=True,
    help="Stop at the latest after so long; Ctrl-C stops too.",
)
def prove(ask: Ask, seconds: float) -> Answer:
    """Proves how far the day's plan is from the best possible; stop it at any time, what is proven is kept."""
    from time import monotonic

    from fulfil.quantities import print_metres
    from fulfil.walks.prove import plan_in_books, prove_plan

    began = monotonic()

    def progress(length_mm: int, bound_mm: int) -> None:
        gap = length_mm / bound_mm - 1 if bound_mm else 0.0
        click.echo(
            f"\rplan {print_metres(length_mm)}, none shorter than {print_metres(bound_mm)}, gap {gap:.2%}, "
            f"{monotonic() - began:.0f} of {seconds:.0f} s ",
            nl=False,
            err=True,
        )

    with ask.shop() as shop:
        day = ask.day(shop)
        with shop.reading() as books:
            plan_ = plan_in_books(books, day=day)
        proof = prove_plan(
            shop, plan_, day=day, at=ask.at, person=ask.person, seconds=seconds, clock=monotonic, progress=progress
        )
    click.echo("", err=True)
    lines = [f"Plan: {print_metres(plan_.length_mm)} in {len(plan_.batches)} walks."]
    if not proof.bound_mm:
        lines.append("Nothing was proven in this time.")
    elif proof.bound_mm >= plan_.length_mm:
        lines.append("Proven: no plan is shorter.")
    else:
        kind = "Proven" if proof.closed else "Proven so far"
        lines.append(f"{kind}: no plan is shorter than {print_metres(proof.bound_mm)}; at most {proof.gap:.2%} above.")
    facts = {
        "length_mm": plan_.length_mm,
        "bound_mm": proof.bound_mm,
        "closed": proof.closed,
        "gap": round(proof.gap, 6),
    }
    return Answer(lines, facts)
