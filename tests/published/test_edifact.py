"""DESADV against the segment table of UN directory D.96A, and against pydifact as an independent parser.

`D96A` is the part of the directory's table that the writer uses: tag, most occurrences, group members. Checked: order,
nesting and counts of segments, lengths of data elements as the writer's refusals, the segment count of UNT (ISO 9735).
Not checked: code lists, and any partner's subset.
"""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydifact.parser import Parser

from fulfil.errors import CodeRefused
from fulfil.standards import edifact
from fulfil.standards.despatch_advice import DespatchAdvice, Line, Package, Party

# pydifact 0.2 ships no directories and says so with each segment; its parsing needs none.
pytestmark = pytest.mark.filterwarnings("ignore::pydifact.exceptions.MissingImplementationWarning")

D96A = [
    ("UNH", 1, []),
    ("BGM", 1, []),
    ("DTM", 10, []),
    ("MEA", 5, []),
    ("RFF", 10, [("DTM", 1, [])]),
    ("NAD", 10, [("LOC", 10, []), ("RFF", 10, []), ("CTA", 10, [("COM", 5, [])])]),
    ("TDT", 10, [("LOC", 10, [])]),
    (
        "CPS",
        9999,
        [
            ("FTX", 5, []),
            (
                "PAC",
                9999,
                [("MEA", 10, []), ("QTY", 10, []), ("PCI", 1000, [("RFF", 1, []), ("DTM", 5, []), ("GIN", 99, [])])],
            ),
            ("LIN", 9999, [("PIA", 10, []), ("IMD", 25, []), ("MEA", 10, []), ("QTY", 10, []), ("RFF", 10, [])]),
        ],
    ),
    ("CNT", 5, []),
    ("UNT", 1, []),
]

FULL = DespatchAdvice(
    number="DA-17",
    issued=datetime(2026, 3, 2, 16, 5, tzinfo=UTC),
    order_number="PO-9",
    customer_reference="Glockenspiel",
    service="Invented Post, registered",
    seller=Party("Kleinteilehaus Muster", ("Musterweg 1", "Hof 2"), "Musterstadt", "12345", "DE", gln="4012345000009"),
    buyer=Party("O'Neill + Co: Works?", ("3 Cam Street",), "Nowhere", "", "IE", email="buyer@example.invalid"),
    consignee=Party("A. Nobody", ("1 Invented Road",), "Nowhere", "ZZ1 1ZZ", "GB", telephone="+44 20 7946 0018"),
    lines=(
        Line(
            1,
            "10",
            "SCR-0016",
            "Cap screw M3 x 16, steel, zinc plated, hexagon socket, ISO 4762, 8.8",
            250,
            200,
            "CS-316",
        ),
        Line(2, "20", "BAL-0050", "Bearing ball 5 mm", 100, 100),
        Line(3, "30", "GER-0020", "Brass gear, 20 teeth", 4, 0),
    ),
    packages=(
        Package("P000123", 412, ((1, 150), (2, 100)), (200, 150, 80), sscc="395200012300000425"),
        Package("P000124", 88, ((1, 50),), tracking_number="RR473124829GB"),
    ),
)


def follows(tags: list[str], table: list) -> list[str]:
    """The tags left over after reading as much as the table allows, groups nested."""
    for tag, most, members in table:
        seen = 0
        while tags and tags[0] == tag and seen < most:
            tags = follows(tags[1:], members)
            seen += 1
    return tags


def segments_of(message: str) -> list:
    """The message's segments as pydifact reads them, UNH and UNT included."""
    service_advice, *segments = Parser().parse(edifact.SERVICE_STRING_ADVICE + message)

    assert service_advice.tag == "UNA"
    return segments


def test_segments_stand_in_the_directorys_order():
    """Nothing is left over when the D.96A table is followed."""
    tags = [segment.tag for segment in segments_of(edifact.desadv(FULL, message_reference="1"))]

    assert follows(tags, D96A) == []
    assert tags[0] == "UNH"
    assert tags[-1] == "UNT"


def test_the_table_does_find_a_wrong_order():
    """A LIN before its package level is left over."""
    assert follows(["UNH", "BGM", "LIN", "CPS", "UNT"], D96A) == ["LIN", "CPS", "UNT"]


def test_unt_counts_every_segment_once():
    """ISO 9735: UNH and UNT included; counted by pydifact and by us, with escaped terminators in the names."""
    message = edifact.desadv(FULL, message_reference="4711")
    segments = segments_of(message)

    assert segments[-1].elements == [str(len(segments)), "4711"]
    assert edifact.count_segments(message) == len(segments)


def test_a_public_sample_closes_with_the_count_we_get():
    """A sample of a public EDIFACT reader's tests: six segments."""
    sample = "UNH+1+DESADV:D:96A:UN'BGM+351+X+9'RFF+ON:4500765432'LIN+1++KD-123:IN'QTY+12:1:PCE'UNT+6+1'"

    assert edifact.count_segments(sample) == 6


def test_the_message_says_what_the_advice_says():
    """Read back by pydifact: levels, packages, pieces, marks."""
    segments = segments_of(edifact.desadv(FULL, message_reference="1"))
    of = {
        tag: [segment.elements for segment in segments if segment.tag == tag]
        for tag in ("CPS", "LIN", "QTY", "GIN", "CNT", "NAD")
    }

    assert of["CPS"] == [["1"], ["2", "1"], ["3", "1"]]
    assert [line[2][0] for line in of["LIN"]] == ["GER-0020", "SCR-0016", "BAL-0050", "SCR-0016"]
    assert [q[0] for q in of["QTY"]] == [
        *[["12", "0", "PCE"], ["21", "4", "PCE"]],
        *[["12", "150", "PCE"], ["21", "250", "PCE"], ["12", "100", "PCE"], ["21", "100", "PCE"]],
        ["12", "50", "PCE"],
    ]
    assert of["GIN"] == [["BJ", "395200012300000425"]]
    assert of["CNT"] == [[["2", "4"]]]
    assert of["NAD"][1][3] == "O'Neill + Co: Works?"


def test_an_interchange_is_read_by_pydifact():
    """UNB, two messages, UNZ that counts them."""
    messages = [edifact.desadv(FULL, message_reference=reference) for reference in ("1", "2")]
    written = edifact.interchange(
        messages, sender="SHOP", recipient="CARRIER", prepared=FULL.issued, control_reference="77"
    )
    _, header, *inside, trailer = Parser().parse(written.decode("latin-1"))

    assert header.elements == [["UNOC", "3"], "SHOP", "CARRIER", ["260302", "1605"], "77"]
    assert [segment.elements[0] for segment in inside if segment.tag == "UNH"] == ["1", "2"]
    assert trailer.tag == "UNZ"
    assert trailer.elements == ["2", "77"]


def test_letters_outside_the_character_set_are_refused_with_the_remedy():
    """UNOC is ISO 8859-1."""
    advice = replace(FULL, consignee=replace(FULL.consignee, name="Łódź"))
    message = edifact.desadv(advice, message_reference="1")
    with pytest.raises(CodeRefused, match="give a Latin transliteration"):
        edifact.interchange([message], sender="A", recipient="B", prepared=FULL.issued, control_reference="1")


@pytest.mark.parametrize(
    "changes",
    [
        {"number": "x" * 36},
        {"order_number": "x" * 36},
        {"service": "x" * 36},
        {"seller": replace(FULL.seller, city="x" * 36)},
        {"seller": replace(FULL.seller, postal_code="x" * 10)},
        {"seller": replace(FULL.seller, name="x" * 200)},
        {"seller": replace(FULL.seller, address_lines=("a", "b", "c", "d", "e"))},
    ],
)
def test_a_text_too_long_for_its_data_element_is_refused_not_cut(changes):
    """Lengths of directory D.96A."""
    with pytest.raises(CodeRefused, match="Cannot write as UN/EDIFACT"):
        edifact.desadv(replace(FULL, **changes), message_reference="1")


SIGNS = st.text("ab?+:' é", min_size=1, max_size=12).map(str.strip).filter(bool)


@given(st.lists(SIGNS, min_size=1, max_size=4), SIGNS)
def test_every_text_survives_escaping(components, element):
    """Components and elements full of EDIFACT's own signs, read back by pydifact."""
    written = edifact.segment("FTX", element, components)
    (segment,) = segments_of(written)

    assert segment.elements == [element, components if len(components) > 1 else components[0]]
    assert edifact.count_segments(written) == 1


def test_empty_ends_are_left_out_and_empty_middles_kept():
    """ISO 9735: trailing separators are omitted."""
    assert edifact.segment("NAD", "BY", "", "", "", "", "Nowhere", "", "", "") == "NAD+BY+++++Nowhere'"
    assert edifact.segment("IMD", "F", "", ("", "", "", "x", "")) == "IMD+F++:::x'"
    assert edifact.segment("FTX", ("a:", "")) == "FTX+a?:'"
