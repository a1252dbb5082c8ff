"""Findings: what is off in the world, listed all at once, each with its source and the next action.

>>> print(Finding("parts.csv", 17, "unit_weight_g", "-5", "a unit weight must be above zero", "weigh a sample"))
parts.csv, line 17, unit_weight_g '-5': a unit weight must be above zero. Do: weigh a sample.
"""

from dataclasses import asdict, dataclass


@dataclass(frozen=True, order=True)
class Finding:
    """One thing that is off: where (``source``, ``line``, ``field``), what was found, what to do next.

    ``line`` counts from 1 (a file's header is line 1); None where the source has no lines.
    """

    source: str
    line: int | None
    field: str
    value: str
    says: str
    do: str

    def __str__(self) -> str:
        where = self.source if self.line is None else f"{self.source}, line {self.line}"
        what = f", {self.field} '{self.value}'" if self.field else ""
        return f"{where}{what}: {self.says}. Do: {self.do}."

    def as_dict(self) -> dict[str, object]:
        """The finding for programs."""
        return asdict(self)
