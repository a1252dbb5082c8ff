"""The empty box on the scale at the packing bench: kept with its package, and found when it isn't the box."""

from decimal import Decimal
from math import sqrt
from pathlib import Path
from statistics import NormalDist

import pytest
from click.testing import CliRunner

from cli.main import main
from fulfil.bench.pack_station import PackBench
from fulfil.checking.reading import ScaleReading
from fulfil.checking.saying import Say, Sound
from fulfil.despatch.boxes import AFTER_EMPTY_SD_G, bag_mass, for_scale
from fulfil.despatch.empty_box import package_budget, what_empty_shows
from fulfil.despatch.pack import reopen_package
from fulfil.despatch.pack_causes import STRIP_FORGOTTEN, likely_causes
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.equipment import BoxType
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.shop.journal_words import in_words
from fulfil.store.shop import Shop, open_shop
from tests.bench.test_bench_pack import check_all
from tests.bench_shop import AT, bench_shop

NUMBER = "P2603020001"


@pytest.fixture
def shop(tmp_path: Path):
    """One order of four bags, all checked; its box weighs 58 + 12 g."""
    found = bench_shop(tmp_path / "shop.sqlite", orders=1)
    with open_shop(tmp_path / "shop.sqlite", wait_s=1) as opened:
        check_all(opened, [code for codes in found.values() for code in codes])
        yield opened


def at_bench(shop: Shop, *lines: str, **options) -> tuple[PackBench, Say]:
    """A bench that took the order in hand, after some lines."""
    bench = PackBench(shop, "pack-1", person="ben", **options)
    say = bench.open()
    for line in ("O-1001", *lines):
        say = bench.enter(line, at=AT)
    return bench, say


def now(shop: Shop) -> Package:
    """The package as it is in the books."""
    with shop.reading() as books:
        return books.need(Package, NUMBER)


def fill(bench: PackBench) -> None:
    """Puts every bag in."""
    while bench.state.package is not None and bench.state.package.missing:
        bench.enter(bench.state.package.missing[0], at=AT)


def test_the_window_is_made_from_the_reading(shop: Shop) -> None:
    """u² = bags² + 0.4² + 1²/12 (the empty box, JCGM 100:2008, F.2.2.1) + 0.2² (judgement) + 0.4² (the full one)."""
    _, said = at_bench(shop, "empty box 71")
    package = now(shop)
    with shop.reading() as books:
        masses = [bag_mass(books, bag) for bag in books.find(Bag, package_number=NUMBER)]
        settings = books.need(Settings, 1)
        assert for_scale(books, package)[0] == package
    u_g = sqrt(sum(mass.u_g**2 for mass in masses) + 2 * 0.4**2 + 1 / 12 + AFTER_EMPTY_SD_G**2)
    true_g = 71 + float(sum(mass.gross_g for mass in masses))
    half_g = NormalDist().inv_cdf(1 - settings.risk_reject / 2) * u_g

    assert (package.empty_g, package.empty_scale_code) == (Decimal(71), "PACK")
    assert abs(float(package.expected_g) - true_g) <= 0.5
    assert 0 <= float(package.upper_g) + 0.5 - true_g - half_g < 1
    assert 0 <= true_g - float(package.lower_g) + 0.5 - half_g < 1
    assert said.headline.startswith("Empty box 71 g.")
    assert "empty box 71 g" in said.lines


def test_it_pays_and_says_so_where_the_box_hides_a_bag(shop: Shop) -> None:
    """Boxes that scatter by 8 g hide the lightest bags; what is named lies between what is seen without and with it."""
    with shop.writing() as books:
        books.replace([revised(books.need(BoxType, "BOX-1"), {"tare_sd_g": 8.0})])
    _, before = at_bench(shop)
    hides = now(shop).visible_from_g
    with shop.reading() as books:
        bags = {bag.code: bag_mass(books, bag).gross_g for bag in books.find(Bag, package_number=NUMBER)}
        says = what_empty_shows(books, now(shop))
    bench, after = at_bench(shop, "empty box 70")
    hidden = [code for code, mass_g in bags.items() if mass_g < hides]

    assert hidden
    assert says.startswith("Weigh the empty box first, on PACK: bag")
    assert says.endswith("would be seen.")
    assert all(code in says for code in hidden)
    assert says in before.lines
    assert now(shop).visible_from_g < min(bags.values())
    assert not any(line.startswith("Weigh the empty box first") for line in after.lines)
    bench.enter("undo", at=AT)
    bench.enter(hidden[0], at=AT)
    assert says not in bench.enter("show", at=AT).lines, "the box isn't empty any more"


def test_where_no_bag_is_hidden_nothing_is_said(shop: Shop) -> None:
    """It would cost a weighing and show nothing."""
    at_bench(shop)
    with shop.reading() as books:
        assert min(bag_mass(books, bag).gross_g for bag in books.find(Bag)) >= now(shop).visible_from_g
        assert what_empty_shows(books, now(shop)) == ""


def test_a_finer_scale_that_bears_the_package_is_named(shop: Shop) -> None:
    """Bags of less than what two readings of 1 g show: the scale of 0.01 g would show them."""
    with shop.writing() as books:
        for bag in books.find(Bag):
            books.replace([revised(bag, {"gross_g": Decimal("2.00")})])
    at_bench(shop)
    with shop.reading() as books:
        assert what_empty_shows(books, now(shop)).startswith("Weigh the empty box first, on FINE: bags ")


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        ("58", "so much weighs BOX-1 without cushioning"),
        ("82", "so much weighs BOX-1 with twice its cushioning"),
        ("276", "so much weighs BOX-2 with its cushioning"),
        ("120", "nothing that stands in the file weighs so"),
    ],
)
def test_another_box_is_found_before_a_bag_lies_in_it(shop: Shop, reading: str, says: str) -> None:
    """Nothing is kept, and what to do is said."""
    _, said = at_bench(shop, f"empty box {reading}")
    assert said.sound is Sound.REFUSED
    assert says in said.headline
    assert said.lines[0].endswith(f"empty box {reading} REASON.")
    assert now(shop).empty_g is None


def test_a_reason_takes_it_and_stays_on_record(shop: Shop) -> None:
    """More paper for long parts: the reading is the truth, since the window is made from it."""
    at_bench(shop, "empty 82 g longer parts need more paper")
    assert now(shop).empty_g == 82
    with shop.reading() as books:
        entry = next(one for one in books.find(JournalEntry) if one.event == "empty box weighed")
    assert in_words(entry) == f"weighed the empty box of package {NUMBER}: 82 g: longer parts need more paper"
    assert "twice its cushioning" in entry.particulars


def test_bags_in_the_box_stand_against_it(shop: Shop) -> None:
    """It is empty no more."""
    bench, _ = at_bench(shop)
    assert bench.state.package is not None
    code = bench.state.package.missing[0]
    bench.enter(code, at=AT)
    said = bench.enter("empty box 70", at=AT)
    assert said.sound is Sound.REFUSED
    assert code in said.headline


def test_undo_a_killed_bench_and_a_reopened_package(shop: Shop) -> None:
    """Undo takes it back; a kill keeps it; an opened box gets another strip, so it is weighed anew."""
    plain = now_after(shop)
    bench, _ = at_bench(shop, "empty box 71")
    assert bench.enter("undo", at=AT).headline == "The empty box's 71 g are taken back."
    assert now(shop) == plain
    bench.enter("empty box 71", at=AT)
    weighed = now(shop)

    again = PackBench(shop, "pack-1", person="ben")
    again.open()
    assert again.state.package is not None
    assert again.state.package.empty_g == 71
    fill(again)
    assert again.enter(str(weighed.expected_g), at=AT).big == "SEALED"
    reopen_package(shop, NUMBER, "a bush is missing", at=AT, person="ben")

    with shop.reading() as books:
        assert for_scale(books, books.need(Package, NUMBER))[0] == plain


def now_after(shop: Shop) -> Package:
    """The package once its boxes are chosen."""
    at_bench(shop, "let go")
    return now(shop)


def test_a_card_and_a_scale_that_sends_by_itself(shop: Shop) -> None:
    """The card asks for the empty weight; the next steady reading is it, and no full box is sealed by it."""
    bench, asked = at_bench(shop, "*EMPTY-BOX")
    assert asked.headline.startswith("Put box BOX-1 on PACK, with its cushioning")
    said = bench.weighed(ScaleReading(Decimal(70), is_steady=True), at=AT, sent_at_s=1.0)
    assert said is not None
    assert now(shop).empty_g == 70
    assert not bench.state.weighs_empty


@pytest.mark.parametrize(("over_g", "is_said"), [(2, True), (5, True), (6, False), (-2, False)])
def test_a_strip_that_was_not_in_the_empty_box_is_thought_of(shop: Shop, over_g: int, is_said: bool) -> None:
    """Only where the empty box was weighed, and only for a little too much."""
    at_bench(shop, "let go")
    with shop.reading() as books:
        package, scale = for_scale(books, now(shop))
        assert STRIP_FORGOTTEN not in likely_causes(books, package, package.expected_g + over_g, scale)
    at_bench(shop, "empty box 70")
    with shop.reading() as books:
        package, scale = for_scale(books, now(shop))
        assert (STRIP_FORGOTTEN in likely_causes(books, package, package.expected_g + over_g, scale)) == is_said


def test_causes_and_budget_follow(shop: Shop) -> None:
    """No other box, no forgotten cushioning once the empty box was weighed; the budget names its terms."""
    at_bench(shop, "let go")
    with shop.reading() as books:
        package, scale = for_scale(books, now(shop))
        before = likely_causes(books, package, package.expected_g - 12, scale)
        assert "filling" in before[0]
        assert {"box, one to the next", "cushioning"} <= {term.name for term in package_budget(books, package).terms}
    at_bench(shop, "empty box 70")
    with shop.reading() as books:
        package, scale = for_scale(books, now(shop))
        bags = books.find(Bag, package_number=NUMBER)
        lightest = min(bags, key=lambda bag: bag_mass(books, bag).gross_g)
        mass_g = bag_mass(books, lightest).gross_g.quantize(Decimal(1))
        after = likely_causes(books, package, package.expected_g - mass_g, scale)
        budget = package_budget(books, package)
    assert lightest.code in after[0]
    assert {"empty box's weight", "closing strip"} <= {term.name for term in budget.terms}
    assert budget.largest.remedy == "use a finer scale"


def test_by_command_another_box_weighs_and_seals_nothing(shop: Shop, tmp_path: Path) -> None:
    """Exit 1 with what to do; with the reason, or the right box, it goes on to the full one."""
    at_bench(shop, "let go")
    words = [
        "packages",
        "weigh",
        NUMBER,
        "--shop",
        str(tmp_path / "shop.sqlite"),
        "--at",
        AT.isoformat(),
        "--by",
        "ben",
    ]
    wrong = CliRunner().invoke(main, [*words, "--empty", "276", "--gross", "570"])
    assert wrong.exit_code == 1, wrong.output
    assert "so much weighs BOX-2 with its cushioning" in wrong.output
    assert now(shop).empty_g is None
    right = CliRunner().invoke(main, [*words, "--empty", "70", "--gross", "364"])
    assert "SEALED" in right.output
    assert now(shop).empty_g == 70
