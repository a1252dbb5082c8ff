"""The registry, the door and the numbers of papers: found by their sheet, printed by one door, asked for again."""

from datetime import date

import pytest
from fulfil_demo_catalog.samples import bench, despatch, stock, walk
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PaperRefused
from fulfil.papers.door import files, leaves, pdf
from fulfil.papers.numbering import After, OfTheDay
from fulfil.papers.page import LabelSize
from fulfil.papers.registry import paper_of, papers
from fulfil.papers.sheet import Sheet, recast
from fulfil.papers.walk.pick_list_large import LargePickListSheet, large
from fulfil.papers.walk.pick_list_sheet import PickListSheet
from fulfil.records.settings import Paper


def test_a_subclass_has_a_drawing_of_its_own():
    """The same words as another class: another paper, larger letters; both say the same in words."""
    usual = walk.pick_list(2)

    assert paper_of(PickListSheet) is not paper_of(LargePickListSheet)
    assert pdf([usual], page=Paper.A4) != pdf([large(usual)], page=Paper.A4)
    assert recast(large(usual), PickListSheet) == usual


def test_a_sheet_of_no_paper_is_refused():
    """Named, with what was expected."""
    with pytest.raises(PaperRefused, match="Cannot print a sheet of the kind 'Sheet': expected one of the papers"):
        pdf([Sheet()], page=Paper.A4)


def test_sheets_of_several_kinds_are_not_one_file():
    """Nor are none."""
    with pytest.raises(PaperRefused, match="'PickListSheet, CartCardSheet': expected sheets of one kind"):
        leaves([walk.pick_list(1), walk.cart_card()], page=Paper.A4)
    with pytest.raises(PaperRefused, match="one sheet or more"):
        leaves([], page=Paper.A4)


def test_a_label_is_printed_in_its_own_sizes_only():
    """A bag label on A6, a package label cut from a page: refused, with the sizes there are."""
    with pytest.raises(PaperRefused, match="Cannot print the bag label in the size '105x148': expected 60x40 or 50x25"):
        pdf([walk.bag_label()], page=Paper.A4, size=LabelSize.PACKAGE_A6)
    with pytest.raises(PaperRefused, match="'Package label': expected a paper that is cut from a page"):
        pdf([despatch.package_label()], page=Paper.A4, on_sheets=True)


def test_files_are_named_by_their_papers():
    """One file a kind, in the order of their first sheets: what it is about, then what it is."""
    sheets = [walk.pick_list(1), walk.bag_label(1), walk.cart_card(), walk.bag_label(2), stock.short_list()]

    assert list(files(sheets, page=Paper.A4)) == [
        "W-07-pick-list.pdf", "W-07-bag-labels.pdf", "W-07-cart-card.pdf", "2025-03-04-short-list.pdf",
    ]  # fmt: skip
    assert list(files(bench.bench_cards(), page=Paper.A4)) == ["bench-cards.pdf"]
    assert list(files(bench.bench_cards(), page=Paper.A4, name="badges")) == ["badges.pdf"]
    assert files([], page=Paper.A4) == {}


def test_one_name_is_not_for_two_kinds():
    """The second would take the place of the first."""
    with pytest.raises(PaperRefused, match="sheets of one kind"):
        files([walk.pick_list(1), walk.cart_card()], page=Paper.A4, name="both")


def test_no_two_papers_are_asked_for_by_one_number():
    """Of papers numbered by a day each has its own letters; large print is the same paper to its readers."""
    dated = [paper.numbered for paper in papers().values() if isinstance(paper.numbered, OfTheDay)]
    names = [paper.file for paper in papers().values()]

    assert len(set(dated)) == len(dated) >= 5
    assert {name for name in names if names.count(name) > 1} == {"pick-list"}


@given(st.text(st.sampled_from("WPC0123456789-"), min_size=1, max_size=39), st.sampled_from(["", "L", "SCALE-"]))
def test_a_number_leads_back_to_what_it_is_about(key, letter):
    """By letter before it, or in the place of its own."""
    assert After(letter).key(After(letter).number(key)) == key
    assert After("C", instead_of="W").key(After("C", instead_of="W").number(f"W{key}")) == f"W{key}"


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)), st.sampled_from([OfTheDay("JM"), OfTheDay("S", "01")]))
def test_a_number_of_the_day_leads_back_to_its_day(day_of, numbered):
    """Any day of this century; another paper's number leads nowhere."""
    assert numbered.day(numbered.number(day_of)) == day_of
    assert OfTheDay("X").day(numbered.number(day_of)) is None


def test_a_number_is_as_long_as_a_bar_code_holds():
    """An order's longest number behind a letter is cut."""
    assert After("N", most=40).number("8" * 40) == "N" + "8" * 39
