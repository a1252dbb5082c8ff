"""How large a hand-counted sample has to be, and what pouring on top of it gains.

A sample of n pieces gives u²(μ̂) = σ²/n + u_ref²/n². As n grows the window of a bag of N pieces gets easier, down to
what the pieces' own scatter and the scale leave. If the n counted pieces stay in the bag and N − n are poured on top,
their scatter is in the unit weight *and* in the bag and partly cancels::

    fresh sample    Var D = σ² N (N + n)/n  + N² u_ref²/n² + u_s² + u_t²
    poured on top   Var D = σ² N (N − n)/n  + N² u_ref²/n² + u_s² + u_t²

With N = 100 and n = 50 that is 300 σ² against 100 σ².

>>> smallest_sample(100, unit_weight_g=0.9, piece_sd_g=0.009, indication_u_g=0.03, reading_u_g=0.03, tare_u_g=0.02)
68
>>> smallest_sample(2000, unit_weight_g=0.9, piece_sd_g=0.009, indication_u_g=0.03, reading_u_g=0.03) is None
True
>>> part = dict(unit_weight_g=0.9, piece_sd_g=0.009, indication_u_g=0.03, reading_u_g=0.03, tare_u_g=0.02)
>>> poured_on_top(100, 50, **part).resolvable
True

Limits: the sample was counted right; its piece s.d. is known.
"""

import math
from collections.abc import Callable
from dataclasses import replace

from fulfil.errors import QuantityRefused
from fulfil.weighing.error_model import SINGLE, ErrorModel, checked_mass, checked_pieces, error_model
from fulfil.weighing.resolving import is_resolvable
from fulfil.weighing.window import largest_count, window_of
from fulfil.weighing.window_types import CountWindow

MOST_SAMPLE_PIECES = 100_000


def smallest_sample(
    pieces: int,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    reading_u_g: float,
    tare_u_g: float = 0.0,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> int | None:
    """The smallest sample, weighed once with ``reading_u_g``, that resolves a bag of ``pieces``; None if none does.

    Args:
        pieces: pieces in the bag.
        unit_weight_g: roughly, from an earlier sample or a table.
        piece_sd_g: piece-to-piece standard deviation.
        indication_u_g: standard uncertainty of weighing the bag.
        reading_u_g: standard uncertainty of weighing the sample.
        tare_u_g: standard uncertainty of the tare.
        risk_pass: as in :func:`fulfil.weighing.window.count_window`.
        risk_reject: likewise.
    """
    reading_u = checked_mass(reading_u_g, "indication uncertainty", True)
    perfect = error_model(
        pieces,
        unit_weight_g=unit_weight_g,
        unit_weight_u_g=0.0,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        tare_u_g=tare_u_g,
    )

    def resolves(sample: int) -> bool:
        unit_u = math.sqrt(perfect.piece_sd_g**2 / sample + (reading_u / sample) ** 2)
        return is_resolvable(replace(perfect, unit_weight_u_g=unit_u), risk_pass, risk_reject)

    return _first_that_resolves(resolves, MOST_SAMPLE_PIECES)


def _first_that_resolves(resolves: Callable[[int], bool], most: int) -> int | None:
    # More pieces never hurt, so halving finds the first size that resolves.
    if not resolves(most):
        return None
    too_few, enough = 0, most
    while enough - too_few > 1:
        middle = (too_few + enough) // 2
        if resolves(middle):
            enough = middle
        else:
            too_few = middle
    return enough


def grown_samples(
    first_pieces: int,
    wanted_pieces: int,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    reading_u_g: float,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> tuple[int, ...]:
    """Sample sizes of "count, keep, weigh all together": from a small hand count to a large sample, step by step.

    A sample of n resolves N pieces more; the n + N are weighed together and are the next sample, until there are
    ``wanted_pieces``. Risks of the steps add up (union bound), so each step is held to its share of them; empty if the
    first sample resolves nothing.

    >>> grown_samples(10, 400, unit_weight_g=0.9, piece_sd_g=0.009, indication_u_g=0.03, reading_u_g=0.03)
    (10, 38, 101, 198, 320, 400)
    """
    checked_pieces(first_pieces, True)
    checked_pieces(wanted_pieces, True)
    for steps in range(1, _MOST_STEPS + 1):
        sizes = [first_pieces]
        while sizes[-1] < wanted_pieces and len(sizes) <= steps:
            n = sizes[-1]
            more = largest_count(
                unit_weight_g=unit_weight_g,
                unit_weight_u_g=math.sqrt(piece_sd_g**2 / n + (reading_u_g / n) ** 2),
                piece_sd_g=piece_sd_g,
                indication_u_g=indication_u_g,
                risk_pass=risk_pass / steps,
                risk_reject=risk_reject / steps,
            )
            sizes.append(min(n + more, wanted_pieces))
        if sizes[-1] >= wanted_pieces:
            return tuple(sizes)
    return ()


_MOST_STEPS = 12


def poured_on_top(
    pieces: int,
    sample_pieces: int,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    reading_u_g: float,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> CountWindow:
    """The window of a bag that holds its own sample of ``sample_pieces``, the rest poured on top of it.

    Raises:
        QuantityRefused: a sample below 1 or larger than the bag.
    """
    bag = poured_model(
        pieces,
        sample_pieces,
        unit_weight_g=unit_weight_g,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        reading_u_g=reading_u_g,
        tare_g=tare_g,
        tare_u_g=tare_u_g,
    )
    return window_of(bag, risk_pass=risk_pass, risk_reject=risk_reject)


def smallest_poured_sample(
    pieces: int,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    reading_u_g: float,
    tare_u_g: float = 0.0,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> int | None:
    """The fewest pieces to count into the bag by hand so that the rest can be poured on top by weight.

    None if even a bag counted whole isn't resolved, because the scale is too coarse for one piece.

    >>> smallest_poured_sample(400, unit_weight_g=0.9, piece_sd_g=0.009, indication_u_g=0.03, reading_u_g=0.03)
    248
    """

    def resolves(sample: int) -> bool:
        bag = poured_model(
            pieces,
            sample,
            unit_weight_g=unit_weight_g,
            piece_sd_g=piece_sd_g,
            indication_u_g=indication_u_g,
            reading_u_g=reading_u_g,
            tare_u_g=tare_u_g,
        )
        return is_resolvable(bag, risk_pass, risk_reject)

    return _first_that_resolves(resolves, pieces)


def poured_model(
    pieces: int,
    sample_pieces: int,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    reading_u_g: float,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
) -> ErrorModel:
    """The error model of such a bag: D = W_n (1 − N/n) + Σ of the N − n new pieces − (N/n) e_ref + e_s + e_t.

    >>> bag = poured_model(100, 50, unit_weight_g=1, piece_sd_g=0.01, indication_u_g=0, reading_u_g=0)
    >>> round(bag.spread(0) ** 2 / 0.01**2, 9)
    100.0
    """
    checked_pieces(pieces, True)
    if not 1 <= sample_pieces <= pieces:
        raise QuantityRefused("pour on top of a sample of pieces", sample_pieces, f"from 1 to the {pieces} of the bag")
    masses = {
        "unit weight": unit_weight_g,
        "piece s.d.": piece_sd_g,
        "indication uncertainty": indication_u_g,
        "tare": tare_g,
        "tare uncertainty": tare_u_g,
    }
    unit, piece_sd, indication_u, tare, tare_u = (checked_mass(mass, name, True) for name, mass in masses.items())
    reading_u = checked_mass(reading_u_g, "indication uncertainty", True)
    poured = pieces - sample_pieces
    fixed = (
        poured**2 * piece_sd**2 / sample_pieces
        + (pieces * reading_u / sample_pieces) ** 2
        + indication_u**2
        + tare_u**2
    )
    return ErrorModel(SINGLE, float(pieces), float(poured), unit, 0.0, piece_sd, fixed, tare)
