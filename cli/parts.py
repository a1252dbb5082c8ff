"""``fulfil parts``: a part, and what each scale can count of it."""

import click

from .frame import Answer, Ask, command, table


@click.group()
def parts() -> None:
    """Show a part and what each scale can count of it."""


@command(parts, "show", "fulfil parts show BALL-3")
@click.argument("number")
def show(ask: Ask, number: str) -> Answer:
    """Shows a part, its unit weight, where it lies, and the largest count that each scale can prove."""
    from fulfil.day.counting import scale_of
    from fulfil.records.equipment import ScaleRecord
    from fulfil.records.part import Part, UnitWeight
    from fulfil.records.place import Bin
    from fulfil.weighing.window import largest_count

    with ask.shop() as shop, shop.reading() as books:
        part = books.need(Part, number)
        weights = books.find(UnitWeight, part_number=number)
        bins = books.find(Bin, part_number=number)
        scales = books.find(ScaleRecord, use="bags")
        settings = books.settings()
    lines = [f"{part.number}: {part.description}, {part.finish}{' (retired)' if part.is_retired else ''}"]
    lines += [f"Bin {place.code}: {place.pieces} pieces{', lot ' + place.lot if place.lot else ''}" for place in bins]
    counts = []
    for weight in weights:
        lines.append(
            f"Unit weight {weight.mean_g:.6g} g, standard uncertainty {weight.u_g:.2g} g, piece s.d. "
            f"{weight.piece_sd_g:.2g} g, {weight.source}, {weight.sample_pieces} pieces"
        )
        for scale in scales:
            most = largest_count(
                unit_weight_g=weight.mean_g,
                unit_weight_u_g=weight.u_g,
                piece_sd_g=weight.piece_sd_g,
                indication_u_g=scale_of(scale).indication_u_g(weight.mean_g),
                risk_pass=settings.risk_pass,
                risk_reject=settings.risk_reject,
            )
            counts.append((scale.code, f"{scale.d_g} g", int(most)))
    if not weights:
        lines.append("No unit weight: sample it first; bags of it are counted by hand.")
    lines += table(counts, ("scale", "d", "largest count, bag tared")) if counts else []
    facts = {
        "part": part.model_dump(mode="json"),
        "unit_weights": [weight.model_dump(mode="json") for weight in weights],
        "bins": [place.model_dump(mode="json") for place in bins],
        "largest_counts": {code: most for code, _, most in counts},
    }
    return Answer(lines, facts)
