"""Why a bag or a package weighs what it weighs: ranked explanations with probabilities.

With δ = indication − expected, each explanation shifts δ and has its own scatter::

    k pieces off      kμ                 (N + k) σ² + (N + k)² u²(μ) + u_t² + u_s²
    wrong part b      N (μ_b − μ_a)      N σ_b² + N² u²(μ_b) + u_t² + u_s²
    bag l missing     −(q_l μ_l + t_l)   without bag l's own scatter
    tare              ± t, or the difference to another bag type
    lot, scale zero   none               a wider scatter
    something else    one flat density

and Bayes' rule ranks them (:mod:`fulfil.weighing.causes.ranking`). When the first two are close, a "cannot tell"
heads the list. A package with a bag of 20 screws comes out 13.4 g light:

>>> bags = (PackedBag("B-1", "BALL-4", 120, 0.263, 0.0002, 0.0005, 2.1, 0.05),
...         PackedBag("B-2", "CAP-M8x20", 20, 13.4, 0.01, 0.1, 2.1, 0.05),
...         PackedBag("B-3", "CAP-M3x16", 50, 1.2, 0.001, 0.006, 2.1, 0.05))
>>> first = explain_package(485.86 - 13.4, bags, packing_g=120.0, packing_sd_g=0.3, indication_u_g=0.1)[0]
>>> first.cause.value, first.subject, first.probability > 0.98
('one short', 'B-2', True)
>>> first.sentence
'Bag B-2 may hold 19 CAP-M8x20, not 20. Open it and count.'

Limits: of a bag two mistakes at once at most, of a package two bags that are missing; a wrong part counted to the right
weight gives no shift and no weight finds it; the priors (:mod:`fulfil.weighing.causes.mistake_priors`) are judgement
until a shop's own counts replace them (:mod:`fulfil.weighing.causes.learned_priors`).
"""

from fulfil.weighing.causes.bag_diagnosis import explain_bag
from fulfil.weighing.causes.mistake_priors import BagPriors, PackagePriors
from fulfil.weighing.causes.package_diagnosis import explain_package
from fulfil.weighing.causes.packed_bag import PackedBag
from fulfil.weighing.causes.ranking import Cause, Explanation

__all__ = [
    "BagPriors",
    "Cause",
    "Explanation",
    "PackagePriors",
    "PackedBag",
    "explain_bag",
    "explain_package",
]
