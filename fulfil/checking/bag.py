"""The verdict on one bag: passed, recount, look or stop, with the reason in words for the bench.

Rule: a bag that is counted by weight passes when its indication lies in its window (limits included); a bag counted
by hand passes when the checker's own count agrees. Everything else goes back to be counted again; the third time it
stops for a person to decide. The window was placed for the risks that the bag carries, so the verdict never
rounds in anyone's favour (acceptance interval, JCGM 106:2012, 8).

>>> judge_weight(Decimal("18.10"), Decimal("17.95"), Decimal("18.22"), pieces=50, checks_before=0).verdict
<Verdict.PASSED: 'passed'>
>>> print(judge_weight(Decimal("18.31"), Decimal("17.95"), Decimal("18.22"), pieces=50, checks_before=0).reason)
weighs 18.31 g, above the window 17.95 to 18.22 g for 50 pieces
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from fulfil.records.bench import SentBackFor
from fulfil.records.weighing import Verdict

CHECKS_BEFORE_STOP = 3


@dataclass(frozen=True)
class BagVerdict:
    """The verdict and its reason; ``likely_causes`` are sentences with probabilities, most likely first.

    ``likely_cause`` is the first one's name and ``other_part`` the part that it takes for the right one.
    ``pieces_off`` is counted less ordered, where somebody counted.
    """

    verdict: Verdict
    reason: str
    likely_causes: tuple[str, ...] = ()
    likely_cause: str = ""
    other_part: str = ""
    pieces_off: int = 0
    sent_back_for: SentBackFor | None = None


def judge_weight(
    indication_g: Decimal,
    lower_g: Decimal,
    upper_g: Decimal,
    *,
    pieces: int,
    checks_before: int,
    likely_causes: tuple[str, ...] = (),
    tare_g: Decimal | None = None,
) -> BagVerdict:
    """The verdict on an indication; ``checks_before`` counts the times this bag was sent back already.

    With the bag's ``tare_g`` an indication that leaves room for not half a piece is told as what it is.
    """
    window = f"the window {lower_g} to {upper_g} g for {_pieces(pieces)}"
    if lower_g <= indication_g <= upper_g:
        return BagVerdict(Verdict.PASSED, f"weighs {indication_g} g, inside {window}")
    side = "below" if indication_g < lower_g else "above"
    if tare_g is not None and 2 * pieces * (indication_g - tare_g) < lower_g - tare_g:
        side = "no more than the empty bag: are all its pieces on the scale? It is below"
    return sent_back(f"weighs {indication_g} g, {side} {window}", checks_before, SentBackFor.WEIGHT, likely_causes)


def judge_hand_count(counted: int, *, pieces: int, checks_before: int) -> BagVerdict:
    """The verdict on the checker's own count of a bag that the scale can't prove."""
    if counted == pieces:
        return BagVerdict(Verdict.PASSED, f"counted by hand: {_pieces(counted)}, as ordered")
    side = "short of" if counted < pieces else "more than"
    reason = f"counted by hand: {_pieces(counted)}, {abs(counted - pieces)} {side} {pieces}"
    back = sent_back(reason, checks_before, SentBackFor.COUNT)
    return replace(back, pieces_off=counted - pieces)


def judge_look(what_differs: str, *, checks_before: int, is_damaged: bool = False) -> BagVerdict:
    """The verdict when the checker saw something wrong: another part, finish or size, or damage."""
    what = SentBackFor.DAMAGE if is_damaged else SentBackFor.LOOK
    return sent_back(f"looks wrong: {what_differs}", checks_before, what)


def pass_unchecked(plan: str) -> BagVerdict:
    """The verdict on a bag that a sampling plan lets through; the reason names the plan."""
    return BagVerdict(Verdict.PASSED, f"not checked, by the sampling plan: {plan}")


def _pieces(pieces: int) -> str:
    return f"{pieces} piece{'' if pieces == 1 else 's'}"


def sent_back(
    reason: str, checks_before: int, sent_back_for: SentBackFor, likely_causes: tuple[str, ...] = ()
) -> BagVerdict:
    """The verdict that sends a bag back for the reason; the third time it stops."""
    is_last = checks_before + 1 >= CHECKS_BEFORE_STOP
    said = f"{reason}; sent back {checks_before + 1} times" if is_last else reason
    verdict = Verdict.STOP if is_last else Verdict.RECOUNT
    return BagVerdict(verdict, said, likely_causes, sent_back_for=sent_back_for)
