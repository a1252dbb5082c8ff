"""Take a sample of a part: pieces counted out by hand, weighed, and its unit weight written with where it comes from.

A group weighing gives the mean; single pieces give the piece s.d. as well (both together: the mean of the group, the
s.d. of the singles). Without singles the piece s.d. is that of an earlier sample of the part, else the median of its
family, else one percent; the record says which. The sample takes the place of what the shop knew of this lot and its
drift chart begins anew; weighings of before stay recorded.

A sample is held against all else that is known of the part first (:mod:`fulfil.counting.sample_witnesses`). Where they
contradict each other, one of them is wrong: the answer is a finding and *nothing changes* until the person counts
again, or says which one is right and why. What doesn't contradict leaves a doubt of the count, which is written with
the unit weight and is part of every window made by it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from fulfil.counting.count_lines import (
    PROVE,
    least_tare_u_g,
    scale_of,
)
from fulfil.counting.reach import Reach, reaches_of
from fulfil.counting.readings import scale_for
from fulfil.counting.sample_estimate import Sample, Weighed, estimate, must_be_plausible
from fulfil.counting.sample_witnesses import Right, findings_of, proof_of, without_contradiction
from fulfil.counting.scale_checks import usable_scales
from fulfil.errors import WeighingRefused
from fulfil.records.equipment import BagType
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shop.clock import local_day
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing import unit_weight
from fulfil.weighing.sample_proof import SampleProof
from fulfil.weighing.sampling import poured_on_top, smallest_poured_sample
from fulfil.weighing.scale import Scale
from fulfil.weighing.window_types import CountWindow

NOTED_DOUBT = 1e-4
"""A doubt of the count below this is not worth a word."""


@dataclass(frozen=True)
class Poured:
    """The window of a bag that keeps the sample and has the rest poured on top, or the fewest pieces that would do."""

    pieces: int
    window: CountWindow
    fewest_pieces: int | None


@dataclass(frozen=True)
class SampleTaken:
    """The unit weight before and after, what each scale can count, and what else there is to say.

    With ``findings`` nothing was changed: ``after`` is what the sample would have made of it.
    """

    before: UnitWeight | None
    after: UnitWeight
    scale_code: str
    reaches: tuple[Reach, ...]
    poured: Poured | None
    notes: tuple[str, ...]
    findings: tuple[Finding, ...] = ()


def take_sample(
    shop: Shop,
    part_number: str,
    sample: Sample,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    lot: str = "",
    want: int = 0,
    is_poured: bool = False,
    right: Right | None = None,
    reason: str = "",
    is_simulated: bool = False,
) -> SampleTaken:
    """Records a sample and the unit weight that follows from it, unless something that the shop knows contradicts it.

    ``want`` asks what it takes to count so many pieces; with ``is_poured`` the sample stays in that bag. ``right`` says
    after a contradiction which figure is right, with a reason that is kept.

    Raises:
        UnknownRefused: when the shop has no such part or scale.
        WeighingRefused: when the readings can't be used: each with what to do at the bench.
    """
    with shop.writing() as books:
        part = books.need(Part, part_number)
        if sample.gross_g is None and not sample.single_g:
            raise WeighingRefused("sample part", part_number, "a gross weight of some pieces, or single pieces")
        # A group and single pieces may be weighed on different scales.
        for_singles = scale_for(books, scale_code, sample.single_g) if sample.single_g else None
        group = None if sample.gross_g is None else scale_for(books, scale_code, [sample.gross_g])
        scale = group or for_singles
        assert scale is not None  # noqa: S101 - one of them was weighed
        weights = books.find(UnitWeight, part_number=part_number)
        before = next((one for one in weights if one.lot == lot), None)
        weighed = estimate(books, part, weights, sample, group, for_singles, lot)
        found = weighed.found
        must_be_plausible(part, found)
        settings = books.settings()
        day = local_day(at, settings)
        after = _record(found, part_number, lot, at, day)
        tare_sd_g = least_tare_u_g(books.find(BagType))
        proof = _proof(weights, weighed, right, reason)
        if right is Right.SINGLES:
            found, after = _of_singles(weighed, part_number, lot, at, day)
        findings = findings_of(part_number, proof) if right is None else ()
        if findings or right is Right.KNOWN:
            _set_aside(books, part_number, sample, proof, right, reason, at, person, is_simulated)
            return SampleTaken(before, before or after if right else after, scale.code, (), None, (), findings)
        after = revised(after, {"count_doubt": 0.0 if right is Right.SINGLES else proof.count_doubt})
        singles_on = (for_singles or scale).code
        books.add(_weighings(sample, part_number, lot, scale.code, singles_on, at, person, is_simulated))
        books.replace([after])
        reaches = reaches_of(usable_scales(books), after, before, settings, tare_sd_g=tare_sd_g, want=want)
        poured = None
        if is_poured:
            poured = _poured(sample, found, scale_of(scale), want, settings)
        notes = _notes(found, after)
        books.journal(
            at=at,
            person=person,
            event=Happening.PART_SAMPLED,
            subject=part_number,
            particulars={
                "lot": lot,
                "pieces": after.sample_pieces,
                "mean_g": round(after.mean_g, 9),
                "u_g": round(after.u_g, 9),
                "piece_sd_g": round(after.piece_sd_g, 9),
                "piece_sd_source": after.piece_sd_source,
                "scale": scale.code,
                "count_doubt": round(after.count_doubt, 6),
                "notes": notes,
                **({"right": right.value, "reason": reason} if right is not None else {}),
            },
            is_simulated=is_simulated,
        )
    return SampleTaken(before, after, scale.code, reaches, poured, notes)


def _proof(weights: Sequence[UnitWeight], weighed: Weighed, right: Right | None, reason: str) -> SampleProof:
    """What the shop's other figures say of the sample; once a person has decided, what those that are left say."""
    proof = proof_of(
        weights,
        weighed.found,
        weighed.singles,
        is_group=weighed.is_group,
        net_g=weighed.net_g,
        reading_u_g=weighed.reading_u_g,
    )
    if right is None:
        return proof
    if not reason.strip():
        raise WeighingRefused("say which one is right:", right.value, "a reason with it, which is kept: --reason")
    if right is Right.SINGLES and weighed.singles is None:
        raise WeighingRefused("say which one is right:", right.value, "single pieces weighed with the sample: --single")
    if right is Right.GROUP:
        return without_contradiction(proof, weighed.net_g, weighed.found, weighed.reading_u_g)
    return proof


def _of_singles(
    weighed: Weighed, part_number: str, lot: str, at: datetime, day: date
) -> tuple[unit_weight.UnitWeight, UnitWeight]:
    assert weighed.singles is not None  # noqa: S101 - checked with the reason
    return weighed.singles, _record(weighed.singles, part_number, lot, at, day)


def _set_aside(
    books: Books,
    part_number: str,
    sample: Sample,
    proof: SampleProof,
    right: Right | None,
    reason: str,
    at: datetime,
    person: str,
    is_simulated: bool,
) -> None:
    """Journals a sample that wasn't taken up; nothing else is changed."""
    books.journal(
        at=at,
        person=person,
        event=Happening.SAMPLE_SET_ASIDE,
        subject=part_number,
        particulars={
            "pieces": sample.pieces,
            "gross_g": "" if sample.gross_g is None else str(sample.gross_g),
            "tare_g": str(sample.tare_g),
            "singles_g": [str(one) for one in sample.single_g],
            "contradictions": [str(one) for one in proof.contradictions],
            "right": "" if right is None else right.value,
            "reason": reason,
        },
        is_simulated=is_simulated,
    )


def _record(found: unit_weight.UnitWeight, part_number: str, lot: str, at: datetime, day: date) -> UnitWeight:
    known_s_d = found.piece_sd_freedom == float("inf")
    return UnitWeight(
        part_number=part_number,
        lot=lot,
        mean_g=found.mean_g,
        u_g=found.u_g,
        piece_sd_g=found.piece_sd_g,
        sample_pieces=found.sample_pieces,
        source=WeightSource.SAMPLED,
        as_of=day,
        piece_sd_source=found.piece_sd_source,
        piece_sd_freedom=None if known_s_d else found.piece_sd_freedom,
        sampled_at=at,
    )


def _weighings(
    sample: Sample,
    part_number: str,
    lot: str,
    group_on: str,
    singles_on: str,
    at: datetime,
    person: str,
    is_simulated: bool,
) -> list[WeighingRecord]:
    groups = [] if sample.gross_g is None else [(sample.pieces, sample.gross_g, sample.tare_g, group_on)]
    singles = [(1, mass, Decimal(0), singles_on) for mass in sample.single_g]
    return [
        WeighingRecord(
            at=at,
            person=person,
            scale_code=scale_code,
            kind=WeighedKind.SAMPLE,
            subject=part_number,
            part_number=part_number,
            lot=lot,
            pieces=pieces,
            indication_g=gross_g,
            tare_g=tare_g,
            verdict=Verdict.PASSED,
            reason="counted out by hand",
            was_counted=True,
            is_simulated=is_simulated,
        )
        for pieces, gross_g, tare_g, scale_code in [*groups, *singles]
    ]


def _poured(
    sample: Sample,
    found: unit_weight.UnitWeight,
    scale: Scale,
    want: int,
    settings: Settings,
) -> Poured:
    if want <= sample.pieces or sample.pieces < 2:
        raise WeighingRefused(
            "pour on top of the sample to", want, f"more pieces than the {sample.pieces} of the sample: give --want"
        )
    tare_g, net_g = float(sample.tare_g), want * found.mean_g
    terms = {
        "unit_weight_g": found.mean_g,
        "piece_sd_g": found.piece_sd_g,
        "indication_u_g": scale.window_u_g(net_g + tare_g),
        "reading_u_g": scale.window_u_g(net_g + tare_g),
        "risk_pass": settings.risk_pass,
        "risk_reject": settings.risk_reject,
    }
    # The sample's bag is the bag: whatever its tare is, it is in both readings.
    window = poured_on_top(want, sample.pieces, tare_g=tare_g, **terms)
    fewest = None if window.resolvable else smallest_poured_sample(want, **terms)
    return Poured(want, window, fewest)


def _notes(found: unit_weight.UnitWeight, after: UnitWeight) -> tuple[str, ...]:
    notes = []
    if after.count_doubt >= NOTED_DOUBT:
        notes.append(
            f"Nothing else proves that {after.sample_pieces} pieces were weighed (a hand count is off with about "
            f"{after.count_doubt:.2%}): bags are weighed only as far as that does no harm. To prove it, {PROVE}."
        )
    if found.piece_sd_source == "family prior":
        notes.append(
            "The piece s.d. is taken from elsewhere; weigh ten single pieces (--single) to know this part's own."
        )
    return tuple(notes)
