"""The check-weight test that a scale passes before its indications count.

Each check weight L gives an indication I. The scale passes when every error is within the error permitted in service
and repeated weighings of one weight differ by no more than that (OIML R 76-1:2006, 3.6.1). With the small weights ΔL
that turn the indication over, the error is E = I + ½ d − ΔL − L (A.4.4.3); without them E = I − L. A check weight has
to be known three times better than the error it tests (3.7.1).

>>> from decimal import Decimal as D
>>> bench = Scale("III", D("0.1"), D("0.1"), D(600))
>>> check_scale(bench, [CheckReading(D(50), D("50.0")), CheckReading(D(200), D("200.3"))]).reasons
('200 g check weight: error +0.3 g, permitted 0.2 g. Take the scale out of use and call the verifier.',)

Limits: it tests the loads put on. Choose weights near Min, near the usual bag and near capacity (common practice).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import WeighingRefused
from fulfil.standards.oiml_r76 import corrected_error_g
from fulfil.weighing.scale import Scale


@dataclass(frozen=True, slots=True)
class CheckReading:
    """One check weight put on the pan, in g, exact."""

    weight_g: Decimal
    indication_g: Decimal
    added_g: Decimal | None = None
    """Small weights ΔL that turned the indication over by one interval; None if that wasn't tried."""
    weight_tolerance_g: Decimal = Decimal(0)
    """Permissible error of the check weight itself, from its certificate."""


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """The outcome. ``reasons`` is empty when passed; ``worst_share`` is the largest error by the permitted one."""

    passed: bool
    reasons: tuple[str, ...]
    worst_share: float


def check_scale(scale: Scale, readings: Sequence[CheckReading]) -> ScaleCheck:
    """Hold every reading against the error permitted in service; all reasons at once, in the order weighed.

    Raises:
        WeighingRefused: no check weight above 0 g, a weight above capacity, or one not known well enough.
    """
    if not any(reading.weight_g > 0 for reading in readings):
        raise WeighingRefused("check a scale with", f"{len(readings)} readings", "at least one check weight above 0 g")
    reasons: list[str] = []
    shares: list[Decimal] = []
    indications: dict[Decimal, list[Decimal]] = {}
    for reading in readings:
        permitted = _permitted_g(scale, reading)
        error = reading.indication_g - reading.weight_g
        if reading.added_g is not None:
            error = corrected_error_g(reading.indication_g, reading.weight_g, d_g=scale.d_g, added_g=reading.added_g)
        indications.setdefault(reading.weight_g, []).append(reading.weight_g + error)
        shares.append(abs(error) / permitted)
        if abs(error) > permitted:
            reasons.append(
                f"{reading.weight_g} g check weight: error {error:+f} g, permitted {permitted.normalize():f} g. "
                "Take the scale out of use and call the verifier."
            )
    for weight, seen in indications.items():
        permitted = scale.permissible_error_g(weight)
        if max(seen) - min(seen) > permitted:
            reasons.append(
                f"{weight} g check weight: repeated weighings differ by {max(seen) - min(seen)} g, "
                f"permitted {permitted.normalize():f} g. Shield the scale from draughts, level it, and check again."
            )
    return ScaleCheck(passed=not reasons, reasons=tuple(reasons), worst_share=float(max(shares)))


def _permitted_g(scale: Scale, reading: CheckReading) -> Decimal:
    if not (reading.weight_g.is_finite() and reading.indication_g.is_finite()):
        raise WeighingRefused(
            f"check a scale at {reading.weight_g} g by",
            f"{reading.indication_g} g",
            "a number; wait for a steady reading",
        )
    if not 0 <= reading.weight_g <= scale.capacity_g:
        raise WeighingRefused(
            "check a scale with", f"{reading.weight_g} g", f"a check weight up to its capacity of {scale.capacity_g} g"
        )
    permitted = scale.permissible_error_g(reading.weight_g)
    if 3 * reading.weight_tolerance_g > permitted:
        raise WeighingRefused(
            f"check a scale at {reading.weight_g} g with a weight known to",
            f"{reading.weight_tolerance_g} g",
            f"a weight known to a third of the permitted {permitted.normalize():f} g",
        )
    return permitted
