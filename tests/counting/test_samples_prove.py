"""Samples prove themselves on a small invented shop: contradictions change nothing until a person decides."""

from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.counting.count_lines import bench_of, count_line
from fulfil.counting.lot_weights import lot_weight
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighingRecord
from fulfil.store.shop import open_shop
from fulfil.weighing.causes.miscount import passes_miscounted
from fulfil.weighing.error_model import error_model
from fulfil.weighing.sample_proof import COUNT_ERRORS

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
SCALE = ScaleRecord(
    code="BENCH", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.001"), max_g=Decimal(600),
    min_g=Decimal("0.2"), repeatability_g=0.0015,
)  # fmt: skip
BAG = BagType(
    code="BAG", width_mm=100, height_mm=150, usable_volume_mm3=204_000, tare_g=Decimal("1.85"), tare_sd_g=0.01,
    max_load_g=Decimal(500),
)  # fmt: skip
SINGLES = "0.912,0.905,0.894,0.901,0.908,0.887,0.893,0.899,0.906,0.895"
KNOWN = UnitWeight(
    part_number="REED", lot="A", mean_g=0.9, u_g=0.0013, piece_sd_g=0.009, sample_pieces=50,
    source=WeightSource.SAMPLED,
)  # fmt: skip


FILE = "organ.sqlite"


@pytest.fixture
def sample(tmp_path: Path) -> Callable:
    """A shop that knows reeds of lot A and a handbook weight of pegs; types ``parts sample …`` at it."""
    path = tmp_path / FILE
    with open_shop(path, create=True) as shop, shop.writing() as books:
        for number in ("REED", "PEG", "PIPE"):
            books.add([Part(number=number, description=number.title(), family="organ", bulk_volume_mm3=200.0,
                            longest_mm=14, supply=Supply.BUY, price_minor=6, currency="EUR")])  # fmt: skip
        books.add([SCALE, BAG, KNOWN])
        books.add([UnitWeight(part_number="PEG", mean_g=1.2, u_g=0.07, piece_sd_g=0.012, sample_pieces=0,
                              source=WeightSource.HANDBOOK)])  # fmt: skip

    def typed(words: str, leaves: int, reason: str = "") -> str:
        told = [*words.split(), *(("--reason", reason) if reason else ())]
        told += ["--shop", str(path), "--at", "2026-03-02T10:00+00:00", "--by", "mara"]
        ran = CliRunner().invoke(main, ["parts", "sample", *told], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return ran.output

    return typed


def facts(path: Path, number: str, lot: str = "") -> tuple[UnitWeight | None, int, list[str]]:
    """A lot's unit weight, how many weighings are recorded, and the journal's events."""
    with open_shop(path) as shop, shop.reading() as books:
        events = [entry.event for entry in books.find(JournalEntry)]
        return books.get(UnitWeight, number, lot), books.count(WeighingRecord), events


def test_162_grams_called_200_pieces_of_900_milligrams_change_nothing(sample, tmp_path):
    """0.81 g against ten singles of 0.900 g: a finding, exit 1, no unit weight, no weighing; the journal tells."""
    said = sample(f"PIPE --pieces 200 --gross 163.85 --tare 1.85 --single {SINGLES}", 1)

    assert "Nothing was changed" in said
    assert "0.81 g by this sample, 0.9 g by single pieces" in said
    assert "by that the sample holds 180 pieces" in said
    assert facts(tmp_path / FILE, "PIPE") == (None, 0, ["sample set aside"])


def test_49_pieces_claimed_as_50_do_not_go_through(sample, tmp_path):
    """44.10 g at 1 % spread, ten singles: recounted as 49 it does go through, and the count is proven."""
    said = sample(f"PIPE --pieces 50 --gross 45.95 --tare 1.85 --single {SINGLES}", 1)
    assert "by that the sample holds 49 pieces" in said

    sample(f"PIPE --pieces 49 --gross 45.95 --tare 1.85 --single {SINGLES}", 0)
    weight, weighings, _ = facts(tmp_path / FILE, "PIPE")
    assert (weight.mean_g, weight.sample_pieces, weighings) == (pytest.approx(0.9), 49, 11)
    assert weight.count_doubt < 1e-3


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("REED --lot A --pieces 50 --gross 45.90", "0.9 g by the last sample of the lot"),
        ("REED --lot B --pieces 50 --gross 40.50", "0.9 g by lot A"),
        ("PEG --pieces 50 --gross 51.00", "1.2 g by the handbook value"),
        ("PEG --single 1.00,1.01,1.02,1.01,1.00", "1.2 g by the handbook value"),
    ],
)
def test_every_other_figure_of_the_part_bears_witness(sample, words, says, tmp_path):
    """The last sample, another lot, the catalogue: each contradiction is a finding with exit 1 and no change."""
    number, lot = words.split()[0], "B" if "--lot B" in words else "A" if "--lot A" in words else ""
    before = facts(tmp_path / FILE, number, lot)[0]

    assert says in sample(words, 1)
    assert facts(tmp_path / FILE, number, lot)[:2] == (before, 0)


def test_a_lot_that_differs_as_lots_do_is_taken_without_a_word(sample):
    """Half a percent off another lot: exit 0."""
    assert "contradicts" not in sample("REED --lot B --pieces 50 --gross 45.225", 0)


def test_a_person_says_which_is_right_with_a_reason_on_record(sample, tmp_path):
    """Without a reason refused; the group, the singles or what was known; the journal keeps the reason."""
    words = f"REED --lot A --pieces 50 --gross 44.10 --single {SINGLES}"
    assert "a reason with it" in sample(f"{words} --right group", 2)

    sample(f"{words} --right known", 0, reason="pieces were oily")
    assert facts(tmp_path / FILE, "REED", "A")[0] == KNOWN
    sample(f"{words} --right singles", 0, reason="lost one while counting")
    assert facts(tmp_path / FILE, "REED", "A")[0].mean_g == pytest.approx(0.9)
    sample(f"{words} --right group", 0, reason="new plating")
    weight, _, events = facts(tmp_path / FILE, "REED", "A")
    assert (weight.mean_g, weight.count_doubt) == (pytest.approx(0.882), 0.01)
    assert events == ["sample set aside", "part sampled", "part sampled"]
    with open_shop(tmp_path / FILE) as shop, shop.reading() as books:
        assert ["pieces were oily" in books.find(JournalEntry)[0].particulars,
                "new plating" in books.find(JournalEntry)[2].particulars] == [True, True]  # fmt: skip


def test_one_sample_alone_ships_no_shelf_wrong(sample, tmp_path):
    """A lone sample of 50 weighs small bags; a bag as large as the sample by hand, until a second sample proves it."""
    assert "Nothing else proves that 50 pieces were weighed" in sample("PIPE --pieces 50 --gross 45.00", 0)
    bench = bench_of([SCALE], [BAG], Settings(most_bags_per_line=1))

    def way(pieces: int) -> tuple[CountMethod, str]:
        with open_shop(tmp_path / FILE) as shop, shop.reading() as books:
            (bag,) = count_line(books.need(Part, "PIPE"), lot_weight(books, "PIPE", ""), pieces, bench)
        return bag.method, bag.reason

    assert way(10)[0] is CountMethod.WEIGH
    assert way(50) == (CountMethod.HAND, "the sample's count is not proven: weigh ten pieces one by one, or a second "
                       "sample of another number")  # fmt: skip

    assert "Nothing else proves" not in sample("PIPE --pieces 77 --gross 69.30", 0)
    assert way(50)[0] is CountMethod.WEIGH


def test_bags_of_miscounted_samples_pass_as_rarely_as_stated():
    """A world where every hundredth sample is off by the written errors: the share of shelves that ship wrong bags."""
    rng = np.random.default_rng(7)
    pieces, sample_pieces, worlds = 12, 50, 1_000_000
    bag = error_model(pieces, unit_weight_g=0.9, unit_weight_u_g=0.0013, piece_sd_g=0.009, indication_u_g=0.03)
    stated = float(passes_miscounted(bag, -0.3, 0.3, sample_pieces=sample_pieces, count_doubt=0.01))
    off = rng.choice(list(COUNT_ERRORS), worlds, p=list(COUNT_ERRORS.values()))
    true_g = 0.9 * sample_pieces / (sample_pieces + off) + rng.normal(0, 0.0013, worlds)
    # The picker pours until the scale comes nearest to the target.
    poured = np.rint(pieces * 0.9 / true_g)
    gross = poured * true_g + rng.normal(0, np.hypot(0.03, 0.009 * np.sqrt(pieces)), worlds)
    share = 0.01 * float(np.mean((poured != pieces) & (np.abs(gross - pieces * 0.9) <= 0.3)))

    assert 0 < share <= stated * 1.05 + 1e-6
    assert stated <= 1.5 * share + 1e-6


def test_a_contradiction_offers_the_two_that_disagree(sample):
    """The group against its single pieces, or against what was known before."""
    with_singles = sample(f"REED --lot A --pieces 50 --gross 40.95 --single {SINGLES}", 1)
    assert "--right group or --right singles" in with_singles
    assert "--right known" not in with_singles.split("--right group or --right singles")[0]
    assert "--right group or --right known" in sample("PEG --single 1.00,1.01,1.02,1.01,1.00", 1)
