"""``fulfil parts``: a part, its unit weight, and what each scale can count of it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, Noun, command, folder_option, listed, table
from ..numbers import PART, SCALE

if TYPE_CHECKING:
    from fulfil.counting.reach import Reach
    from fulfil.counting.samples import Poured
    from fulfil.records.part import UnitWeight


@click.group(cls=Noun)
def parts() -> None:
    """Add, change, retire, show a part; learn its unit weight, print its card."""


@command(parts, "show", "fulfil parts show BALL-3")
@click.argument("number", type=PART, metavar="PART")
def show(ask: Ask, number: str) -> Answer:
    """Shows a part, its unit weight, where it lies, and the largest count that each scale can prove."""
    from fulfil.counting.count_lines import least_tare_u_g
    from fulfil.counting.lot_weights import weight_for_lot
    from fulfil.counting.reach import reaches_of
    from fulfil.counting.scale_checks import usable_scales
    from fulfil.records.equipment import BagType
    from fulfil.records.part import Part, UnitWeight
    from fulfil.records.place import Bin

    with ask.shop() as shop, shop.reading() as books:
        part = books.need(Part, number)
        weights = books.find(UnitWeight, part_number=number)
        bins = books.find(Bin, part_number=number)
        settings = books.settings()
        tare_sd_g = least_tare_u_g(books.find(BagType))
        scales = usable_scales(books)
        reaches = {one.lot: reaches_of(scales, one, None, settings, tare_sd_g=tare_sd_g) for one in weights}
    lines = [f"{part.number}: {part.description}, {part.finish}{' (retired)' if part.is_retired else ''}"]
    for place in bins:
        lot = f", lot {place.lot}" if place.lot else ""
        counted_by = weight_for_lot(weights, place.lot)
        note = f" ({counted_by.note})" if counted_by is not None and counted_by.note else ""
        lines.append(f"Bin {place.code}: {place.pieces} pieces{lot}{note}")
    for weight in weights:
        lines.append(_weight_line(weight))
        if not weight.may_accept:
            lines.append("  For planning only: sample it before a bag of it is passed by weight.")
        else:
            lines += [f"  {line}" for line in _reach_table(reaches[weight.lot])]
    if not weights:
        lines.append("No unit weight: sample it first; bags of it are counted by hand.")
    facts = {
        "part": part.model_dump(mode="json"),
        "unit_weights": [weight.model_dump(mode="json") for weight in weights],
        "bins": [place.model_dump(mode="json") for place in bins],
        "largest_counts": {
            lot or "": {reach.scale_code: reach.after for reach in of_lot} for lot, of_lot in reaches.items()
        },
    }
    return Answer(lines, facts)


@command(parts, "to-sample", "fulfil parts to-sample --most 20")
@click.option("--most", type=click.IntRange(1, 999), default=20, show_default=True, help="How many parts to name.")
def to_sample(ask: Ask, most: int) -> Answer:
    """Says which parts, sampled today, save the most counting time in a week like the last ones."""
    from fulfil.counting.worth_sampling import SAMPLE_PIECES, SINGLES, worth_sampling
    from fulfil.weighing.count_times import in_words

    with ask.shop() as shop, shop.reading() as books:
        found = worth_sampling(books, ask.day(shop), most=most)
    rows = [
        (one.part_number, one.lot, f"{one.lines:.1f}", in_words(one.now_s), in_words(one.then_s), in_words(one.saves_s))
        for one in found
    ]
    lines = table(rows, ("part", "lot", "lines a week", "counting now", "then", "saves"))
    if found:
        total = in_words(sum(one.saves_s for one in found))
        lines.append(
            f"Together {total} in the first week, the samples paid for ({SAMPLE_PIECES} pieces and {SINGLES} single "
            f"ones each): fulfil parts sample {found[0].part_number}."
        )
    else:
        lines = ["No sample would save time: what is counted by hand is too light or too few for it."]
    facts = {
        "parts": [
            {"part": one.part_number, "lot": one.lot, "lines_a_week": one.lines, "now_s": one.now_s,
             "then_s": one.then_s, "sample_s": one.sample_s, "saves_s": one.saves_s}
            for one in found
        ]
    }  # fmt: skip
    return Answer(lines, facts)


@command(parts, "sample", "fulfil parts sample BALL-3 --pieces 50 --gross 47.10 --tare 2.10 --want 200", is_once=True)
@click.argument("number", type=PART, metavar="PART")
@click.option("--pieces", default="0", help="Pieces in the group, counted out by hand.")
@click.option("--gross", default="", help="The group on the scale, in grams, digits as shown.")
@click.option("--tare", default="0", help="The empty bag or tray, in grams.")
@click.option("--single", default="", help="Single pieces weighed one by one: '0.912; 0.905; …'")
@click.option("--scale", type=SCALE, default="", help="The scale; else the finest that can have shown these readings.")
@click.option("--lot", default=None, help="The lot; else that of the part's bin, when all its bins have one lot.")
@click.option("--want", default="", help="A count: what would it take to weigh so many in one bag?")
@click.option("--poured", is_flag=True, help="With --want: the sample stays in the bag, the rest is poured on top.")
@click.option(
    "--right",
    type=click.Choice(("group", "singles", "known")),
    default=None,
    help="After a contradiction and a recount: the group as counted, the single pieces, or what the shop knew.",
)
@click.option("--reason", default="", help="With --right: why; kept.")
def sample(
    ask: Ask,
    number: str,
    pieces: str,
    gross: str,
    tare: str,
    single: str,
    scale: str,
    lot: str | None,
    want: str,
    poured: bool,
    right: str | None,
    reason: str,
) -> Answer:
    """Takes a unit weight from pieces on the scale; says what each scale can count before and after.

    A sample that contradicts what the shop knows of the part changes nothing: count it again, or say which is right.
    """
    from fulfil.counting.readings import read_grams, read_singles
    from fulfil.counting.sample_estimate import Sample
    from fulfil.counting.sample_witnesses import Right
    from fulfil.counting.samples import take_sample
    from fulfil.quantities import parse_pieces
    from fulfil.records.place import Bin

    taken = Sample(
        pieces=parse_pieces(pieces, least=0),
        gross_g=read_grams(gross, "gross") if gross else None,
        tare_g=read_grams(tare, "tare"),
        single_g=read_singles(single),
    )
    with ask.shop() as shop:
        if lot is None:
            with shop.reading() as books:
                lots = {place.lot for place in books.find(Bin, part_number=number)}
            lot = lots.pop() if len(lots) == 1 else ""
        done = take_sample(
            shop,
            number,
            taken,
            at=ask.at,
            person=ask.person,
            scale_code=scale,
            lot=lot,
            want=parse_pieces(want) if want else 0,
            is_poured=poured,
            right=None if right is None else Right(right),
            reason=reason,
        )
    if done.findings:
        lines = ["Nothing was changed: this sample contradicts what the shop knows.", *listed(done.findings)]
        return Answer(lines, {"findings": [finding.as_dict() for finding in done.findings]}, must_act=True)
    if right == "known":
        return Answer(["The sample was set aside; what the shop knew stays."], {"findings": [], "set_aside": True})
    lines = [_weight_line(done.after), *_reach_table(done.reaches, is_change=True)]
    if want:
        lines += [_wanted(reach, int(want)) for reach in done.reaches]
    if done.poured is not None:
        lines.append(_poured_line(done.poured, taken.pieces))
    lines += [f"Note: {note}" for note in done.notes]
    facts = {
        "before": None if done.before is None else done.before.model_dump(mode="json"),
        "after": done.after.model_dump(mode="json"),
        "scale": done.scale_code,
        "largest_counts": {
            reach.scale_code: {"before": reach.before, "after": reach.after, "sample_pieces": reach.sample_pieces}
            for reach in done.reaches
        },
        "poured": None
        if done.poured is None
        else {
            "pieces": done.poured.pieces,
            "lower_g": float(done.poured.window.lower_g),
            "upper_g": float(done.poured.window.upper_g),
            "resolvable": bool(done.poured.window.resolvable),
            "fewest_pieces": done.poured.fewest_pieces,
        },
        "notes": list(done.notes),
        "findings": [],
    }
    return Answer(lines, facts)


@command(parts, "card", "fulfil parts card BALL-3 --out papers")
@click.argument("number", type=PART, metavar="PART")
@folder_option
@click.option("--picture", is_flag=True, help="Its chart as a PNG picture too.")
def card(ask: Ask, number: str, out: Path, picture: bool) -> Answer:
    """Prints a part's unit-weight card: samples, lots, what can be counted, and the picture."""
    from fulfil.counting.papers import unit_weight_card_sheet
    from fulfil.counting.pictures import draw_largest_count
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        day = ask.day(shop)
        written = print_papers(shop, out, lambda books: unit_weight_card_sheet(books, number, day=day))
        written += draw_largest_count(shop, number, out, day=day) if picture else []
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})


@command(parts, "learn", "fulfil parts learn")
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Drift charts as PNG there."
)
def learn(ask: Ask, out: Path | None) -> Answer:
    """Learns unit weights from the day's bags that passed, and says which parts and scales have drifted."""
    from fulfil.counting.learning import learn_day
    from fulfil.counting.pictures import draw_drift

    with ask.shop() as shop:
        done = learn_day(shop, day=ask.day(shop), at=ask.at, person=ask.person)
    written = [] if out is None else draw_drift(done.drift, out, day=ask.day(shop))
    findings = done.drift.findings
    lines = [f"Learned {len(done.weights)} unit weights from {done.n} bags; {done.left_out} left out."]
    rows = [
        (
            one.after.part_number,
            one.after.lot,
            one.n,
            f"{one.before.mean_g:.6g}",
            f"{one.after.mean_g:.6g}",
            f"{one.before.u_g:.2g}",
            f"{one.after.u_g:.2g}",
        )
        for one in done.weights
    ]
    heads = ("part", "lot", "bags", "g before", "g now", "u before", "u now")
    lines += table(rows[:20], heads) if rows else []
    lines += [f"… and {len(rows) - 20} more"] if len(rows) > 20 else []
    lines += ["Drifted:", *listed(findings)] if findings else ["No part and no scale has drifted."]
    lines += [f"to print: {path}" for path in written]
    facts = {
        "papers": [str(path) for path in written],
        "learned": [
            {
                "part": one.after.part_number,
                "lot": one.after.lot,
                "bags": one.n,
                "before": one.before.model_dump(mode="json"),
                "after": one.after.model_dump(mode="json"),
            }
            for one in done.weights
        ],
        "weighings": done.n,
        "left_out": done.left_out,
        "drifted": [finding.as_dict() for finding in findings],
    }
    return Answer(lines, facts, must_act=bool(findings))


def _weight_line(weight: "UnitWeight") -> str:
    learned = f", {weight.learned_n} bags learned from" if weight.learned_n else ""
    how = f"; piece s.d. from {weight.piece_sd_source}" if weight.piece_sd_source else ""
    how += f"; sample's count not proven, off with {weight.count_doubt:.2%}" if weight.count_doubt >= 1e-4 else ""
    lot = f" of lot {weight.lot}" if weight.lot else ""
    return (
        f"Unit weight{lot} {weight.mean_g:.6g} g, standard uncertainty {weight.u_g:.2g} g, piece s.d. "
        f"{weight.piece_sd_g:.2g} g, {weight.source}, {weight.sample_pieces} pieces{learned}{how}"
    )


def _reach_table(reaches: "tuple[Reach, ...]", *, is_change: bool = False) -> list[str]:
    heads = ("scale", "d", *(("counted before",) if is_change else ()), "counts in one bag", "")
    rows = [
        (
            reach.scale_code,
            f"{reach.d_g} g",
            *((("-" if reach.before is None else reach.before),) if is_change else ()),
            reach.after,
            reach.why_not,
        )
        for reach in reaches
    ]
    return table(rows, heads) if rows else ["No scale for bags may be used today."]


def _wanted(reach: "Reach", want: int) -> str:
    if reach.why_not:
        return f"{want} on {reach.scale_code}: {reach.why_not}"
    if reach.after >= want:
        return f"{want} on {reach.scale_code}: yes, in one bag."
    if reach.sample_pieces is None:
        return f"{want} on {reach.scale_code}: no sample would do; split the line or count by hand."
    return f"{want} on {reach.scale_code}: with a sample of {reach.sample_pieces} pieces."


def _poured_line(poured: "Poured", sample_pieces: int) -> str:
    if poured.window.resolvable:
        return (
            f"Keep the {sample_pieces} in the bag and pour up to {poured.pieces}: pass {poured.window.lower_g:.3f} to "
            f"{poured.window.upper_g:.3f} g, gross."
        )
    if poured.fewest_pieces is None:
        return f"Pouring up to {poured.pieces} on top of the sample can't be proved on this scale."
    return f"Count {poured.fewest_pieces} into the bag by hand, then pour up to {poured.pieces}."
