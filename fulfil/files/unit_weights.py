"""``unit_weights.csv``: the unit weights that ``parts.csv`` can't say, with all that the shop knows of them.

``parts.csv`` has one weight a part, from a file or a first sample. Weights of further lots, and those that the shop
sampled itself or learned from its bags, stand here, one row a part and lot, so that a shop that was exported comes back
with its windows as they were. A shop that is typed by hand doesn't need the file.
"""

from collections.abc import Container, Iterable

from fulfil.files.columns import Column, code, estimate, moment, pieces_or_none, whole
from fulfil.files.parts import MOST_UNIT_WEIGHT_G
from fulfil.files.prices import day
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.part import UnitWeight

UNIT_WEIGHTS = (
    Column("part", "part_number", code),
    Column("lot", "lot", is_needed=False),
    Column("unit_weight_g", "mean_g", estimate),
    Column("unit_weight_u_g", "u_g", estimate),
    Column("piece_sd_g", "piece_sd_g", estimate),
    Column("sample_pieces", "sample_pieces", pieces_or_none),
    Column("weight_source", "source", do="write sampled, geometry, handbook or supplier"),
    Column("as_of", "as_of", day, is_needed=False, do="write the day as 2026-01-31"),
    Column("piece_sd_source", "piece_sd_source", is_needed=False),
    Column("piece_sd_freedom", "piece_sd_freedom", estimate, is_needed=False),
    Column("lot_sd_g", "lot_sd_g", estimate, is_needed=False),
    Column("sampled_at", "sampled_at", moment, is_needed=False),
    Column("sample_mean_g", "sample_mean_g", estimate, is_needed=False),
    Column("sample_u_g", "sample_u_g", estimate, is_needed=False),
    Column("sample_sd_g", "sample_sd_g", estimate, is_needed=False),
    Column("learned_bags", "learned_n", whole, is_needed=False),
    Column("count_doubt", "count_doubt", estimate, is_needed=False),
)


def read_unit_weights(
    rows: Iterable[Row], file: FileReading, *, parts: Container[str] | None, given: Iterable[UnitWeight]
) -> tuple[UnitWeight, ...]:
    """The weights; one of an unknown part, or one that ``parts.csv`` says already (``given``), is a finding.

    ``parts`` are the numbers of ``parts.csv``, None where it couldn't be read.
    """
    said = {(one.part_number, one.lot): "parts.csv" for one in given}
    weights = []
    for row in rows:
        weight = file.record(UnitWeight, UNIT_WEIGHTS, row)
        if weight is None:
            continue
        if parts is not None and weight.part_number not in parts:
            file.find(row, "part", "is no part of parts.csv", "add the part, or correct its number")
        known = said.setdefault((weight.part_number, weight.lot), f"line {row.line}")
        if known != f"line {row.line}":
            file.find(row, "lot", f"of {weight.part_number} has a weight already, in {known}", "keep one of the two")
        if weight.mean_g > MOST_UNIT_WEIGHT_G:
            file.find(row, "unit_weight_g", f"is absurd, above {MOST_UNIT_WEIGHT_G} g", "give it in grams")
        if weight.piece_sd_g >= weight.mean_g:
            file.find(row, "piece_sd_g", "is not below the unit weight", "weigh pieces one by one")
        weights.append(weight)
    return tuple(weights)
