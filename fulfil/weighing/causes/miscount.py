"""What a sample that may have been miscounted does to a window: the chance that a wrong bag passes all the same.

If the sample held n + j pieces and not the n that were said, one piece weighs n/(n + j) of what is believed, and a bag
filled to the target holds N (n + j)/n pieces. Where that is near another whole number, the wrong bag passes, every bag
of the part. The chance is the doubt of the count times the chance that the likeliest wrong number passes, summed over
the count errors of :data:`fulfil.weighing.sample_proof.COUNT_ERRORS`; a window is made only where this and the bag's
own risk together stay within the shop's. So a lone sample counts bags much smaller than itself, and nothing else until
a second weighing proves it.

A right bag sent back because of a miscounted sample isn't counted as a risk here: it is how the error comes out.

>>> from fulfil.weighing.error_model import error_model
>>> def chance(pieces):
...     bag = error_model(pieces, unit_weight_g=0.9, unit_weight_u_g=0.0013, piece_sd_g=0.009, indication_u_g=0.03)
...     return passes_miscounted(bag, -0.3, 0.3, sample_pieces=50, count_doubt=0.01)
>>> f"{chance(4):.0e} {chance(5):.0e} {chance(25):.0e} {chance(50):.0e}"
'2e-04 2e-04 2e-03 1e-02'
"""

from dataclasses import replace

from fulfil.weighing.error_model import ARRAY, ErrorModel, Value
from fulfil.weighing.sample_proof import COUNT_ERRORS


def passes_miscounted(bag: ErrorModel, low_g: Value, high_g: Value, *, sample_pieces: int, count_doubt: float) -> Value:
    """The chance that a wrong bag passes since the sample was miscounted; limits as deviations from the target, g."""
    bag = replace(bag, arithmetic=ARRAY)
    m, spread = bag.arithmetic, bag.spread(0)
    possible = {off: share for off, share in COUNT_ERRORS.items() if sample_pieces + off > 0}
    total = 0.0 * spread
    for off, share in possible.items():
        true_g = bag.unit_weight_g * sample_pieces / (sample_pieces + off)
        # How many pieces too many the bag holds when it weighs what the target says.
        filled = bag.pieces * off / sample_pieces
        worst = 0.0 * spread
        for extra in (filled // 1, filled // 1 + 1):
            deviation = (bag.pieces + extra) * true_g - bag.pieces * bag.unit_weight_g
            passing = m.ndtr((high_g - deviation) / spread) - m.ndtr((low_g - deviation) / spread)
            is_wrong = (extra != 0) & (bag.pieces + extra >= 0)
            worst = m.maximum(worst, m.where(is_wrong, passing, 0.0))
        total = total + count_doubt * share / sum(possible.values()) * worst
    return total
