"""Rank explanations of one weight that is off: Bayes' rule over many simple hypotheses at once.

Each hypothesis H says by how much the weight should be off and how far it may scatter about that::

    P(H | δ) ∝ P(H) · N(δ; shift_H, variance_H)

"Something else" has one broad, flat density, so that no explanation wins only because all the others
are worse. The method is the normal-theory comparison of gross errors used in data reconciliation
(R. S. H. Mah and A. C. Tamhane, AIChE Journal 28 (1982) 828), with prior probabilities added.

>>> ranking = Ranking(deviation_g=-2.0)
>>> ranking.add(Cause.RIGHT, 0.99, shift_g=0.0, variance_g2=0.25, say=lambda row: "All there.")
>>> ranking.add(Cause.ONE_SHORT, 0.01, shift_g=-2.0, variance_g2=0.25, say=lambda row: "One short.")
>>> [(e.cause.value, round(e.probability, 3)) for e in ranking.explanations()]
[('one short', 0.968), ('right', 0.032)]

Limits: the densities are normal; three mistakes in one weighing fall to "something else".
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite, log, pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.errors import WeighingRefused

DECISIVE_ODDS = 10.0
"""Odds from which the likeliest explanation counts as told from the next ("strong" evidence:
H. Jeffreys, Theory of Probability, 3rd ed. 1961, appendix B)."""

FARTHEST_SD = 7.0
"""A hypothesis farther off than this many s.d. is dropped: its density is 2e-11 of its peak."""

FARTHEST_PART_SD = 5.0
"""A wrong part farther off than this isn't looked at: one among thousands, it could never outweigh the rest."""

MOST_ROWS = 5
"""Of many alternatives of one kind (parts), so many are named; the rest goes into one explanation."""


class Cause(StrEnum):
    """What may be behind a weight that is off; ties in probability go to the earlier one."""

    CANNOT_TELL = "cannot tell"
    RIGHT = "right"
    ONE_SHORT = "one short"
    ONE_OVER = "one over"
    TWO_SHORT = "two short"
    TWO_OVER = "two over"
    SEVERAL_SHORT = "several short"
    SEVERAL_OVER = "several over"
    OTHER_COUNT = "other line's count"
    LABELS_SWAPPED = "labels swapped"
    BAG_MISSING = "bag missing"
    BAG_DOUBLED = "bag doubled"
    BAG_SWAPPED = "bag swapped"
    TWO_BAGS_MISSING = "two bags missing"
    LOOK_ALIKE = "look-alike part"
    FOREIGN_PIECE = "foreign piece"
    TARE_FORGOTTEN = "tare forgotten"
    TARE_TWICE = "tare taken twice"
    OTHER_BAG_TYPE = "other bag type"
    PACKING_LEFT_OUT = "packing left out"
    PACKING_DOUBLED = "packing doubled"
    OTHER_BOX = "other box"
    LOT_SHIFT = "lot shift"
    SCALE_ZERO = "scale zero"
    TWO_MISTAKES = "two mistakes"
    SOMETHING_ELSE = "something else"


_ORDER = {cause: place for place, cause in enumerate(Cause)}


@dataclass(frozen=True, slots=True)
class Explanation:
    """One possible cause of a weight that is off.

    Attributes:
        cause: What happened.
        subject: The part number, bag code or bag type it happened to; empty when it is the whole weighing.
        probability: Posterior probability, 0 to 1, given the priors.
        sentence: What it means and what to do, in plain words for the bench.
    """

    cause: Cause
    subject: str
    probability: float
    sentence: str

    @property
    def told(self) -> str:
        """The sentence with its probability; a "cannot tell" names those of its rivals itself."""
        percent = "" if self.cause is Cause.CANNOT_TELL else f" ({100 * self.probability:.0f} %)"
        return f"{self.sentence}{percent}"


@dataclass(frozen=True, slots=True)
class _Block:
    cause: Cause
    subject: Callable[[int], str]
    say: Callable[[int], str]
    rows: NDArray[np.intp]
    log_weight: NDArray[np.float64]
    is_one: bool
    rest: str

    def explanations(self, share: NDArray[np.float64], least_probability: float) -> list[Explanation]:
        """This block's explanations, given the posterior probability of each row."""
        if self.is_one:
            likeliest = int(np.argmax(share))
            found = [self._explanation(likeliest, float(share.sum()))]
        else:
            listed = np.flatnonzero(share >= least_probability)
            if self.rest:
                listed = listed[np.argsort(-share[listed], kind="stable")[:MOST_ROWS]]
            found = [self._explanation(int(i), float(share[i])) for i in listed]
            if self.rest:
                left = float(np.delete(share, listed).sum())
                found.append(Explanation(self.cause, "", left, self.rest))
        return [e for e in found if e.probability >= least_probability]

    def _explanation(self, i: int, probability: float) -> Explanation:
        row = int(self.rows[i])
        return Explanation(self.cause, self.subject(row), probability, self.say(row))


class Ranking:
    """Collects hypotheses about one deviation, then ranks them."""

    def __init__(self, deviation_g: float) -> None:
        self._deviation_g = deviation_g
        self._blocks: list[_Block] = []

    def add(
        self,
        cause: Cause,
        prior: ArrayLike,
        *,
        shift_g: ArrayLike,
        variance_g2: ArrayLike,
        say: Callable[[int], str],
        subject: Callable[[int], str] = lambda row: "",
        is_one: bool = True,
        rest: str = "",
    ) -> None:
        """Add hypotheses with one cause; ``prior``, ``shift_g`` and ``variance_g2`` broadcast to one row each.

        ``say(row)`` gives the sentence of a row and ``subject(row)`` what it happened to. With ``is_one`` the rows
        are variants of one explanation (three short, four short, ...), which speaks with its likeliest row.
        Otherwise each is its own; with a sentence for the ``rest`` only the likeliest five are, and the
        rest of them is one more explanation, without a subject.
        """
        shift = np.atleast_1d(np.asarray(shift_g, dtype=np.float64)).ravel()
        variance = np.asarray(variance_g2, dtype=np.float64).ravel()
        squared = (self._deviation_g - shift) ** 2 / variance
        rows = np.flatnonzero(squared < FARTHEST_SD**2)
        prior_rows = np.broadcast_to(np.asarray(prior, dtype=np.float64).ravel(), squared.shape)[rows]
        rows, prior_rows = rows[prior_rows > 0], prior_rows[prior_rows > 0]
        if rows.size == 0:
            return
        variance_rows = np.broadcast_to(variance, squared.shape)[rows]
        log_weight = np.log(prior_rows) - 0.5 * (squared[rows] + np.log(2 * pi * variance_rows))
        self._blocks.append(_Block(cause, subject, say, rows, log_weight, is_one, rest))

    def add_flat(self, prior: float, *, density_per_g: float, sentence: str) -> None:
        """Add "something else": the same density for every deviation."""
        if prior > 0:
            block = _Block(
                Cause.SOMETHING_ELSE,
                lambda row: "",
                lambda row: sentence,
                np.zeros(1, dtype=np.intp),
                np.array([log(prior * density_per_g)]),
                True,
                "",
            )
            self._blocks.append(block)

    def explanations(self, *, least_probability: float = 0.001, decisive_odds: float = 1.0) -> tuple[Explanation, ...]:
        """Explanations by falling probability; those below ``least_probability`` are left out.

        When the likeliest is less than ``decisive_odds`` times as probable as the next, a "cannot tell"
        heads them; its probability is that of the explanations it names, together.
        """
        if not self._blocks:
            return ()
        top = max(float(block.log_weight.max()) for block in self._blocks)
        weights = [np.exp(block.log_weight - top) for block in self._blocks]
        total = sum(float(weight.sum()) for weight in weights)
        found: list[Explanation] = []
        for block, weight in zip(self._blocks, weights, strict=True):
            found.extend(block.explanations(weight / total, least_probability))
        found.sort(key=lambda e: (-e.probability, _ORDER[e.cause], e.subject))
        return _with_doubt(tuple(found), decisive_odds)


def _with_doubt(found: tuple[Explanation, ...], decisive_odds: float) -> tuple[Explanation, ...]:
    if len(found) < 2 or found[0].probability >= decisive_odds * found[1].probability:
        return found
    rivals = [e for e in found[:3] if e.probability * decisive_odds > found[0].probability]
    named = " or ".join(
        f"{e.cause}{f' ({e.subject})' if e.subject else ''} {100 * e.probability:.0f} %" for e in rivals
    )
    sentence = f"The weight alone can't tell: {named}. Open it and count."
    doubt = Explanation(Cause.CANNOT_TELL, "", sum(e.probability for e in rivals), sentence)
    return (doubt, *found)


def check_numbers(
    attempted: str,
    *,
    above_zero: Mapping[str, float],
    zero_or_more: Mapping[str, float],
    finite: Mapping[str, float] = {},
) -> None:
    """Refuse the first number that isn't finite or lies outside its range, by its name."""
    for numbers, expected, holds in (
        (above_zero, "a number above 0", lambda value: value > 0),
        (zero_or_more, "a number of 0 or more", lambda value: value >= 0),
        (finite, "a number", lambda value: True),
    ):
        for name, value in numbers.items():
            if not (isfinite(value) and holds(value)):
                raise WeighingRefused(f"{attempted} with {name}", value, expected)


MOST_CAUSES = 3


def worth_a_line(found: Sequence[Explanation]) -> tuple[Explanation, ...]:
    """The explanations worth a line: the first, and others of one per cent or more, three at most."""
    return tuple(cause for place, cause in enumerate(found[:MOST_CAUSES]) if place == 0 or cause.probability >= 0.01)
