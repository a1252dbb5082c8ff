"""The 10,000 parts: every item with its lot, sample, supplier, origin and price.

Most unit weights are *sampled*: the nominal weight, moved by a lot (about as much as from piece to piece) and by the
chance of the sample. A few parts in a hundred were never sampled and carry the nominal weight of a formula, a
handbook or the supplier; a handful has no weight at all. Every draw is invented, and none of these pieces was ever
on a scale.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from itertools import chain, islice
from math import sqrt

from fulfil_demo_catalog.generator.chance import Chance
from fulfil_demo_catalog.generator.kinds import METAL, Item
from fulfil_demo_catalog.generator.parts_automata import automata_parts
from fulfil_demo_catalog.generator.parts_clock import clock_parts, gears
from fulfil_demo_catalog.generator.parts_fasteners import fasteners
from fulfil_demo_catalog.generator.parts_music import music_parts
from fulfil_demo_catalog.generator.parts_screws import screws
from fulfil_demo_catalog.generator.parts_workshop import workshop_goods

PARTS = 10_000

COLUMNS = (
    "part", "description", "family", "size", "finish", "unit_weight_g", "piece_sd_g", "sample_pieces", "weight_source",
    "lot", "bulk_volume_mm3", "longest_mm", "width_mm", "thickness_mm", "supply", "supplier", "hazards",
    "customs_description", "hs_code", "origin", "price", "currency", "photo_path",
)  # fmt: skip

ODD_NUMBERS = {
    "WP0004-Z": "-M3W",
    "NH0003-Z": "+M3N",
    "NH0004-Z": "=M4N",
    "WR0004-Z": "1E05",
    "DR0011-A": "MAR03",
    "FE0001": "NAN",
    "KY0009": "99",
    "KY0010": "990015",
    "SU0017": "0012",
}
"""Numbers that spreadsheets and bar code builders like to spoil, given to a few parts in place of their own."""

SUPPLIERS = {
    "fasteners": ((1, "DE"), (2, "TW"), (3, "IT"), (4, "PL")),
    "clock": ((5, "CH"), (6, "DE"), (7, "GB")),
    "automata": ((8, "CZ"), (9, "JP"), (4, "PL")),
    "music": ((10, "CH"), (11, "JP")),
    "workshop": ((12, "FR"), (13, "SE"), (14, "NL")),
}
"""The invented suppliers of each topic, with the country the goods come from."""

SAMPLES = {
    "single": (20, 20, 25),
    "few": (20, 25, 30, 40),
    "some": (25, 30, 40, 50),
    "handful": (30, 40, 50, 80),
    "hundreds": (50, 80, 100, 150, 200),
}
"""Pieces in a sample, by the habit of the family."""

_BRASS_HS = {"731815": "741533", "731816": "741533", "731812": "741539", "731822": "741521", "731823": "741529",
             "731824": "741529", "731829": "741529"}  # fmt: skip


@dataclass(frozen=True)
class CataloguePart:
    """A row of parts.csv, with the item behind it and how often it is ordered."""

    item: Item
    number: str
    lot: str
    row: dict[str, str]
    price_eur: Decimal
    popularity: float


def significant(value: float, digits: int) -> str:
    """A number with so many significant digits, written without an exponent.

    >>> significant(0.00123456, 3), significant(2505.06, 5)
    ('0.00123', '2505.1')
    """
    return format(Decimal(f"{value:.{digits - 1}e}"), "f")


@cache
def parts() -> tuple[CataloguePart, ...]:
    """All parts in the order of their families."""
    items = _items()
    streams = {item.kind.family: Chance(f"family {item.kind.family}") for item in items}
    return tuple(_part(item, streams[item.kind.family]) for item in items)


def _items() -> list[Item]:
    fixed = list(chain(screws(), fasteners(), clock_parts(), automata_parts(), music_parts(), workshop_goods()))
    items = [*fixed, *islice(gears(), PARTS - len(fixed))]
    if len(items) != PARTS:
        raise ValueError(f"the lists hold {len(items)} parts, expected {PARTS}")
    return items


def _part(item: Item, chance: Chance) -> CataloguePart:
    kind = item.kind
    spread = chance.between(*kind.spread_percent) / 100
    weight, sample_pieces, source = _weight_g(item, spread, chance)
    is_made = kind.supply == "make"
    lot = f"{'M' if is_made else 'L'}{chance.pick(('25', '25', '26'))}-{chance.below(900) + 100}"
    supplier, origin = chance.pick(SUPPLIERS[kind.topic])
    base_eur, by_gram_eur = kind.price_eur
    exact_eur = (base_eur + by_gram_eur * item.weight_g) * chance.between(0.9, 1.15)
    price_eur = max(Decimal("0.01"), Decimal(f"{exact_eur:.2f}"))
    popularity = kind.popularity * chance.lognormal(1.7)
    number = ODD_NUMBERS.get(item.number, item.number)
    is_brass = item.finish.name == "brass"
    values = (
        number, item.description, kind.family, item.size.name, item.finish.name,
        significant(weight, 5) if source else "",
        significant(weight * spread, 2) if source else "",
        str(sample_pieces) if source else "", source, lot,
        significant(item.bulk_volume_mm3, 3), *(str(side) for side in item.sides_mm), kind.supply,
        "make-room" if is_made else f"Invented Supplier {supplier}",
        item.hazards, kind.customs.replace(METAL, "brass" if is_brass else "steel"),
        _BRASS_HS.get(kind.hs_code, kind.hs_code) if is_brass else kind.hs_code,
        "LU" if is_made else origin, str(price_eur), "EUR", "",
    )  # fmt: skip
    return CataloguePart(item, number, lot, dict(zip(COLUMNS, values, strict=True)), price_eur, popularity)


def _weight_g(item: Item, spread: float, chance: Chance) -> tuple[float, int, str]:
    """Unit weight, pieces in its sample, and its source: sampled, the item's basis, or none."""
    sample_pieces = chance.pick(SAMPLES[item.kind.habit])
    by_lot = chance.normal(0, 0.8 * spread)
    by_sample = chance.normal(0, spread / sqrt(sample_pieces))
    luck = chance.share()
    if luck < 0.001:
        return item.weight_g, 0, ""
    if luck < 0.04:
        return item.weight_g, 0, item.size.basis
    return item.weight_g * (1 + by_lot + by_sample), sample_pieces, "sampled"


def rows() -> Iterator[dict[str, str]]:
    """The rows of parts.csv, by part number."""
    yield from (part.row for part in sorted(parts(), key=lambda part: part.number))
