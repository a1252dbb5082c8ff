"""Is this the box, with its cushioning? The empty box on the scale, before a bag lies in it.

From one box to the next the tare scatters by more than a light bag weighs, and so does what is filled in by eye. Both
are gone from the package's window once the empty box was weighed, cushioning, papers and closing strip in it: net
weighing, where the tare is weighed before the load comes (OIML R 76-1:2006, T.2.7.4; clause number from memory). A box
of another kind, cushioning left out or filled in twice are seen at once, when nothing has to be unpacked.

>>> small = KnownBox("BOX-1", Decimal(46), 0.6, Decimal(12), 0.7)
>>> large = KnownBox("BOX-2", Decimal(88), 1.1, Decimal(24), 1.2)
>>> judge_empty(Decimal(59), small, [large], indication_u_g=0.5, risk_reject=0.005).fits
True
>>> print(judge_empty(Decimal(112), small, [large], indication_u_g=0.5, risk_reject=0.005).says)
The empty box weighs 112 g, BOX-1 with its cushioning 58 g: so much weighs BOX-2 with its cushioning
>>> print(judge_empty(Decimal(46), small, [large], indication_u_g=0.5, risk_reject=0.005).says)
The empty box weighs 46 g, BOX-1 with its cushioning 58 g: so much weighs BOX-1 without cushioning
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import hypot, sqrt
from statistics import NormalDist

_FILLED = {1: "with its cushioning", 0: "without cushioning", 2: "with twice its cushioning"}


@dataclass(frozen=True)
class KnownBox:
    """A box type as the shop's file has it: tare and cushioning in g, each with its s.d. from one to the next."""

    code: str
    tare_g: Decimal
    tare_sd_g: float
    cushioning_g: Decimal
    cushioning_sd_g: float

    def mass_g(self, fills: int) -> float:
        """Its mass with ``fills`` times its cushioning, in g."""
        return float(self.tare_g + fills * self.cushioning_g)

    def sd_g(self, fills: int) -> float:
        """The s.d. of that, in g."""
        return hypot(self.tare_sd_g, sqrt(fills) * self.cushioning_sd_g)


@dataclass(frozen=True)
class EmptyVerdict:
    """Whether the reading is the box's own; else what is said and what to do."""

    fits: bool
    says: str = ""
    do: str = ""


def judge_empty(
    reading_g: Decimal, box: KnownBox, others: Sequence[KnownBox], *, indication_u_g: float, risk_reject: float
) -> EmptyVerdict:
    """Whether an empty box of this type may weigh so, at the shop's risk of sending a right one back.

    Where it may not, the kinds that may are named, first those with their cushioning; ties go by code.
    """
    reach = NormalDist().inv_cdf(1 - risk_reject / 2)

    def may_be(one: KnownBox, fills: int) -> bool:
        return abs(float(reading_g) - one.mass_g(fills)) <= reach * hypot(one.sd_g(fills), indication_u_g)

    if may_be(box, 1):
        return EmptyVerdict(True)
    kinds = sorted((one for one in others if one.code != box.code), key=lambda one: one.code)
    found = [
        f"{one.code} {_FILLED[fills]}"
        for fills, some in ((1, kinds), (0, [box]), (2, [box]), (0, kinds))
        for one in some
        if (fills == 1 or one.cushioning_g) and may_be(one, fills)
    ]
    expected = box.tare_g + box.cushioning_g
    fill = " with its cushioning" if box.cushioning_g else ""
    what = f"so much weighs {' or '.join(found[:2])}" if found else "nothing that stands in the file weighs so"
    return EmptyVerdict(
        False,
        f"The empty box weighs {reading_g:f} g, {box.code}{fill} {expected:f} g: {what}",
        f"Look at the box's own mark, take {box.code}, look into it, weigh it again; "
        f"if it is right so, say why behind the weight",
    )


_READ = re.compile(r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?) ?(kg|g)?(?:[ ,;]+(.*\S))?", re.IGNORECASE)


def read_empty(words: str) -> tuple[Decimal, str] | None:
    """The weight of an empty box in g and the reason behind it; None where no weight was typed.

    >>> read_empty("128"), read_empty("0.128 kg"), read_empty("131 g longer parts need more paper")
    ((Decimal('128'), ''), (Decimal('128'), ''), (Decimal('131'), 'longer parts need more paper'))
    """
    found = _READ.fullmatch(words.strip())
    if found is None:
        return None
    number = Decimal(found[1].replace(",", "."))
    return number.scaleb(3) if (found[2] or "").lower() == "kg" else number, found[3] or ""
