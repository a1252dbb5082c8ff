"""The likely cause of a drift, read from its pattern over all weighings since the change.

Each cause says which weighings should be off, and whether by grams or in proportion::

    scale zero     all on one scale, the same grams
    scale span     all on one scale, in proportion to the weight
    tare           all in one type of bag, the same grams, on every scale
    lot, coating   one lot of one part, in proportion, on every scale

Each is a one-parameter least-squares fit x β to the standardised residuals z since the change; its
likelihood gains ½ (x·z)²/(x·x), and equal priors make those gains into probabilities. A lot that began
since the part's former weighings speaks for the lot; the same lot as before for a coated or other variant
in the bin. Causes that fit alike (one part only was weighed) give "cannot tell".

Limits: one cause at a time; gains of fits to unlike subsets are compared without a penalty, since each
spends one parameter.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.errors import WeighingRefused
from fulfil.weighing.causes.ranking import DECISIVE_ODDS

Floats = NDArray[np.float64]


class DriftCause(StrEnum):
    """What makes weights drift; ties go to the earlier one."""

    SCALE_ZERO = "scale zero"
    SCALE_SPAN = "scale span"
    TARE = "tare"
    LOT = "lot"
    COATING = "coating"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class FoundCause:
    """A cause, its probability among those compared, its size (g or share) and what to do.

    ``rivals`` are the causes that can't be told apart, the one cause alone when it can.
    """

    cause: DriftCause
    rivals: tuple[DriftCause, ...]
    probability: float
    shift: float
    sentence: str


@dataclass(frozen=True, eq=False, slots=True)
class Weighings:
    """Columns of weighings in the order of time, all of one length; labels are rows of their sorted names."""

    part_names: tuple[str, ...]
    lot_names: tuple[str, ...]
    scale_names: tuple[str, ...]
    bag_type_names: tuple[str, ...]
    part: NDArray[np.intp]
    lot: NDArray[np.intp]
    scale: NDArray[np.intp]
    bag_type: NDArray[np.intp]
    residual_g: Floats
    expected_g: Floats
    sd_g: Floats

    @classmethod
    def of(
        cls,
        part_numbers: Sequence[str],
        lots: Sequence[str],
        scales: Sequence[str],
        residual_g: ArrayLike,
        expected_g: ArrayLike,
        sd_g: ArrayLike,
        bag_types: Sequence[str] | None,
    ) -> "Weighings":
        """Check the columns once, where they enter."""
        rows = len(part_numbers)
        columns: dict[str, Floats] = {}
        for name, values, is_free in (
            ("residuals in g", residual_g, True),
            ("expected weights in g", expected_g, False),
            ("s.d. in g", sd_g, False),
        ):
            column = np.broadcast_to(np.asarray(values, dtype=np.float64), (rows,))
            wrong = ~np.isfinite(column) | (not is_free) & (column <= 0)
            if wrong.any():
                row = int(np.argmax(wrong))
                expected = "a number" if is_free else "a number above 0"
                raise WeighingRefused(f"chart {name} (weighing {row + 1})", float(column[row]), expected)
            columns[name] = column
        for name, labels in (("lots", lots), ("scales", scales), ("bag types", bag_types)):
            if labels is not None and len(labels) != rows:
                raise WeighingRefused(f"chart {name}:", len(labels), f"one for each of {rows} weighings")
        names: list[tuple[str, ...]] = []
        codes: list[NDArray[np.intp]] = []
        for labels in (part_numbers, lots, scales, [""] * rows if bag_types is None else bag_types):
            unique, code = np.unique(np.asarray(labels, dtype=str), return_inverse=True)
            names.append(tuple(unique.tolist()))
            codes.append(code)
        return cls(names[0], names[1], names[2], names[3], codes[0], codes[1], codes[2], codes[3], *columns.values())


def likely_cause(weighings: Weighings, row: int, since_row: int, until_row: int | None = None) -> FoundCause:
    """The cause that best explains the residuals from ``since_row`` to ``row``, both included.

    ``until_row`` looks on to a later one; part, lot, scale and bag type stay those of ``row``.
    """
    span = slice(since_row, (row if until_row is None else until_row) + 1)
    z = weighings.residual_g[span] / weighings.sd_g[span]
    offset, proportion = 1 / weighings.sd_g[span], weighings.expected_g[span] / weighings.sd_g[span]
    part, lot = weighings.part[row], weighings.lot[row]
    on_scale = weighings.scale[span] == weighings.scale[row]
    in_bag_type = weighings.bag_type[span] == weighings.bag_type[row]
    of_lot = (weighings.part[span] == part) & (weighings.lot[span] == lot)
    before = weighings.lot[:since_row][weighings.part[:since_row] == part]
    is_new_lot = before.size > 0 and not bool((before == lot).any())
    candidates = (
        (DriftCause.SCALE_ZERO, on_scale, offset),
        (DriftCause.SCALE_SPAN, on_scale, proportion),
        (DriftCause.TARE, in_bag_type, offset),
        (DriftCause.LOT if is_new_lot else DriftCause.COATING, of_lot, proportion),
    )
    gains, shifts = [], []
    for _, subset, shape in candidates:
        x = shape[subset]
        norm, along = float((x * x).sum()), float((x * z[subset]).sum())
        shifts.append(along / norm)
        gains.append(0.5 * along**2 / norm)
    share = np.exp(np.array(gains) - max(gains))
    share /= share.sum()
    first, second = np.argsort(-share, kind="stable")[:2]
    cause, shift = candidates[first][0], shifts[first]
    if share[first] < DECISIVE_ODDS * share[second]:
        rivals = tuple(
            candidate[0] for candidate, p in zip(candidates, share, strict=True) if p * DECISIVE_ODDS > share[first]
        )
        sentence = (
            f"{weighings.part_names[part]} weighs off on scale {weighings.scale_names[weighings.scale[row]]}; the "
            f"weighings can't tell {' or '.join(rivals)} apart. Try the check weight, weigh an empty bag, then sample "
            "the bin again."
        )
        close = float(share[share * DECISIVE_ODDS > share[first]].sum())
        return FoundCause(DriftCause.CANNOT_TELL, rivals, close, shift, sentence)
    return FoundCause(cause, (cause,), float(share[first]), shift, _sentence(cause, shift, weighings, row))


def _sentence(cause: DriftCause, shift: float, weighings: Weighings, row: int) -> str:
    part, lot = weighings.part_names[weighings.part[row]], weighings.lot_names[weighings.lot[row]]
    scale = weighings.scale_names[weighings.scale[row]]
    bag_type = weighings.bag_type_names[weighings.bag_type[row]]
    offset = f"{abs(shift):.3f} g {'high' if shift > 0 else 'low'}"
    percent = f"{100 * abs(shift):.2f} %"
    match cause:
        case DriftCause.SCALE_ZERO:
            return (
                f"Scale {scale} reads {offset} at every load. Clean the pan, set zero, try the check weight; "
                "weigh today's bags again if it was off."
            )
        case DriftCause.SCALE_SPAN:
            return (
                f"Scale {scale} shows {percent} too {'much' if shift > 0 else 'little'} in proportion to the weight. "
                "Try the check weights; stop using it until it is adjusted."
            )
        case DriftCause.TARE:
            return (
                f"Bags of type {bag_type or 'in use'} weigh {abs(shift):.3f} g "
                f"{'more' if shift > 0 else 'less'} than their tare. Weigh ten empty ones, set the tare again."
            )
        case DriftCause.LOT:
            return (
                f"Lot {lot} of {part} weighs {percent} {'more' if shift > 0 else 'less'} per piece than the lots "
                "before. Sample the bin again before the next bag."
            )
        case _:
            return (
                f"{part} weighs {percent} {'more' if shift > 0 else 'less'} per piece in the same lot {lot}: a coated "
                "or other variant may be in the bin. Look at the finish, then sample again."
            )
