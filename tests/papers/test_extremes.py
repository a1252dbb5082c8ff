"""Records at random, as extreme as records may be: each gives a sound page, or a refusal that names its reason."""

from dataclasses import fields, is_dataclass, replace
from datetime import date, time
from decimal import Decimal
from enum import Enum

import pytest
from fulfil_demo_catalog.samples.papers import SAMPLES
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fulfil.errors import PaperRefused
from fulfil.papers.despatch.manifest import ManifestRow, ManifestSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.despatch.packing_list import PackingLine, PackingListSheet
from fulfil.papers.document import Document
from fulfil.papers.door import leaves
from fulfil.papers.ink import Text
from fulfil.papers.page import LabelSize
from fulfil.papers.registry import paper_of
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.papers.walk.checklist import CheckBag, ChecklistSheet, NotThis
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.records.place import Side
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Paper
from tests.papers import geometry

DAY = date(2025, 3, 4)
NAMES = sorted(name for name, sample in SAMPLES.items() if not sample.on_sheets)
DOCUMENTS = [name for name in NAMES if isinstance(paper_of(type(SAMPLES[name].sheets()[0])), Document)]
IN_BARS = {
    "document_number", "job_number", "bag_code", "bin_code", "item_number", "sscc", "package_number",
    "slip_number", "code", "walk_number", "order_number",
}  # fmt: skip
"""Numbers that scanners read: they have their own limits, tested with the bar codes."""
OF_A_LIST = {
    "language",
    "currency",
    "form",
    "hs_code",
    "origin",
    "country",
    "country_of_destination",
    "kind",
    "destination",
    "also_in",
    "way_word",
    "countries_of_origin",
    "p_right",
    "aisle",
    "ours",
    "theirs",
    "money",
    "costs",
    "charges",
    "goods",
    "value",
    "unit_weight",
    "uncertainty",
    "piece_sd",
    "due",
    "weight",
    "expected",
    "today",
    "usual",
}
"""Words that come from a list, or figures written already."""
LINES_OF = 60
"""Lines of addresses and short words: as long as a person writes them."""
IS_SENTENCE = {"description", "notice", "note", "reason", "remark", "says", "do", "tells", "facts", "words",
               "look_alikes", "second_look", "cautions", "advice", "rules", "statement", "claims", "contact",
               "sentences", "declaration", "remarks", "to_do", "likely", "steps", "risk_statement"}  # fmt: skip
LETTERS = "aMWil łΩЖ,.-(%0 1"
LINE = st.text(st.sampled_from(LETTERS), max_size=200)
NAME = LINE.map(lambda text: f"N{text}")
CODE = st.text(st.sampled_from("ABWMij01-/ "), min_size=0, max_size=39).map(lambda text: f"C{text}")
SHORT = st.text(st.sampled_from("ABW01-"), min_size=1, max_size=12)
PIECES = st.integers(1, 999_999)
SIDES = st.sampled_from(list(Side))
MASS = st.decimals(Decimal("0.01"), Decimal("31499.99"), places=2)
SEVERAL = st.lists(NAME, max_size=2).map(tuple)


@st.composite
def weights(draw):
    """A method with its weights: all three, or none."""
    if draw(st.booleans()):
        return {"method": CountMethod.HAND}
    target = draw(MASS)
    method = draw(st.sampled_from([CountMethod.WEIGH, CountMethod.TARE, CountMethod.POUR]))
    return {"method": method, "target_g": target, "lower_g": target, "upper_g": target + Decimal("0.30")}


@st.composite
def parts(draw):
    """What a part is called and looks like."""
    return {
        "part_number": draw(CODE),
        "description": draw(NAME),
        "family": draw(NAME),
        "size": draw(LINE),
        "finish": draw(LINE),
    }


@st.composite
def pick_lists(draw):
    """A walk of a few stops with a few bags each."""
    stops = []
    for number in range(1, draw(st.integers(1, 4)) + 1):
        bags = tuple(
            PickBag(
                bag_code=draw(CODE),
                cart_position=draw(st.integers(1, 99)),
                order_number="O-1",
                pieces=draw(PIECES),
                tare_g=Decimal("3.1"),
                bag_type=draw(st.sampled_from(["", "B2"])),
                note=draw(LINE),
                **draw(weights()),
            )
            for _ in range(draw(st.integers(1, 5)))
        )
        stops.append(
            PickStop(
                stop_no=number,
                turn=draw(LINE) if number > 1 else draw(NAME),
                bin_code=draw(CODE),
                aisle=draw(CODE),
                side=draw(SIDES),
                section=draw(st.integers(0, 999)),
                level=draw(st.integers(0, 99)),
                on_your=draw(st.none() | SIDES),
                bags=bags,
                cautions=draw(SEVERAL),
                **draw(parts()),
            )
        )
    return PickListSheet(
        document_number=draw(SHORT),
        shop_name=draw(NAME),
        day=DAY,
        notice=draw(LINE),
        walk_number=draw(SHORT),
        cart_name=draw(NAME),
        cart=tuple(
            CartPosition(position=i, order_number=draw(CODE), service=draw(NAME), bags=3, note=draw(LINE))
            for i in range(1, draw(st.integers(0, 3)) + 1)
        ),
        cut_off=time(15, 30),
        cut_off_service=draw(LINE),
        length_mm=draw(st.integers(0, 10**7)),
        stops=tuple(stops),
        risk_statement=draw(NAME),
        bound_statement=draw(LINE),
        cautions=draw(SEVERAL),
    )


LABELS = st.builds(
    lambda part, weight, **rest: BagLabelSheet(walk_number="W-1", bin_code="A1", **part, **weight, **rest),
    parts(),
    weights(),
    bag_code=st.text(st.sampled_from("0123456789AB"), min_size=1, max_size=14),
    pieces=PIECES,
    order_number=CODE,
    cart_position=st.integers(1, 99),
    stop_no=st.integers(1, 999),
    bag_type=st.sampled_from(["", "B2"]),
    note=st.text(st.sampled_from("bag 1of2"), max_size=20),
    cautions=st.lists(st.text(st.sampled_from("Lead. "), min_size=1, max_size=40), max_size=1).map(tuple),
)
LINES = st.lists(NAME, min_size=2, max_size=7).map(tuple)
PACKAGES = st.builds(
    PackageLabelSheet,
    package_number=SHORT,
    order_number=CODE,
    service=NAME,
    from_lines=LINES,
    to_lines=LINES,
    package_no=st.integers(1, 99),
    packages=st.integers(99, 99),
    gross_g=st.none() | MASS,
    notice=LINE,
    cautions=SEVERAL,
)
FEW = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    derandomize=True,
)


def _sound_or_refused(draw):
    """Sound pages, or a refusal with a value and a remedy."""
    reason = None
    drawn = []
    try:
        drawn = draw()
    except PaperRefused as refused:
        reason = refused
    if reason is None:
        geometry.assert_all(drawn)
    else:
        assert reason.value not in (None, "")
        assert "expected" in str(reason)


@FEW
@given(sheet=pick_lists(), page=st.sampled_from(list(Paper)))
def test_pick_lists_are_sound(sheet, page):
    """Nothing overlaps, leaves the margins or shrinks under 7 pt, whatever the records say; and none is refused."""
    geometry.assert_all(leaves([sheet], page=page))


@FEW
@given(label=LABELS, size=st.sampled_from([LabelSize.BAG_60_40, LabelSize.BAG_50_25]))
def test_bag_labels_are_sound_or_refused(label, size):
    """A label that can't hold its numbers is refused; all others are sound."""
    _sound_or_refused(lambda: leaves([label], page=Paper.A4, size=size))


@FEW
@given(label=PACKAGES, size=st.sampled_from([LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150]))
def test_package_labels_are_sound_or_refused(label, size):
    """An address that fits at no readable size is refused; all others are sound."""
    _sound_or_refused(lambda: leaves([label], page=Paper.A4, size=size))


@FEW
@given(
    st.lists(st.tuples(parts(), weights(), CODE, PIECES, LINE, SEVERAL, SEVERAL), min_size=1, max_size=3),
    st.sampled_from(list(Paper)),
)
def test_checklists_are_sound(rows, page):
    """A checklist of extreme bags is sound."""
    sheet = ChecklistSheet(
        document_number="C-1",
        shop_name="Example",
        day=DAY,
        walk_number="W-1",
        cart_name="cart 1",
        risk_statement="Risks.",
        all_bags=9,
        rows=tuple(
            CheckBag(
                bag_code=code,
                cart_position=i % 2 + 1,
                order_number=code,
                pieces=pieces,
                second_look=(look,) if look else (),
                look_alikes=tuple(
                    NotThis(words=words, part_numbers=(code,), right_mm=19, wrong_mm=23) for words in alike
                ),
                cautions=cautions,
                **part,
                **weight,
            )
            for i, (part, weight, code, pieces, look, alike, cautions) in enumerate(rows)
        ),
    )
    geometry.assert_all(leaves([sheet], page=page))


@FEW
@given(st.lists(st.tuples(CODE, NAME, PIECES, PIECES, LINE), min_size=1, max_size=5), LINES, LINES, SEVERAL)
def test_packing_lists_are_sound(rows, sender, receiver, remarks):
    """A packing list of extreme lines and addresses is sound."""
    sheet = PackingListSheet(
        document_number="D-1",
        shop_name="Example",
        day=DAY,
        order_number="O-1",
        service="Parcel",
        from_lines=sender,
        to_lines=receiver,
        remarks=remarks,
        packages=(),
        lines=tuple(
            PackingLine(line_no=i, part_number=code, description=name, ordered=a + b, inside=a, to_follow=b, note=note)
            for i, (code, name, a, b, note) in enumerate(rows, start=1)
        ),
    )
    geometry.assert_all(leaves([sheet], page=Paper.LETTER))


@FEW
@given(st.lists(st.tuples(CODE, CODE, NAME, NAME, LINE, MASS, LINE), max_size=5))
def test_manifests_are_sound(rows):
    """A manifest of extreme packages is sound."""
    sheet = ManifestSheet(
        document_number="M-1",
        shop_name="Example",
        day=DAY,
        service="Parcel",
        from_lines=("Example",),
        state_sentence="Open.",
        rows=tuple(
            ManifestRow(
                package_number=package,
                order_number=order,
                consignee=name,
                town=town,
                post_code=code,
                country="PT",
                gross_g=mass,
                flags=flags,
            )
            for package, order, name, town, code, mass, flags in rows
        ),
    )
    geometry.assert_all(leaves([sheet], page=Paper.A4))


def _stretched(value, text, rows, name=""):
    """A sheet with every free text replaced by ``text`` and each of its lists repeated up to ``rows`` rows."""
    if name in IN_BARS | OF_A_LIST or name in ("route_map", "chart", "tables"):
        return value
    if is_dataclass(value):
        changed = {each.name: _stretched(getattr(value, each.name), text, rows, each.name) for each in fields(value)}
        return replace(value, **changed)
    if isinstance(value, tuple):
        made = tuple(_stretched(each, text, rows, name) for each in value)
        is_long = bool(made) and is_dataclass(made[0])
        return tuple(made[i % len(made)] for i in range(rows)) if is_long else made
    if not isinstance(value, str) or isinstance(value, Enum) or not value:
        return value
    return text if name in IS_SENTENCE else text[:LINES_OF]


def _drawn(name, sheets, page):
    drawn = leaves(sheets, page=page, size=SAMPLES[name].size)
    if name != "bench-cards":
        return drawn
    # The first part has the lines to cut along and the page's count, which lie outside the cards.
    return [replace(leaf, parts=leaf.parts[1:]) for leaf in drawn]


WORDS_200 = ("Überlange Bezeichnung ΑΒΓ ЖЗИ łódź " * 6)[:200].strip()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("text", "rows"), [(WORDS_200, 3), ("W" * 200, 2), ("usual", 40), ("usual", 300)])
def test_every_paper_holds_two_hundred_characters_and_three_hundred_rows(name, text, rows):
    """In every sentence 200 characters, in words or in one word, and in every list many rows: a page is sound.

    A label, which can't go on to a second page, may refuse by name instead; so may a single word too long for a line.
    """
    if name.startswith(("pick-list", "checklist")) and rows > 40:
        rows = 40  # rows are stops and bags of a stop and cart positions: 40 at each of 40
    sheets = [_stretched(sheet, text, rows) for sheet in SAMPLES[name].sheets()[:1]]
    if name in DOCUMENTS and text[0] != "W":
        geometry.assert_all(_drawn(name, sheets, Paper.A4))
    else:
        _sound_or_refused(lambda: _drawn(name, sheets, Paper.A4))


@settings(FEW, max_examples=60)
@given(name=st.sampled_from(NAMES), text=NAME, rows=st.integers(1, 4), page=st.sampled_from(list(Paper)))
def test_every_paper_is_sound_or_refuses_whatever_it_is_told(name, text, rows, page):
    """Any text in any field of any paper: nothing overlaps, leaves the margins or shrinks under 7 pt."""
    sheets = [_stretched(sheet, text, rows) for sheet in SAMPLES[name].sheets()[:1]]
    _sound_or_refused(lambda: _drawn(name, sheets, page))


@pytest.mark.parametrize("name", NAMES)
def test_a_script_that_the_font_lacks_is_refused_by_its_character(name):
    """አዲስ can't be printed: the paper is refused, the text and its first character are named; no black boxes."""
    sheets = [_stretched(sheet, "Shop አዲስ", 1) for sheet in SAMPLES[name].sheets()[:1]]

    with pytest.raises(PaperRefused, match=r"አ.*Latin, Greek or Cyrillic"):
        _drawn(name, sheets, Paper.A4)


@pytest.mark.parametrize("name", ["pick-list", "pick-list-large", "checklist", "bag-labels-60x40", "bag-labels-50x25"])
def test_a_window_of_three_tenths_of_a_gram_is_printed_in_full(name):
    """0.15 g about a target of 12345.60 g: target, lower and upper limit stand with all their digits."""
    narrow = {"method": CountMethod.WEIGH, "target_g": Decimal("12345.60"), "lower_g": Decimal("12345.45"),
              "upper_g": Decimal("12345.75")}  # fmt: skip

    def narrowed(sheet):
        if hasattr(sheet, "rows"):
            return replace(sheet, rows=tuple(replace(row, **narrow) for row in sheet.rows))
        stops = (replace(s, bags=tuple(replace(b, **narrow) for b in s.bags)) for s in getattr(sheet, "stops", ()))
        return replace(sheet, stops=tuple(stops)) if hasattr(sheet, "stops") else replace(sheet, **narrow)

    drawn = _drawn(name, [narrowed(sheet) for sheet in SAMPLES[name].sheets()], Paper.A4)
    words = [mark.text for leaf in drawn for mark, _ in leaf.marks() if isinstance(mark, Text)]

    assert name == "checklist" or any("12345.60" in word for word in words)
    assert "12345.45 – 12345.75 g" in " ".join(words)
