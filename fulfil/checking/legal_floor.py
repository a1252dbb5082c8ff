"""Where the law's floor lies for a count: how short a prepacked bag may be, and how short this one is.

OIML R 87:2016 allows up to 50 pieces none, above it 1 % rounded up; NIST Handbook 133 (2018) has a table of its own.
Both are floors for prepacked lots. A bag made to order aims at no piece short, so a bag above the floor goes back all
the same; the line only says how serious it is.

>>> legal_floor(100)
'Legal floor for prepacked lots: 100 pieces may be 1 short (OIML R 87), 2 short (NIST HB 133); this shop allows none.'
>>> legal_floor(100, counted=97)[-39:]
'3 short: beyond twice what R 87 allows.'

Limits: the handbook's table is quoted from memory; local law on prepackages governs.
"""

from fulfil.standards.nist_hb133 import mav_pieces
from fulfil.standards.oiml_r87 import shortage_grade, tolerable_deficiency_pieces

_GRADES = {
    "none": "",
    "tolerable": "within what R 87 allows",
    "T1": "beyond what R 87 allows (few such bags in a lot)",
    "T2": "beyond twice what R 87 allows",
}


def legal_floor(pieces: int, counted: int | None = None) -> str:
    """The floors for a count, and the grade of what was counted where somebody counted."""
    r87, hb133 = (_short(allowed) for allowed in (tolerable_deficiency_pieces(pieces), mav_pieces(pieces)))
    floor = f"{pieces} pieces may be {r87} (OIML R 87), {hb133} (NIST HB 133)"
    line = f"Legal floor for prepacked lots: {floor}; this shop allows none."
    short = 0 if counted is None else pieces - counted
    if short <= 0:
        return line
    if not tolerable_deficiency_pieces(pieces):
        return f"{line} {short} short: R 87 allows none here."
    return f"{line} {short} short: {_GRADES[shortage_grade(short_pieces=short, labelled_pieces=pieces)]}."


def _short(pieces: int) -> str:
    return f"{pieces} short" if pieces else "none short"
