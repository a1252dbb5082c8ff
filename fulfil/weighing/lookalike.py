"""Which parts would pass another part's window: what the scale can't tell, and what to look at instead.

Part *b* in a bag meant for N pieces of part *a* is accepted with probability::

    Φ((w − Δ) / s_b) − Φ((−w − Δ) / s_b)      Δ = M μ_b − N μ_a
    s_b² = M σ_b² + M² u²(μ_b) + u_s²          M pieces of b in the bag, w the window's half-width

It is a look-alike where that is more than the stated risk. M is N when the count is known otherwise;
with ``count_slack`` the near counts are searched too (10 × 0.9 g = 9 × 1.0 g). The index sorts the
parts by unit weight within classes of like scatter, so each line reads only the few parts that can pass.

>>> index = LookAlikeIndex(
...     part_numbers=["SCREW-M3x16", "NUT-M5", "SCREW-M3x20"], mean_g=[1.2, 1.23, 1.4],
...     u_g=[0.001, 0.001, 0.001], piece_sd_g=[0.006, 0.006, 0.007],
...     family=["cap screw", "hex nut", "cap screw"], size=["M3×16", "M5", "M3×20"],
...     finish=["zinc", "zinc", "zinc"])
>>> [[f"{a.part_number}: {a.sentence}" for a in line]
...  for line in index.passing(["SCREW-M3x16"] * 2, [10, 50], [0.6, 0.6], 0.03)]
[['NUT-M5: Look at the size: M3×16, not M5 (hex nut).'], []]

Limits: a wrong part that the picker counted *to the weight* passes whatever its unit weight. Only the
eye or the bar code finds it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import dist, inf, isnan

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.errors import UnknownRefused, WeighingRefused
from fulfil.weighing.tails import ndtri
from fulfil.weighing.weight_index import WeightIndex

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

NEARBY_MM = 1500.0
"""Bins closer than this are neighbours that a hand may confuse (judgement: one arm's reach)."""


class Where(StrEnum):
    """Where a look-alike would come from, the likeliest mistake first."""

    NEARBY = "nearby bin"
    FAMILY = "same family"
    ANYWHERE = "anywhere"


_PLACES = tuple(Where)
_MISTAKE_WEIGHT = np.array([10.0, 5.0, 1.0])


@dataclass(frozen=True, slots=True)
class LookAlike:
    """A part that the weight check of a line can't tell from the right one.

    Attributes:
        part_number: The wrong part that would pass.
        pieces: How many of it would pass (the line's count, or a near one).
        where: Nearby bin, same family, or anywhere.
        pass_probability: Chance that such a bag passes the weight check, 0 to 1.
        look_at: The attribute that tells them apart (finish, size or family); empty when none does.
        sentence: What to look at, in a sentence.
        instead: What the wrong part is, in the few words that tell it apart; empty when none do.
        apart_mm: From bin to bin, in a straight line; infinite where a bin is unknown.
    """

    part_number: str
    pieces: int
    where: Where
    pass_probability: float
    look_at: str
    sentence: str
    instead: str = ""
    apart_mm: float = inf


class LookAlikeIndex:
    """All parts by unit weight, ready to answer which of them would pass a line's window.

    Args:
        part_numbers: P part numbers, each once.
        mean_g: Unit weights, g, shape (P,), above zero.
        u_g: Their standard uncertainties, g, shape (P,).
        piece_sd_g: Piece-to-piece s.d., g, shape (P,).
        family, size, finish: What the eye sees of each part, P strings each.
        position_mm: Where the bins are, shape (P, 2) or (P, 3) in mm, NaN when unknown; None: no bin is near.
        nearby_mm: Bins up to this distance count as nearby.

    Raises:
        WeighingRefused: a weight is not a finite number above zero, or the lengths differ.
    """

    def __init__(
        self,
        part_numbers: Sequence[str],
        mean_g: ArrayLike,
        u_g: ArrayLike,
        piece_sd_g: ArrayLike,
        family: Sequence[str],
        size: Sequence[str],
        finish: Sequence[str],
        position_mm: ArrayLike | None = None,
        *,
        nearby_mm: float = NEARBY_MM,
    ) -> None:
        self.part_numbers = tuple(part_numbers)
        count = len(self.part_numbers)
        self.mean_g = _column("unit weight", mean_g, count, self.part_numbers, above_zero=True)
        self.u_g = _column("unit weight's uncertainty", u_g, count, self.part_numbers)
        self.piece_sd_g = _column("piece s.d.", piece_sd_g, count, self.part_numbers)
        self._attributes = (("finish", tuple(finish)), ("size", tuple(size)), ("family", tuple(family)))
        for name, column in self._attributes:
            if len(column) != count:
                raise WeighingRefused(f"index look-alikes by {name}", len(column), f"{count} values")
        _, self._family = np.unique(np.asarray(self._attributes[2][1], dtype=str), return_inverse=True)
        self._family_size = np.bincount(self._family)
        self._position_mm = None if position_mm is None else tuple(np.asarray(position_mm, dtype=np.float64).T)
        if self._position_mm is not None:
            self._by_x = np.argsort(self._position_mm[0], kind="stable")
            self._sorted_x_mm = self._position_mm[0][self._by_x]
        self._nearby_mm = nearby_mm
        self._place = {number: i for i, number in enumerate(self.part_numbers)}
        if len(self._place) != count:
            raise WeighingRefused("index look-alikes of", count - len(self._place), "each part number once")
        self.by_weight = WeightIndex(self.mean_g, self.u_g, self.piece_sd_g)

    def __contains__(self, part_number: str) -> bool:
        return part_number in self._place

    def place(self, part_number: str) -> int:
        """Row of a part; an unknown one is refused."""
        try:
            return self._place[part_number]
        except KeyError:
            raise UnknownRefused("find the look-alikes of part", part_number, "an indexed part") from None

    def difference(self, right: int, wrong: int) -> tuple[str, str]:
        """What tells two parts apart, and the sentence for the checklist; ("", ...) when nothing does."""
        family = self._attributes[2][1]
        for name, column in self._attributes:
            if column[right] != column[wrong]:
                seen, other = column[right] or "none", column[wrong] or "none"
                kind = f" ({family[wrong]})" if family[right] != family[wrong] and name != "family" else ""
                return name, f"Look at the {name}: {seen}, not {other}{kind}."
        return "", "They look and weigh the same: scan the bin's label."

    def instead(self, right: int, wrong: int) -> str:
        """What the wrong part is: its family where that differs, and what else is looked at; ``"no finish"`` if none.

        >>> index = LookAlikeIndex(["A", "B", "C"], [1, 1, 1], [0, 0, 0], [0, 0, 0], family=["nut", "nut", "bush"],
        ...     size=["M5", "M5", "6"], finish=["zinc", "", "zinc"])
        >>> index.instead(0, 1), index.instead(0, 2)
        ('no finish', 'bush 6')
        """
        family = self._attributes[2][1]
        look_at, _ = self.difference(right, wrong)
        seen = dict(self._attributes)[look_at][wrong] if look_at else ""
        if family[right] != family[wrong]:
            return " ".join(word for word in (family[wrong], seen if look_at != "family" else "") if word)
        return seen or (f"no {look_at}" if look_at else "")

    def mistake_shares(self, right: ArrayLike, wrong: ArrayLike) -> Floats:
        """Prior share of each wrong part among all the parts that may be taken for the right one.

        A nearby bin counts ten, the same family five, any other part one (judgement), itself none;
        over all wrong parts the shares of one right part sum to 1. Rows broadcast.
        """
        rights, wrongs = np.broadcast_arrays(np.asarray(right, dtype=np.intp), np.asarray(wrong, dtype=np.intp))
        totals = np.zeros(len(self.part_numbers))
        for row in np.flatnonzero(np.bincount(rights.ravel(), minlength=totals.size)):
            totals[row] = self._mistake_total(int(row))
        weights = np.where(rights == wrongs, 0.0, _MISTAKE_WEIGHT[self._where(rights, wrongs)])
        shares: Floats = weights / np.maximum(totals[rights], 1.0)
        return shares

    def _mistake_total(self, right: int) -> float:
        """Sum of the weights of all wrong parts; only bins near along the first axis are looked at."""
        _, family_weight, other_weight = _MISTAKE_WEIGHT
        relatives = int(self._family_size[self._family[right]]) - 1
        total = float(family_weight * relatives + other_weight * (len(self.part_numbers) - 1 - relatives))
        if self._position_mm is None:
            return total
        x_mm = self._position_mm[0][right]
        start, stop = np.searchsorted(self._sorted_x_mm, [x_mm - self._nearby_mm, x_mm + self._nearby_mm + 1])
        row = self._by_x[start:stop]
        row = row[(self._where(right, row) == 0) & (row != right)]
        plain = np.where(self._family[row] == self._family[right], family_weight, other_weight)
        return total + float((_MISTAKE_WEIGHT[0] - plain).sum())

    def passing(
        self,
        part_numbers: Sequence[str],
        pieces: ArrayLike,
        half_width_g: ArrayLike,
        indication_u_g: ArrayLike,
        *,
        risk_pass: float = 0.001,
        within: Where = Where.ANYWHERE,
        count_slack: int = 0,
        most: int = 8,
    ) -> tuple[tuple[LookAlike, ...], ...]:
        """Look-alikes of each line: nearby first, then the family, then by falling chance to pass.

        Args:
            part_numbers: The right part of each of L lines.
            pieces: Count of each line, shape (L,).
            half_width_g: Half-width of each line's window, g, shape (L,) or a scalar.
            indication_u_g: Standard uncertainty of the net weight, g, shape (L,) or a scalar.
            risk_pass: A part that passes with more than this probability is a look-alike.
            within: Search only nearby bins, also the same family, or anywhere.
            count_slack: Also search the counts up to this many pieces off the line's.
            most: At most this many look-alikes for a line.

        Returns:
            One tuple for each line. Ties: nearer place, higher chance, closer count, then part number.
        """
        right = np.array([self.place(number) for number in part_numbers], dtype=np.intp)
        lines = right.size
        ordered = np.broadcast_to(np.asarray(pieces, dtype=np.int64), lines)
        half = np.broadcast_to(np.asarray(half_width_g, dtype=np.float64), lines)
        noise = np.broadcast_to(np.asarray(indication_u_g, dtype=np.float64), lines)
        slack = np.arange(-count_slack, count_slack + 1)
        line = np.repeat(np.arange(lines), slack.size)
        packed = ordered[line] + np.tile(slack, lines)
        line, packed = line[packed > 0], packed[packed > 0]

        row, part = self.by_weight.within_reach(
            packed,
            ordered[line] * self.mean_g[right[line]],
            noise[line],
            sds=-float(ndtri(risk_pass)),
            half_width_g=half[line],
        )
        line, packed = line[row], packed[row]
        keep = part != right[line]
        line, packed, part = line[keep], packed[keep], part[keep]
        target_g = ordered[line] * self.mean_g[right[line]]
        chance = self.by_weight.chance_inside(packed, part, target_g, half[line], noise[line])
        where = self._where(right[line], part)
        keep = (chance > risk_pass) & (where <= _PLACES.index(within))
        line, packed, part, chance, where = line[keep], packed[keep], part[keep], chance[keep], where[keep]

        order = np.lexsort((part, np.abs(packed - ordered[line]), -chance, where, line))
        start = np.searchsorted(line[order], np.arange(lines + 1))
        return tuple(
            tuple(
                self._look_alike(right[i], part[j], packed[j], where[j], chance[j])
                for j in order[start[i] : min(start[i] + most, start[i + 1])]
            )
            for i in range(lines)
        )

    def _where(self, right: Rows | int, wrong: Rows) -> NDArray[np.intp]:
        """Row in ``Where`` for pairs of parts, broadcast."""
        where = np.where(self._family[right] == self._family[wrong], 1, 2)
        if self._position_mm is not None:
            apart = sum((axis[right] - axis[wrong]) ** 2 for axis in self._position_mm)
            where = np.where(apart <= self._nearby_mm**2, 0, where)
        return where

    def _look_alike(self, right: int, wrong: int, packed: int, where: int, chance: float) -> LookAlike:
        look_at, sentence = self.difference(right, wrong)
        instead = self.instead(right, wrong)
        return LookAlike(
            self.part_numbers[wrong],
            int(packed),
            _PLACES[where],
            float(chance),
            look_at,
            sentence,
            instead,
            self.apart_mm(right, wrong),
        )

    def apart_mm(self, right: int, wrong: int) -> float:
        """From bin to bin of two rows; infinite where one is unknown."""
        if self._position_mm is None:
            return inf
        apart = dist([axis[right] for axis in self._position_mm], [axis[wrong] for axis in self._position_mm])
        return inf if isnan(apart) else apart


def _column(
    name: str, values: ArrayLike, count: int, part_numbers: Sequence[str], *, above_zero: bool = False
) -> Floats:
    column = np.asarray(values, dtype=np.float64)
    if column.shape != (count,):
        raise WeighingRefused(f"index look-alikes by {name}", column.shape, f"one value for each of {count} parts")
    wrong = ~np.isfinite(column) | (column <= 0 if above_zero else column < 0)
    if wrong.any():
        first = int(np.argmax(wrong))
        least = "above 0 g" if above_zero else "of 0 g or more"
        raise WeighingRefused(
            f"index the {name} of {part_numbers[first]},", float(column[first]), f"a number {least}; sample it first"
        )
    return column
