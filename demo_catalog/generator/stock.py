"""Which part lies in which bin of the main room, and how many pieces of it.

Often ordered parts lie nearer the bench, though not perfectly: storerooms grow. The parts ordered most have a second
bin somewhere else, about one in thirty of these with a new lot that nobody sampled yet. Within a section the heavy
bins lie low. About one part in a hundred is out of stock.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from fulfil_demo_catalog.generator.catalogue import CataloguePart, parts
from fulfil_demo_catalog.generator.chance import Chance
from fulfil_demo_catalog.generator.orders import PIECES
from fulfil_demo_catalog.generator.rooms import BIN_COLUMNS, Place, places

SECOND_BINS = 400
DRAWER_MM3 = 12e6
DRAWER_G = 20_000.0


@dataclass(frozen=True)
class Stocked:
    """A part's stock that wants a drawer; ``urge`` is small for what should lie near the bench."""

    part: CataloguePart
    lot: str
    pieces: int
    urge: float

    @property
    def mass_g(self) -> float:
        """What lies in the drawer."""
        return self.part.item.weight_g * self.pieces


def bins() -> list[dict[str, str]]:
    """The rows of bins.csv, by bin."""
    placed = sorted(_placed(), key=lambda pair: pair[0])
    return [dict(zip(BIN_COLUMNS, _row(place, stocked), strict=True)) for place, stocked in placed]


def _row(place: Place, stocked: Stocked) -> tuple[str, ...]:
    return (
        place.code, str(place.aisle), place.side, str(place.section), str(place.level), str(place.y_mm),
        stocked.part.number, stocked.lot, str(stocked.pieces),
    )  # fmt: skip


def _placed() -> Iterator[tuple[Place, Stocked]]:
    chance = Chance("places")
    wanted = sorted(_stock(), key=lambda stocked: (stocked.urge, stocked.part.number, stocked.lot))
    near_first = sorted(places(), key=lambda place: (place.from_bench_mm, place))
    taken: list[Place] = []
    for rank, place in enumerate(near_first):
        # Selection sampling: every drawer has the same chance to stay empty, and exactly as many are taken as wanted.
        if chance.share() * (len(near_first) - rank) < len(wanted) - len(taken):
            taken.append(place)
    sections: dict[tuple[int, str, int], tuple[list[Place], list[Stocked]]] = {}
    for place, stocked in zip(taken, wanted, strict=True):
        drawers, contents = sections.setdefault((place.aisle, place.side, place.section), ([], []))
        drawers.append(place)
        contents.append(stocked)
    for drawers, contents in sections.values():
        drawers.sort(key=lambda place: (place.level, place.drawer))
        contents.sort(key=lambda stocked: (-stocked.mass_g, stocked.part.number))
        yield from zip(drawers, contents, strict=True)


def _stock() -> Iterator[Stocked]:
    chance = Chance("stock")
    ranked = sorted(parts(), key=lambda part: (-part.popularity, part.number))
    mean_popularity = sum(part.popularity for part in ranked) / len(ranked)
    for rank, part in enumerate(ranked):
        habit = PIECES[part.item.kind.habit]
        typical = sum(pieces * weight for pieces, weight in habit) / sum(weight for _, weight in habit)
        lines_kept = (4 + 2 * (part.popularity / mean_popularity) ** 0.7) * chance.lognormal(0.6)
        fits = min(DRAWER_MM3 / part.item.bulk_volume_mm3, DRAWER_G / part.item.weight_g)
        pieces = 0 if chance.happens(0.01) else max(1, min(ceil(typical * lines_kept), int(fits)))
        urge = rank / len(ranked) + chance.normal(0, 0.22)
        if rank >= SECOND_BINS:
            yield Stocked(part, part.lot, pieces, urge)
            continue
        other_lot = f"{part.lot[0]}26-{chance.below(900) + 100}" if chance.happens(0.03) else part.lot
        yield Stocked(part, part.lot, ceil(pieces * 0.6), urge)
        yield Stocked(part, other_lot, pieces - ceil(pieces * 0.6), chance.share())
