"""Bag labels: what may give way on a small label, and what never does."""

from dataclasses import replace

import pytest

from fulfil.errors import PaperRefused
from fulfil.papers.door import leaves, pdf
from fulfil.papers.ink import Bars, Text
from fulfil.papers.page import LabelSize
from fulfil.papers.wrap import LEAST_PT
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Paper
from tests.papers import invented

SIZES = (LabelSize.BAG_60_40, LabelSize.BAG_50_25)


@pytest.mark.parametrize("size", SIZES)
def test_numbers_and_weights_are_never_shortened(read_text, size):
    """Part, order, pieces, window, aim, stop and position are on every label, whole."""
    labels = invented.bag_labels()
    texts = read_text(pdf(labels, page=Paper.A4, size=size))

    assert len(texts) == len(labels)
    for label, text in zip(labels, texts, strict=True):
        pieces = "999999" if label.pieces == 999_999 else str(label.pieces)
        assert text.startswith(f"{label.stop_no}{label.cart_position}{pieces}pcs{label.part_number}")
        assert label.order_number in text
        assert label.bag_code in text
        if label.is_counted_by_hand:
            assert "COUNTBYHAND" in text
        else:
            assert f"{label.lower_g}–{label.upper_g}gaim{label.target_g}" in text


def test_a_long_description_ends_with_a_sign(read_text):
    """A description that doesn't fit is cut at a word and marked by an ellipsis."""
    long = invented.bag_label(2, description=invented.NAME_200)
    (text,) = read_text(pdf([long], page=Paper.A4, size=LabelSize.BAG_60_40))

    assert "ÜberlangeBezeichnung" in text
    assert "…" in text


@pytest.mark.parametrize("size", SIZES)
def test_a_caution_is_whole_or_the_label_is_refused(read_text, size):
    """A caution is never shortened."""
    short = invented.bag_label(2, cautions=("Contains lead.",))
    (text,) = read_text(pdf([short], page=Paper.A4, size=size))

    assert "!Containslead." in text
    with pytest.raises(PaperRefused, match="Cannot fit on its label the bag '42000002'"):
        pdf([invented.bag_label(2, cautions=(invented.NAME_200,) * 3)], page=Paper.A4, size=size)


def test_a_code_too_long_for_the_label_is_refused():
    """Bars are not squeezed under two printer dots or 0.16 mm."""
    with pytest.raises(PaperRefused, match="use a shorter number"):
        pdf([invented.bag_label(1, bag_code="B" * 40)], page=Paper.A4, size=LabelSize.BAG_50_25)


@pytest.mark.parametrize("caution", [(), ("LEADED BRASS",)])
@pytest.mark.parametrize("note", ["", "bag 1 of 3"])
def test_the_numbers_of_a_usual_day_leave_room_for_the_part(read_text, note, caution):
    """A bag number of eleven characters, with or without a note and a caution, doesn't push the part off its label."""
    label = invented.bag_label(
        1,
        bag_code="B2603020004",
        walk_number="W2603020001",
        order_number="260302-079",
        bag_type="BAG-1",
        note=note,
        cautions=caution,
        description=invented.NAME_200,
    )
    (text,) = read_text(pdf([label], page=Paper.A4, size=LabelSize.BAG_60_40))

    assert "bearingball·4mm" in text
    assert "polishedsteel" in text
    assert text.endswith(f"B2603020004{note.replace(' ', '') or 'W2603020001'}")
    (bars,) = [mark for mark, _ in leaves([label], page=Paper.A4)[0].marks() if isinstance(mark, Bars)]
    assert bars.module_mm >= 0.25


def test_no_part_text_is_ever_too_long_for_a_label():
    """Family, size, finish and description of 200 characters each still give a label, with the sign for what is cut."""
    long = invented.NAME_200
    label = invented.bag_label(1, bag_code="B2603020004", description=long, family=long, finish=long)
    label = replace(label, size=long, note="bag 1 of 3", cautions=("LEADED BRASS", "SHARP"))
    (leaf,) = leaves([label], page=Paper.A4, size=LabelSize.BAG_60_40)

    assert any("…" in mark.text for mark, _ in leaf.marks() if isinstance(mark, Text))


def test_a_used_sheet_is_filled_from_its_first_free_place(read_text):
    """Labels begin at the place given; a place that the sheet hasn't got is refused."""
    labels = [invented.bag_label(i) for i in range(1, 4)]
    texts = read_text(pdf(labels, page=Paper.A4, on_sheets=True, first=21))

    assert len(texts) == 2
    assert "42000001" in texts[0]
    assert "42000002" in texts[1]
    assert texts[1].startswith("page2of2")
    with pytest.raises(
        PaperRefused, match="Cannot begin a sheet of labels at place '22': expected a place from 1 to 21"
    ):
        pdf(labels, page=Paper.A4, on_sheets=True, first=22)


def test_a_bag_to_weigh_without_weights_is_refused():
    """No label is printed with a hole where the target belongs."""
    with pytest.raises(PaperRefused, match="target and both limits"):
        pdf([invented.bag_label(1, target_g=None)], page=Paper.A4)
    assert LEAST_PT == 7
    assert CountMethod.HAND.value == "count by hand"


def test_the_small_label_says_what_the_part_looks_like_too(read_text):
    """Fifty by twenty-five millimetres with the numbers of a usual day: the looks are there."""
    label = invented.bag_label(2, bag_code="B2603020004", order_number="260302-079", bag_type="BAG-1")
    (text,) = read_text(pdf([label], page=Paper.A4, size=LabelSize.BAG_50_25))

    assert "washer·M3·brass,bright" in text
