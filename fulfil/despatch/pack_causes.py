"""What a package's weight can show, and why it is off when it is.

The diagnosis takes each bag as what it was found to be. A bag that passed on a scale has its own mass: only its
indication is uncertain, and a new lot explains nothing. A bag counted by hand is known by its unit weight, with the
scatter of pieces, of the unit weight and of empty bags. Packages are weighed gross, so no tare can be forgotten.
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from fulfil.checking.package import PackageLine, what_is_seen
from fulfil.counting.count_lines import scale_of
from fulfil.despatch.boxes import bag_mass, packing_of, unit_weight_of
from fulfil.records.despatch.dispatch import Package
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.standards import dangerous_goods, niosh
from fulfil.standards.segregation import parted
from fulfil.store.books import Books
from fulfil.weighing.causes.diagnosis import PackagePriors, PackedBag, explain_package
from fulfil.weighing.causes.ranking import worth_a_line

BENCH_LIFT = niosh.recommended_weight_limit(h_cm=40, v_cm=75, d_cm=60, lifts_per_min=0.2, hours=8, coupling="fair")
"""One package from the packing bench (75 cm) to a pallet or trolley, held 40 cm before the body (judgement)."""

WEIGHED_LEAVES = 0.002
"""Of miscounts and wrong parts, what a bag's own weighing leaves: the risk that it passes, and what spills afterwards
(judgement)."""
COUNTED_LEAVES = 0.1
"""What a second person's count leaves of them (judgement)."""

MOST_STRIP_G = 5
"""Closing strip, papers and label together weigh no more than this, g (judgement)."""
STRIP_FORGOTTEN = (
    "Or strip, papers or label did not lie in the empty box when it was weighed: take the bags out, weigh it with them."
)

BOX_WEIGHED_LEAVES = 0.1
"""What the empty box on the scale leaves of cushioning left out or filled in twice: afterwards (judgement)."""


def priors_for(*, is_weighed_empty: bool, all_weighed: bool) -> PackagePriors:
    """How often each thing is behind a package's weight.

    It is weighed gross: no tare is forgotten. A box that was weighed empty is no other box, and its cushioning was in.
    Where every bag was weighed, a new lot explains nothing.
    """
    priors = PackagePriors(tare_forgotten=0.0, tare_twice=0.0)
    if is_weighed_empty:
        left_out, doubled = priors.packing_left_out * BOX_WEIGHED_LEAVES, priors.packing_doubled * BOX_WEIGHED_LEAVES
        priors = replace(priors, other_box=0.0, packing_left_out=left_out, packing_doubled=doubled)
    return replace(priors, lot_shift=0.0) if all_weighed else priors


def likely_causes(books: Books, package: Package, gross_g: Decimal, scale: ScaleRecord) -> tuple[str, ...]:
    """The most likely explanations of a package's weight, as sentences with probabilities."""
    box = books.need(BoxType, package.box_type)
    packing = packing_of(books, package)
    bags = books.find(Bag, package_number=package.number)
    all_weighed = all(bag.gross_g is not None for bag in bags)
    numbers = {bag.order_number for bag in bags}
    near = [
        bag
        for bag in books.find(Bag, walk_number=sorted({bag.walk_number for bag in bags}))
        if bag.order_number not in numbers and bag.gross_g is not None
    ]
    is_weighed_empty = package.empty_g is not None
    other_boxes = [one for one in books.find(BoxType) if one.code != box.code and not is_weighed_empty]
    found = explain_package(
        float(gross_g),
        [_packed_bag(books, bag) for bag in bags],
        packing_g=float(packing.mass_g),
        packing_sd_g=packing.u_g,
        filling_g=float(box.cushioning_g),
        near_bags=[(bag.code, float(bag.gross_g)) for bag in near if bag.gross_g is not None],
        other_boxes_g=[(one.code, float(one.tare_g + one.cushioning_g)) for one in other_boxes],
        indication_u_g=scale_of(scale).indication_u_g(float(gross_g)),
        priors=priors_for(is_weighed_empty=is_weighed_empty, all_weighed=all_weighed),
    )
    over_g = gross_g - package.expected_g
    is_strip = is_weighed_empty and 0 < over_g <= MOST_STRIP_G
    return (*(cause.told for cause in worth_a_line(found)), *((STRIP_FORGOTTEN,) if is_strip else ()))


def seen_by_weight(books: Books, package: Package, bags: Sequence[Bag]) -> str:
    """What this package's weight can show and what it can't."""
    lines = []
    for bag in bags:
        weight = unit_weight_of(books, bag)
        mass_g = float(bag_mass(books, bag).gross_g)
        unit_g = (mass_g - float(bag.tare_g)) / bag.pieces if weight is None else weight.mean_g
        lines.append(PackageLine(bag.line_no, bag.code, mass_g, unit_g))
    return what_is_seen(lines, package.visible_from_g)


def package_cautions(parts: Sequence[Part], gross_g: Decimal, settings: Settings) -> tuple[str, ...]:
    """Cautions for the hands that pack: heavy lifts, hazards, and hazards that came together by mistake."""
    kg = float(gross_g) / 1000
    heavy = niosh.caution(round(kg, 1), BENCH_LIFT)
    if not heavy and gross_g >= settings.lift_caution_g:
        heavy = f"HEAVY: {kg:.1f} kg; two persons or a lifting aid. Local rules on lifting govern."
    words = sorted({word for part in parts for word in part.hazard_words})
    together = tuple(
        f"{first.upper()} and {second.upper()} must not share a package: stop for review."
        for first, second in parted(words)
    )
    return (*((heavy,) if heavy else ()), *together, *dangerous_goods.cautions(words))


def _packed_bag(books: Books, bag: Bag) -> PackedBag:
    mass = bag_mass(books, bag)
    weight = unit_weight_of(books, bag)
    if not mass.is_weighed and weight is not None:
        tare_sd_g = books.need(BagType, bag.bag_type).tare_sd_g
        return PackedBag(
            bag.code,
            bag.part_number,
            bag.pieces,
            weight.mean_g,
            weight.u_g,
            weight.piece_sd_g,
            float(bag.tare_g),
            tare_sd_g,
            miscount_share=COUNTED_LEAVES,
        )
    # What the scale showed is shared out over the pieces, so that the bags' masses add up to it.
    net_g = max(float(mass.gross_g - bag.tare_g), 1e-6)
    unit_g, tare_g = net_g / bag.pieces, float(bag.tare_g)
    return PackedBag(bag.code, bag.part_number, bag.pieces, unit_g, 0.0, 0.0, tare_g, mass.u_g, WEIGHED_LEAVES)
