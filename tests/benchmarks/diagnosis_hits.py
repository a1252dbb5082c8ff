"""How often the first explanation of a bag is the true one, and whether its probabilities hold.

Bags are drawn from the demo catalogue at counts the scale can resolve. First each mistake is equally frequent, so that
the table doesn't flatter the common ones; then mistakes are as frequent as the priors say, and what was said with 10 %,
20 % … is compared with how often it was right. Only bags outside their window are explained. Physical: a foreign piece
is a piece of another part, more often of the family, beside the right ones or in place of one; two mistakes are a
miscount together with a tare slip, another bag type or another part; something else is any weight up to twice the right
one.

Run: python -m tests.benchmarks.diagnosis_hits [bags of each mistake] [bags of the calibration]
"""

import csv
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fulfil.weighing.causes.diagnosis import Cause, Explanation, explain_bag
from fulfil.weighing.causes.mistake_priors import BAG_PRIORS
from fulfil.weighing.lookalike import LookAlikeIndex
from fulfil.weighing.window import count_window, largest_count

TARE_G, TARE_SD_G, INDICATION_U_G, OTHER_TARE_G = 1.85, 0.03, 0.013, 3.1
OFF = {Cause.ONE_SHORT: -1, Cause.ONE_OVER: 1, Cause.TWO_SHORT: -2, Cause.TWO_OVER: 2, Cause.SEVERAL_SHORT: -5}
PLANTED = (*OFF, Cause.OTHER_COUNT, Cause.LOOK_ALIKE, Cause.FOREIGN_PIECE, Cause.LABELS_SWAPPED, Cause.TARE_FORGOTTEN,
           Cause.TARE_TWICE, Cause.OTHER_BAG_TYPE, Cause.TWO_MISTAKES, Cause.LOT_SHIFT,
           Cause.SOMETHING_ELSE)  # fmt: skip


@dataclass(frozen=True)
class Parts:
    """The catalogue's sampled parts, columns of one length, and those that are counted to 6 pieces and more."""

    numbers: list[str]
    family: list[str]
    mean_g: np.ndarray
    u_g: np.ndarray
    sd_g: np.ndarray
    index: LookAlikeIndex
    largest: np.ndarray
    able: np.ndarray


def demo_parts() -> Parts:
    """Those of the demo catalogue."""
    path = Path(__file__).parents[2] / "demo_catalog" / "parts.csv"
    with path.open(encoding="utf-8", newline="") as source:
        rows = [row for row in csv.DictReader(source) if row["unit_weight_g"] and int(row["sample_pieces"] or 0) > 1]
    numbers, family = [row["part"] for row in rows], [row["family"] for row in rows]
    mean = np.array([float(row["unit_weight_g"]) for row in rows])
    sd = np.array([float(row["piece_sd_g"]) for row in rows])
    u = sd / np.sqrt([int(row["sample_pieces"]) for row in rows])
    index = LookAlikeIndex(numbers, mean, u, sd, family, *([row[name] for row in rows] for name in ("size", "finish")))
    largest = np.asarray(
        largest_count(
            unit_weight_g=mean, unit_weight_u_g=u, piece_sd_g=sd, indication_u_g=INDICATION_U_G, tare_u_g=TARE_SD_G
        )
    )
    return Parts(numbers, family, mean, u, sd, index, largest, np.flatnonzero(largest >= 6))


def one_bag(parts: Parts, cause: Cause, rng: np.random.Generator) -> tuple[str, list[Explanation]] | None:
    """A bag with one mistake: the part that is wrong in it, and what is said; None where its window takes it."""
    part = int(rng.choice(parts.able))
    pieces = int(rng.integers(6, min(200, int(parts.largest[part])) + 1))
    others = [(parts.numbers[i], int(rng.integers(1, 100))) for i in rng.choice(parts.able, 6, replace=False)]
    shares = parts.index.mistake_shares(part, np.arange(len(parts.numbers)))
    kin = int(rng.choice(len(parts.numbers), p=shares / shares.sum()))
    held, count, tare, foreign_g = part, pieces + OFF.get(cause, 0), TARE_G, 0.0
    wrong = ""
    slip = cause
    if cause is Cause.TWO_MISTAKES:
        count += int(rng.choice([-1, 1, -2, 2], p=np.array([6, 4, 1.5, 1]) / 12.5))
        slip = rng.choice([Cause.TARE_FORGOTTEN, Cause.TARE_TWICE, Cause.OTHER_BAG_TYPE, Cause.LOOK_ALIKE],
                          p=np.array([2, 1, 2, 3]) / 8)  # fmt: skip
    if slip is Cause.LOOK_ALIKE:
        held, wrong = kin, parts.numbers[kin]
    elif slip is Cause.FOREIGN_PIECE:
        foreign_g, wrong = float(parts.mean_g[kin] + parts.sd_g[kin] * rng.standard_normal()), parts.numbers[kin]
        count -= int(rng.random() < 0.5)
    elif slip is Cause.LABELS_SWAPPED:
        held, count = parts.index.place(others[0][0]), others[0][1]
    elif slip is Cause.OTHER_COUNT:
        count = others[0][1]
    elif slip in (Cause.TARE_FORGOTTEN, Cause.TARE_TWICE):
        tare = 2 * TARE_G if slip is Cause.TARE_FORGOTTEN else 0.0
    elif slip is Cause.OTHER_BAG_TYPE:
        tare = OTHER_TARE_G
    lot = 0.005 * parts.mean_g[held] * rng.standard_normal() if cause is Cause.LOT_SHIFT else 0.0
    unit = parts.mean_g[held] + parts.u_g[held] * rng.standard_normal() + lot
    noise = np.hypot(np.sqrt(count) * parts.sd_g[held], np.hypot(TARE_SD_G, INDICATION_U_G)) * rng.standard_normal()
    gross = float(max(0.0, count * unit + foreign_g + tare + noise))
    if cause is Cause.SOMETHING_ELSE:
        gross = float(rng.uniform(0, 2 * (pieces * parts.mean_g[part] + TARE_G)))
    mean, u, sd = float(parts.mean_g[part]), float(parts.u_g[part]), float(parts.sd_g[part])
    window = count_window(
        pieces, unit_weight_g=mean, unit_weight_u_g=u, piece_sd_g=sd, indication_u_g=INDICATION_U_G, tare_g=TARE_G,
        tare_u_g=TARE_SD_G,
    )  # fmt: skip
    if window.lower_g <= gross <= window.upper_g:
        return None
    return wrong, list(
        explain_bag(
            gross, part_number=parts.numbers[part], pieces=pieces, unit_weight_g=mean, unit_weight_u_g=u,
            piece_sd_g=sd, indication_u_g=INDICATION_U_G, tare_g=TARE_G, tare_sd_g=TARE_SD_G, other_lines=others,
            other_bag_tares_g=[("other", OTHER_TARE_G)], catalogue=parts.index,
        )
    )  # fmt: skip


def is_right(one: Explanation, cause: Cause, wrong: str) -> bool:
    """Whether an explanation names the mistake, and of another part which (where it names one)."""
    return one.cause is cause and (cause not in (Cause.LOOK_ALIKE, Cause.FOREIGN_PIECE) or one.subject in ("", wrong))


def by_cause(parts: Parts, bags: int) -> None:
    """Print, for each planted cause: bags explained, first explanation right, among the first three, cannot tell."""
    rng = np.random.default_rng(8)
    print(f"{'planted':22} {'explained':>9} {'first':>7} {'in 3':>7} {'unsure':>7}")
    for cause in PLANTED:
        told = [found for found in (one_bag(parts, cause, rng) for _ in range(bags)) if found is not None]
        plain = [(wrong, [e for e in said if e.cause is not Cause.CANNOT_TELL], said) for wrong, said in told]
        first = np.mean([is_right(named[0], cause, wrong) for wrong, named, _ in plain])
        third = np.mean([any(is_right(e, cause, wrong) for e in named[:3]) for wrong, named, _ in plain])
        unsure = np.mean([len(named) < len(said) for _, named, said in plain])
        print(f"{cause.value:22} {len(told):9d} {first:7.0%} {third:7.0%} {unsure:7.0%}")


def calibration(parts: Parts, bags: int) -> list[tuple[float, bool]]:
    """Probability and truth of each first explanation, mistakes as frequent as the priors say."""
    rng = np.random.default_rng(9)
    rate = {cause: getattr(BAG_PRIORS, cause.name.lower(), 0.0) for cause in PLANTED} | {
        # Independent mistakes: their rates multiply.
        Cause.TWO_MISTAKES: 0.0125 * 0.008,
        Cause.OTHER_COUNT: BAG_PRIORS.other_count,
    }
    chance = np.array([rate[cause] for cause in PLANTED]) / sum(rate.values())
    found = []
    for place in rng.choice(len(PLANTED), bags, p=chance):
        one = one_bag(parts, PLANTED[place], rng)
        if one is not None:
            first = next(e for e in one[1] if e.cause is not Cause.CANNOT_TELL)
            found.append((first.probability, is_right(first, PLANTED[place], one[0])))
    return found


def main(each: int, bags: int) -> None:
    """Print both tables."""
    parts = demo_parts()
    print(f"{len(parts.numbers)} parts with a sample, {parts.able.size} of them counted to 6 or more")
    by_cause(parts, each)
    found = calibration(parts, bags)
    tenth = np.array([min(9, int(10 * probability)) for probability, _ in found])
    right = np.array([truth for _, truth in found])
    told = [f"{i / 10:.1f}+ {right[tenth == i].mean():.2f} ({(tenth == i).sum()})"
            for i in range(10) if (tenth == i).any()]  # fmt: skip
    print(f"as often as the priors say: said / right: {', '.join(told)}")
    sure = [truth for probability, truth in found if probability >= 0.99]
    print(f"verdicts of 99 % and more: {sum(sure)} of {len(sure)} right")


if __name__ == "__main__":
    main(*(int(word) for word in (sys.argv[1:] + ["300", "3000"][len(sys.argv) - 1 :])))
