"""``parts.csv``: one row a part, with the unit weight of one piece.

The price is in major units of its currency. Without ``unit_weight_g`` the part is never weighed. Where a sample was
weighed, the standard uncertainty of the mean is s.d. / sqrt(sample size) (JCGM 100:2008, 4.2.3); from geometry, a
handbook or the supplier it is taken as 5 % of the mean (common practice), and such a
weight accepts no bag. Without ``weight_source``, a weight with a sample is sampled and one without the supplier's.
A part that is ``retired`` can't be ordered any more; what is owed of it is still served.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt
from typing import Any

from fulfil.errors import Refusal
from fulfil.files.columns import Column, amount, estimate, mm, pieces_or_none, yes_or_no
from fulfil.files.estimates import bulk_volume_mm3
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.quantities import parse_pieces
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.standards import dangerous_goods, hs, iso3166, iso4217, lithium_batteries


def _lithium(cell: str) -> str:
    return str(lithium_batteries.parse(cell))


PARTS = (
    Column("part", "number"),
    Column("description", "description"),
    Column("family", "family"),
    Column("size", "size", is_needed=False),
    Column("finish", "finish", is_needed=False),
    Column("bulk_volume_mm3", "bulk_volume_mm3", estimate, is_needed=False, do="measure 100 pieces in a beaker"),
    Column("longest_mm", "longest_mm", mm),
    Column("width_mm", "width_mm", mm, is_needed=False),
    Column("thickness_mm", "thickness_mm", mm, is_needed=False),
    Column("supply", "supply", do="write make or buy"),
    Column("supplier", "supplier", is_needed=False),
    Column("pack_pieces", "pack_pieces", parse_pieces, is_needed=False),
    Column("hazards", "hazards", is_needed=False),
    Column("lithium", "lithium", _lithium, is_needed=False, do="write it as 'ion cell 2.6 Wh, packed with equipment'"),
    Column("lead_ppm", "lead_ppm", pieces_or_none, is_needed=False, do="write whole mg of lead in a kg, such as 30000"),
    Column("customs_description", "customs_description", is_needed=False),
    Column("hs_code", "hs_code", hs.parse, is_needed=False),
    Column("origin", "origin", iso3166.validate, is_needed=False),
    Column("price", "price_minor", amount),
    Column("currency", "currency", iso4217.validate),
    Column("photo_path", "photo_path", is_needed=False),
    Column("retired", "is_retired", yes_or_no, is_needed=False),
    Column("fragile", "is_fragile", yes_or_no, is_needed=False),
)
WEIGHTS = (
    Column("unit_weight_g", "mean_g", estimate, is_needed=False, do="weigh a sample"),
    Column("piece_sd_g", "piece_sd_g", estimate, is_needed=False, do="weigh pieces one by one"),
    Column("sample_pieces", "sample_pieces", pieces_or_none, is_needed=False),
    Column("weight_source", "source", is_needed=False, do="write sampled, geometry, handbook or supplier"),
    Column("lot", "lot", is_needed=False),
)
MOST_UNIT_WEIGHT_G = 50_000
LONGEST_MM = 5_000
DENSEST_G_PER_MM3 = 22.6e-3
"""Osmium, 22.59 g/cm³ at 20 °C (Arblaster, Platinum Metals Review 39, 1995, 164): nothing weighs more."""
LEAD_PPM = 1000
"""From 0.1 % of lead by mass a recipient is told (Regulation (EC) No 1907/2006, Article 33, quoted from memory)."""
ASSUMED_U = 0.05
"""Relative standard uncertainty of a unit weight that nobody sampled."""


@dataclass(frozen=True)
class PartsRead:
    """The parts and unit weights of a file, and how many bulk volumes were estimated."""

    parts: tuple[Part, ...]
    unit_weights: tuple[UnitWeight, ...]
    estimated_volumes: int


def read_parts(rows: Iterable[Row], file: FileReading) -> PartsRead:
    """Parts and their unit weights; what is wrong goes to the file's findings."""
    parts: list[Part] = []
    weights: list[UnitWeight] = []
    estimated = 0
    for row in rows:
        weight = _weight(row, file)
        values = file.values(PARTS, row)
        if not file.is_new(row, "part", row.cells.get("part", "")) or values is None:
            continue
        _minor(values, row, file)
        _hazards(values, row, file)
        if "bulk_volume_mm3" not in values and values["longest_mm"] > 0:
            estimated += 1
            values["bulk_volume_mm3"] = bulk_volume_mm3(
                mean_g=weight.mean_g if weight else None, longest_mm=values["longest_mm"]
            )
        part = file.build(Part, PARTS, row, values)
        if part is not None:
            _is_plausible(part, weight, row, file)
            parts.append(part)
        if weight is not None:
            weights.append(weight)
    return PartsRead(tuple(parts), tuple(weights), estimated)


def _weight(row: Row, file: FileReading) -> UnitWeight | None:
    values = file.values(WEIGHTS, row)
    if values is None:
        return None
    if "mean_g" not in values:
        for column in WEIGHTS[1:4]:
            if row.cells.get(column.name):
                file.find(row, column.name, "has no unit_weight_g beside it", "give both, or empty the cell")
        return None
    sample = values.setdefault("sample_pieces", 0)
    values.setdefault("source", WeightSource.SAMPLED if sample else WeightSource.SUPPLIER)
    values.setdefault("piece_sd_g", 0.0)
    is_sampled = values["source"] == WeightSource.SAMPLED
    if is_sampled and (sample < 1 or not row.cells.get("piece_sd_g")):
        file.find(
            row,
            "sample_pieces" if sample < 1 else "piece_sd_g",
            "is needed for a sampled unit weight",
            "give both, or another weight_source",
        )
        return None
    u_g = weight_u_g(values["source"], values["mean_g"], values["piece_sd_g"], sample)
    number = row.cells.get("part", "")
    return file.build(UnitWeight, WEIGHTS, row, values | {"part_number": number, "u_g": u_g}) if number else None


def weight_u_g(source: str, mean_g: float, piece_sd_g: float, sample_pieces: int) -> float:
    """The standard uncertainty of a unit weight of which the file says no more than this, in grams."""
    return piece_sd_g / sqrt(sample_pieces) if source == WeightSource.SAMPLED else ASSUMED_U * mean_g


def _minor(values: dict[str, Any], row: Row, file: FileReading) -> None:
    try:
        values["price_minor"] = iso4217.to_minor(values["price_minor"], values["currency"])
    except Refusal as refusal:
        file.find(row, "price", f"expected {refusal.expected} in {values['currency']}")
        values["price_minor"] = 0


def _hazards(values: dict[str, Any], row: Row, file: FileReading) -> None:
    try:
        values["hazards"] = " ".join(dangerous_goods.parse(values.get("hazards", "")))
    except Refusal as refusal:
        file.find(row, "hazards", f"has the unknown word '{refusal.value}'", f"use {refusal.expected}")
        return
    words = values["hazards"].split()
    if values.get("lithium") and "lithium-battery" not in words:
        file.find(row, "hazards", "lacks lithium-battery, and the part has one", "add the word, or empty lithium")
    if values.get("lead_ppm", 0) >= LEAD_PPM and not {"lead", "leaded-brass"} & {*words}:
        says = f"lacks lead or leaded-brass, and the part has {values['lead_ppm']} mg of lead in a kg"
        file.find(row, "hazards", says, "add the word, so that its caution is printed")


def _is_plausible(part: Part, weight: UnitWeight | None, row: Row, file: FileReading) -> None:
    """Absurd values: a slipped decimal point or unit would send every bag of the part back, or none."""
    if part.longest_mm > LONGEST_MM:
        file.find(row, "longest_mm", f"is absurd, above {LONGEST_MM} mm", "give it in millimetres")
    if part.bulk_volume_mm3 > 4 * (part.longest_mm + 1) ** 3:
        file.find(row, "bulk_volume_mm3", f"is absurd for a part of {part.longest_mm} mm", "give both in mm and mm³")
    if weight is None:
        return
    if weight.mean_g > MOST_UNIT_WEIGHT_G:
        file.find(row, "unit_weight_g", f"is absurd, above {MOST_UNIT_WEIGHT_G} g", "give it in grams")
    elif weight.mean_g > DENSEST_G_PER_MM3 * (part.longest_mm + 1) ** 3:
        file.find(row, "unit_weight_g", f"is more than any metal of {part.longest_mm} mm weighs", "check both cells")
    elif weight.mean_g > DENSEST_G_PER_MM3 * part.bulk_volume_mm3:
        file.find(row, "bulk_volume_mm3", "is too small for the unit weight", "give the volume in mm³, the weight in g")
    if weight.piece_sd_g >= weight.mean_g:
        file.find(row, "piece_sd_g", "is not below the unit weight", "weigh pieces one by one")
