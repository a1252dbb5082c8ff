"""What the shop knows besides a sample of how much its pieces weigh, and what it says of the sample's count.

Witnesses, in this order: the single pieces weighed with it; the last sample of the lot; the lot sampled last, with the
spread of lots between the two; the catalogue's weight, with the band of a table. The mathematics is in
:mod:`fulfil.weighing.sample_proof`.
"""

from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum
from math import inf

from fulfil.counting.drift import sample_of
from fulfil.counting.lot_weights import estimate_of, last_sampled, lot_sd_g
from fulfil.records.finding import Finding
from fulfil.records.part import UnitWeight
from fulfil.weighing import unit_weight
from fulfil.weighing.sample_proof import COUNT_DOUBT, SampleProof, Witness, prove_count

SINGLES = "single pieces"


class Right(StrEnum):
    """Which of two figures that contradict each other is right, as a person says after a recount."""

    GROUP = "group"
    SINGLES = "singles"
    KNOWN = "known"


def proof_of(
    weights: Sequence[UnitWeight],
    found: unit_weight.UnitWeight,
    singles: unit_weight.UnitWeight | None,
    *,
    is_group: bool,
    net_g: float,
    reading_u_g: float,
) -> SampleProof:
    """What the witnesses say of a sample; ``singles`` are those weighed with a group, None without.

    A sample of single pieces alone has no count that could be off: nobody counts to one.
    """
    witnesses = witnesses_of(weights, found.lot)
    if is_group and singles is not None:
        witnesses = [Witness(SINGLES, singles.mean_g, singles.u_g, singles.piece_sd_freedom), *witnesses]
    return prove_count(
        net_g,
        found.sample_pieces,
        piece_sd_g=found.piece_sd_g,
        reading_u_g=reading_u_g,
        piece_sd_freedom=found.piece_sd_freedom,
        witnesses=witnesses,
        count_doubt=COUNT_DOUBT if is_group else 0.0,
    )


def without_contradiction(proof: SampleProof, net_g: float, found: unit_weight.UnitWeight, u_g: float) -> SampleProof:
    """The proof once a person has said that the contradicting witnesses are wrong: what the others say."""
    wrong = {one.witness.name for one in proof.contradictions}
    return prove_count(
        net_g,
        found.sample_pieces,
        piece_sd_g=found.piece_sd_g,
        reading_u_g=u_g,
        piece_sd_freedom=found.piece_sd_freedom,
        witnesses=[one for one in proof.witnesses if one.name not in wrong],
    )


def witnesses_of(weights: Sequence[UnitWeight], lot: str) -> list[Witness]:
    """The part's other figures as witnesses for a sample of a lot."""
    witnesses = []
    own = next((one for one in weights if one.lot == lot and one.may_accept), None)
    if own is not None:
        witnesses.append(_witness("the last sample of the lot", own, estimate_of(sample_of(own))))
    others = [one for one in weights if one.lot != lot and one.may_accept]
    if others:
        last = last_sampled(others)
        first = replace(estimate_of(sample_of(last)), lots=1, lot_u_g=0.0)
        witnesses.append(_witness(f"lot {last.lot or 'unknown'}", last, first.after_lot_change(lot_sd_g(last))))
    witnesses += [
        Witness(f"the {one.source} value", one.mean_g, one.u_g, band=unit_weight.TABLE_BAND)
        for one in weights
        if not one.may_accept
    ]
    return witnesses


def _witness(name: str, record: UnitWeight, estimate: unit_weight.UnitWeight) -> Witness:
    return Witness(
        name,
        estimate.mean_g,
        estimate.u_g,
        freedom=record.piece_sd_freedom or inf,
        pieces=record.sample_pieces,
        count_doubt=record.count_doubt,
    )


def findings_of(part_number: str, proof: SampleProof) -> tuple[Finding, ...]:
    """The contradictions as things to do."""
    return tuple(
        Finding(
            source=f"part {part_number}",
            line=None,
            field="sample",
            value=f"{one.sample_mean_g:.5g} g",
            says=str(one),
            do="nothing was changed; check the tare, count the sample again and weigh it anew, or say which one is "
            f"right: --right {_choices(one.witness.name)} with --reason",
        )
        for one in proof.contradictions
    )


def _choices(name: str) -> str:
    return "group or --right singles" if name == SINGLES else "group or --right known"
