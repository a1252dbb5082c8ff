"""Which hazard words are kept out of one package with which others.

The UN Model Regulations (4.1.1.6, as in ADR 4.1.1.6; quoted from memory) forbid packing dangerous goods together with
others that react dangerously with them. A small shop can't judge reactions, so the table is cautious (common
practice): each dangerous good travels apart from every other kind, and magnets apart from static-sensitive parts and
lithium batteries.

>>> sorted(KEEP_APART["flammable"])
['corrosive', 'lithium-battery', 'magnet', 'pressurised']
>>> parted(("sharp", "lead")), parted(("flammable", "corrosive", "sharp"))
((), (('corrosive', 'flammable'),))

Limits: keeping goods apart clears none of them; what stops for review (:mod:`fulfil.standards.dangerous_goods`) still
stops. The supplier's safety data sheet (section 14), the carrier's rules and local codes govern.
"""

from collections.abc import Iterable
from itertools import combinations

from fulfil.standards.dangerous_goods import HAZARDS, validate

_DANGEROUS = frozenset(hazard.word for hazard in HAZARDS if hazard.stops_for_review)

KEEP_APART: dict[str, frozenset[str]] = {
    **{word: _DANGEROUS - {word} for word in sorted(_DANGEROUS)},
    "magnet": (_DANGEROUS - {"magnet"}) | {"static-sensitive"},
    "static-sensitive": frozenset({"magnet"}),
}
"""For a hazard word, the words that may not share its package; words that aren't here go with any."""


def parted(words: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The pairs of these words that may not share a package, sorted."""
    wanted = sorted({validate(word) for word in words})
    return tuple(pair for pair in combinations(wanted, 2) if pair[1] in KEEP_APART.get(pair[0], ()))
