"""Cycle count of a bin by weight: does the book count fit what the bin weighs?

The book count agrees when it lies in the interval of :mod:`fulfil.weighing.bulk`; that is an answer only when
the interval is as narrow as was asked for, and otherwise the paper says what narrows it.

>>> from fulfil.weighing.bulk import estimate_pieces
>>> bin_count = estimate_pieces(1306.0, 250.0, unit_weight_g=2.112, unit_weight_u_g=0.002, piece_sd_g=0.006,
...                             indication_u_g=0.3)
>>> compare_with_book(bin_count, 512, tolerance_pieces=2).sentence
"12 fewer than the book's 512 (500 pieces, 95 % sure). Count by hand."

Limits: a bin with a second part in it may weigh like a wrong count; look into it first.
"""

from dataclasses import dataclass

from fulfil.errors import WeighingRefused
from fulfil.weighing.bulk import BulkCount


@dataclass(frozen=True, slots=True)
class CycleCount:
    """What a bin's weight says of its book count.

    Attributes:
        agrees: The book count fits the weight.
        is_decisive: The interval is within the tolerance asked for.
        difference: Best estimate less book, in pieces.
        sentence: What to do.
    """

    agrees: bool
    is_decisive: bool
    difference: int
    sentence: str


def compare_with_book(counted: BulkCount, book_pieces: int, *, tolerance_pieces: int) -> CycleCount:
    """Cycle count of a bin by weight: does the book count fit, and is the interval narrow enough to say so?

    A weight that no whole number of pieces has is no answer, and doesn't agree.

    Args:
        counted: The bin's estimate.
        book_pieces: Pieces the store thinks are there.
        tolerance_pieces: The widest half of an interval that still counts as an answer.
    """
    if book_pieces < 0:
        raise WeighingRefused("compare a bin with a book count of", book_pieces, "0 pieces or more")
    agrees = counted.lower <= book_pieces <= counted.upper
    if not counted.fits_a_whole_number:
        return CycleCount(False, False, counted.pieces - book_pieces, counted.sentence)
    half = (counted.upper - counted.lower) / 2
    is_decisive = half <= tolerance_pieces
    difference = counted.pieces - book_pieces
    if not agrees:
        word = "more" if difference > 0 else "fewer"
        sentence = f"{abs(difference)} {word} than the book's {book_pieces} ({counted.sentence[:-1]}). Count by hand."
    elif is_decisive:
        sentence = f"The book's {book_pieces} fit the weight ({counted.sentence[:-1]})."
    else:
        remedy = {
            "unit weight": "take a larger sample",
            "pieces": "weigh it in parts",
            "weighing": "use a finer scale",
        }[counted.largest_part]
        sentence = (
            f"The book's {book_pieces} fit the weight, but so does anything from {counted.lower} to "
            f"{counted.upper}: {remedy}."
        )
    return CycleCount(agrees, is_decisive, difference, sentence)
