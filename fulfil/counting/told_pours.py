"""What was poured on a tared scale, told in pieces: for the check of a bag, and for who counts one up.

The pours of a bag are as they come: what the scale showed for each, tared before it, and for those that were counted
out by hand their number. Each is told by the unit weight of the bag's lot *and* by the pours before it
(:mod:`fulfil.weighing.count_up`). The bag's risks are shared out over the pours.

A part without a unit weight that may pass a bag, because nobody sampled it, is told by the first pieces of this very
bag: *two* lots counted out by hand, the second one larger, so that a piece too many in either shows as a contradiction.
Its piece s.d. is then the family's or one percent, known to 25 %. The catalogue's weight bears witness too.

A pour that is too large to be told is refused, with the largest that can be; nothing is lost by pouring it again. One
that lies between two counts is an answer: a wrong part, something foreign, or a scale that wasn't tared.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from fulfil.counting.count_lines import FAMILY_SD_FREEDOM, FIRST_BY_HAND, scale_of
from fulfil.counting.lot_weights import lot_weight
from fulfil.counting.readings import must_be_shown, read_grams
from fulfil.counting.scale_room import bias_shares
from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.quantities import parse_pieces
from fulfil.records.equipment import ScaleRecord
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.store.books import Books
from fulfil.weighing.count_up import MOST_STAGES, Belief, Pourer, Stage, of_first_pour
from fulfil.weighing.learning.prior import LEARNING_PRIOR
from fulfil.weighing.pours import belief_of, pourer_of
from fulfil.weighing.sample_proof import Witness, prove_count
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import hand_reason
from fulfil.weighing.unit_weight import TABLE_BAND, UnitWeight

LEAST_POURS = 4
"""The risks of a bag that wasn't planned for pours are shared out over at least so many."""


@dataclass(frozen=True)
class Pour:
    """What the tared scale showed, and how many pieces it is if they were counted out by hand."""

    net_g: Decimal
    pieces: int | None = None


@dataclass(frozen=True)
class Told:
    """The pieces of each pour, None for one that lies between two counts, and what is known after them.

    ``trouble`` says what doesn't fit, ``unproven`` what is still to be counted by hand; ``stage`` is the next pour, if
    any is due: its pieces and what the scale must show.
    """

    counts: tuple[int | None, ...]
    net_g: Decimal
    trouble: str = ""
    unproven: str = ""
    stage: Stage | None = None

    @property
    def pieces(self) -> int | None:
        """All of them, None if a pour couldn't be told."""
        return None if None in self.counts else sum(count or 0 for count in self.counts)

    @property
    def sum_words(self) -> str:
        """The pours in pieces, as a sum."""
        return " + ".join("?" if count is None else str(count) for count in self.counts)


def read_pour(text: str) -> Pour:
    """A pour as typed: what the scale showed, or pieces counted by hand, a colon, and what it showed.

    >>> read_pour("45.13"), read_pour("20:18.02")
    (Pour(net_g=Decimal('45.13'), pieces=None), Pour(net_g=Decimal('18.02'), pieces=20))
    """
    pieces, colon, shown = text.rpartition(":")
    return Pour(read_grams(shown, "a pour"), parse_pieces(pieces) if colon else None)


def tell_pours(books: Books, bag: Bag, pours: Sequence[Pour], record: ScaleRecord) -> Told:
    """The pieces of each pour of a bag, and the next one if the bag isn't full.

    Raises:
        WeighingRefused: a reading that the scale can't show, a pour that is too large or too small to be told, a part
            too light for the scale, hand counts that contradict each other.
        QuantityRefused: no pours, or a part that nobody sampled without two lots counted by hand.
    """
    if not pours:
        raise QuantityRefused("tell the pours of bag", bag.code, "what the tared scale shows for each")
    for pour in pours:
        must_be_shown(record, pour.net_g, may_be_too_light=False)
    share = bias_shares(books, bag_day(books, bag)).get(record.code)
    scale = scale_of(record) if share is None else scale_of(record, share)
    settings = books.settings()
    known = _known(books, bag, pours)
    if why := hand_reason(replace(known, source="group"), scale):
        raise WeighingRefused("tell the pours of bag", bag.code, why.rstrip("."))
    # A bag that was planned for pours is told by the shares that it was planned with.
    telling = _Telling(bag, known, scale, settings, max(bag.pours if bag.method.is_net else LEAST_POURS, len(pours)))
    weight = lot_weight(books, bag.part_number, bag.lot)
    is_sampled = weight is not None and weight.estimate.is_usable_for_acceptance
    return telling.told(pours, belief_of(known) if is_sampled else None)


def bag_day(books: Books, bag: Bag) -> date:
    """The day of the bag's walk."""
    return books.need(WalkRecord, bag.walk_number).day


def _known(books: Books, bag: Bag, pours: Sequence[Pour]) -> UnitWeight:
    """The unit weight and scatter that the pours are told by; of a part that nobody sampled, its first pour's."""
    weight = lot_weight(books, bag.part_number, bag.lot)
    risk = min(books.settings().risk_pass, books.settings().risk_reject / 2) / MOST_STAGES
    if weight is not None and weight.estimate.is_usable_for_acceptance:
        return weight.estimate.cautious(risk)
    first = pours[0]
    if first.pieces is None or first.pieces < 2 or first.net_g <= 0:
        one, two = FIRST_BY_HAND
        raise QuantityRefused(
            "count up from pieces",
            first.pieces or "not counted",
            f"{one} counted by hand, weighed alone, then {two} more, since nobody sampled {bag.part_number}: "
            f"{one}:GRAMS, {two}:GRAMS",
        )
    mean_g = float(first.net_g) / first.pieces
    share = LEARNING_PRIOR.piece_sd_relative
    if weight is not None and weight.record.piece_sd_g > 0.0:
        share = weight.record.piece_sd_g / weight.record.mean_g
        # The catalogue's weight speaks beyond its band.
        table = Witness("the catalogue", weight.record.mean_g, weight.record.u_g, band=TABLE_BAND)
        proof = prove_count(
            float(first.net_g),
            first.pieces,
            piece_sd_g=share * mean_g,
            reading_u_g=0.0,
            witnesses=[table],
            piece_sd_freedom=FAMILY_SD_FREEDOM,
        )
        if proof.contradictions:
            said = f"{first.pieces} pieces of {first.net_g} g"
            raise WeighingRefused("count up from", said, f"no contradiction: {proof.contradictions[0]}")
    return UnitWeight(
        mean_g, 0.0, share * mean_g, first.pieces, "group", "family prior", piece_sd_freedom=FAMILY_SD_FREEDOM
    ).cautious(risk)


@dataclass(frozen=True)
class _Telling:
    bag: Bag
    known: UnitWeight
    scale: Scale
    settings: Settings
    shares: int

    @property
    def risks(self) -> dict[str, float]:
        return {
            "risk_pass": self.settings.risk_pass / self.shares,
            "risk_reject": self.settings.risk_reject / self.shares,
        }

    def pourer(self, net_g: float) -> Pourer:
        return pourer_of(self.known, self.scale, net_g)

    def told(self, pours: Sequence[Pour], belief: Belief | None) -> Told:
        if belief is not None:
            return self._told_by(pours, belief, [])
        one, two = FIRST_BY_HAND
        first, pourer = pours[0], self.pourer(float(pours[0].net_g))
        pieces = first.pieces or 0
        if len(pours) == 1:
            left = max(two, pieces + pieces // 2)
            return Told((pieces,), first.net_g, unproven=f"count {left} more by hand, tare, weigh them alone")
        if (pours[1].pieces or 0) <= pieces:
            raise QuantityRefused(
                "count up from one lot of pieces",
                pieces,
                f"a second, larger lot counted by hand that proves it: {one}:GRAMS, then {two}:GRAMS",
            )
        belief = of_first_pour(
            pieces,
            float(first.net_g),
            piece_sd_g=pourer.piece_sd_g,
            reading_u_g=pourer.reading_u_g,
            bias_g=pourer.bias_g,
        )
        return self._told_by(pours, belief, [pieces])

    def _told_by(self, pours: Sequence[Pour], belief: Belief, counts: list[int | None]) -> Told:
        """As :meth:`told`, from what is known of the unit weight; the pours in ``counts`` are told already."""
        trouble = ""
        for number, pour in enumerate(pours[len(counts) :], start=len(counts) + 1):
            pourer = self.pourer(float(pour.net_g))
            self._must_be_tellable(number, pour, belief, pourer)
            count = pourer.told(belief, float(pour.net_g), **self.risks)
            if pour.pieces is not None and count != pour.pieces:
                was = "lies between two counts" if count is None else f"is told as {count}"
                raise WeighingRefused(
                    f"believe pour {number} of pieces",
                    pour.pieces,
                    f"what the scale says: {pour.net_g} g {was}. Count both lots again",
                )
            counts.append(count)
            if count is not None:
                belief = belief.after(count, float(pour.net_g), pourer)
            elif not trouble:
                trouble = (
                    f"pour {number}, {pour.net_g} g, is {float(pour.net_g) / belief.mean_g:.2f} pieces, which no whole "
                    "number fits: wrong part, something foreign, or not tared"
                )
        net_g = sum((pour.net_g for pour in pours), Decimal(0))
        return Told(tuple(counts), net_g, trouble, stage=self._next(counts, belief))

    def _must_be_tellable(self, number: int, pour: Pour, belief: Belief, pourer: Pourer) -> None:
        pieces = max(1, round(float(pour.net_g) / belief.mean_g))
        if pourer.stage(pieces, belief, **self.risks) is not None:
            return
        most = pourer.most(belief, pieces, **self.risks)
        expected = f"at most {most} pieces, about {most * belief.mean_g:.4g} g, at once; pour it again in smaller lots"
        if most == 0:
            expected = "pieces that can be told from one more or less; count by hand"
        raise WeighingRefused(f"tell pour {number} of", f"{pour.net_g} g", expected)

    def _next(self, counts: Sequence[int | None], belief: Belief) -> Stage | None:
        """The largest pour that can be told of what is still to come."""
        rest = self.bag.pieces - sum(count or 0 for count in counts)
        if None in counts or rest <= 0:
            return None
        pourer = self.pourer(rest * belief.mean_g)
        most = pourer.most(belief, rest, **self.risks)
        return pourer.stage(most, belief, **self.risks) if most else None
