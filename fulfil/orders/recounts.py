"""The recount loop: a bag that failed goes back with a slip; when it passes, its slips are done.

A slip is kept here and printed by :mod:`fulfil.bench.recount_slips`. It names no person: the figures are about parts,
bins, look-alikes and scales (:mod:`fulfil.bench.mistakes`).
"""

import json
from datetime import datetime

from fulfil.checking.bag import BagVerdict
from fulfil.records.bench import Recount, RecountState, SentBackFor
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.shop.numbers import next_code_at
from fulfil.store.books import Books


def write_recount(books: Books, bag: Bag, verdict: BagVerdict, *, at: datetime, is_simulated: bool = False) -> str:
    """Writes the slip of a bag that was just sent back, and gives its number; ``bag.checks`` counts this check."""
    number = next_code_at(books, "R", at)
    slip = Recount(
        number=number,
        at=at,
        bag_code=bag.code,
        order_number=bag.order_number,
        walk_number=bag.walk_number,
        part_number=bag.part_number,
        bin_code=bag.bin_code,
        scale_code=bag.scale_code if verdict.sent_back_for is SentBackFor.WEIGHT else "",
        sent_back_for=verdict.sent_back_for or SentBackFor.LOOK,
        which=bag.checks,
        reason=cut(verdict.reason),
        causes_json=json.dumps(verdict.likely_causes, ensure_ascii=False),
        likely_cause=verdict.likely_cause,
        other_part=verdict.other_part,
        pieces_off=verdict.pieces_off,
        is_simulated=is_simulated,
    )
    books.add([slip])
    return number


def close_recounts(books: Books, bag_code: str, state: RecountState) -> None:
    """Closes the open slips of a bag; an undone verdict closes only its own, the last one."""
    slips = books.find(Recount, bag_code=bag_code, state=RecountState.OPEN)
    if state is RecountState.UNDONE:
        slips = slips[-1:]
    if slips:
        books.replace([revised(slip, {"state": state}) for slip in slips])


def open_recounts(books: Books) -> list[Recount]:
    """Slips of bags that are on their way, oldest first; only a bag's last slip counts."""
    last = {slip.bag_code: slip for slip in books.find(Recount, state=RecountState.OPEN)}
    return sorted(last.values(), key=lambda slip: slip.number)
