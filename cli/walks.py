"""``fulfil walks``: plan, prove and release the walks of the day."""

from pathlib import Path

import click

from .frame import Answer, Ask, command, folder_option, table


@click.group()
def walks() -> None:
    """Plan, prove and release the walks of the day."""


@command(walks, "plan", "fulfil walks plan --seed 1")
@click.option("--seed", default=0, show_default=True, help="The same seed gives the same plan.")
@click.option("--effort", default="normal", show_default=True, help="How long to search; work, not seconds.")
@click.option("--prove-seconds", default=0.0, help="Also drive a proven bound, for at most this long.")
def plan(ask: Ask, seed: int, effort: str, prove_seconds: float) -> Answer:
    """Allocates stock, bags every line, batches orders onto carts and walks each cart the shortest way."""
    from time import monotonic

    from fulfil.day.plan import plan_day
    from fulfil.day.prove import prove_plan
    from fulfil.quantities import print_metres

    day = ask.at.date()
    with ask.shop() as shop:
        planned, batches = plan_day(shop, day=day, at=ask.at, person=ask.person, seed=seed, effort=effort)
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
        lines.append(
            f"{len(planned.walks)} walks, {planned.bags} bags, {print_metres(planned.record.length_mm)} in all"
        )
        lines.append(f"(one walk per order would be {alone}).")
    if proof is not None:
        kind = "Proven" if proof.closed else "Proven so far"
        lines.append(f"{kind}: no plan is shorter than {print_metres(proof.bound_mm)}.")
    if planned.short_lines:
        lines.append(f"{planned.short_lines} lines are short: fulfil shorts list.")
    if planned.waiting:
        lines.append(f"Held until complete: {', '.join(planned.waiting)}.")
    lines.append("Next: fulfil walks release.")
    facts = {
        "walks": [walk.model_dump(mode="json") for walk in planned.walks],
        "plan": None if planned.record is None else planned.record.model_dump(mode="json"),
        "bags": planned.bags,
        "short_lines": planned.short_lines,
        "waiting": list(planned.waiting),
        "bound_mm": None if proof is None else proof.bound_mm,
        "bound_is_closed": None if proof is None else proof.closed,
    }
    return Answer(lines, facts, must_act=bool(planned.short_lines or planned.waiting))


@command(walks, "list", "fulfil walks list")
def list_(ask: Ask) -> Answer:
    """Lists the walks with their length and whether they are released."""
    from fulfil.quantities import print_metres
    from fulfil.records.plan import WalkRecord

    with ask.shop() as shop, shop.reading() as books:
        found = books.find(WalkRecord)
    rows = [
        (
            walk.number,
            str(walk.day),
            walk.orders,
            walk.stops,
            print_metres(walk.length_mm),
            f"{walk.released_at:%H:%M}" if walk.released_at else "no",
        )
        for walk in found
    ]
    facts = {"walks": [walk.model_dump(mode="json") for walk in found]}
    return Answer(table(rows, ("walk", "day", "orders", "stops", "length", "released")), facts)


@command(walks, "release", "fulfil walks release --out papers")
@click.argument("numbers", nargs=-1, metavar="[WALK]...")
@folder_option
def release(ask: Ask, numbers: tuple[str, ...], out: Path) -> Answer:
    """Prints pick list, bag labels, checklist and cart card of walks and releases them; no WALK means all."""
    from fulfil.day.printing import release_walks

    with ask.shop() as shop:
        written = release_walks(shop, numbers, out, at=ask.at, person=ask.person)
    lines = [f"{len(written)} papers in {out}:", *[f"  {path.name}" for path in written]]
    return Answer(lines, {"papers": [str(path) for path in written]})
