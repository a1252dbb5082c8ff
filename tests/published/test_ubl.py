"""The UBL despatch advice validates against the OASIS schema (see ubl-2.1/SOURCE.md), read by lxml.

What this shows: element names, namespaces, order, cardinality and data types of UBL 2.1. What it doesn't: code lists
and the business rules of any customisation.
"""

import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lxml import etree

from fulfil.standards import ubl
from fulfil.standards.despatch_advice import DespatchAdvice, Line, Package, Party

ARCHIVE = Path(__file__).parent / "ubl-2.1" / "xsd.zip"
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"

FULL = DespatchAdvice(
    number="DA-17",
    issued=datetime(2026, 3, 2, 16, 5, 9, tzinfo=UTC),
    order_number="PO-9",
    customer_reference="Glockenspiel & Söhne <2>",
    service="Invented Post, registered",
    note="Two packages",
    seller=Party("Kleinteilehaus Muster", ("Musterweg 1", "Hof 2"), "Musterstadt", "12345", "DE", gln="4012345000009"),
    buyer=Party("Invented Works", ("3 Cam Street",), "Nowhere", "", "IE", email="buyer@example.invalid"),
    consignee=Party(
        *("A. Nobody", ("1 Invented Road",), "Nowhere", "ZZ1 1ZZ", "GB"),
        region="Neverland",
        contact_name="A. Nobody",
        telephone="+44 20 7946 0018",
    ),
    lines=(
        Line(1, "10", "SCR-0016", "Cap screw M3 x 16, steel", 250, 200, "CS-316", "next week", "731815", "DE"),
        Line(2, "20", "BAL-0050", "Bearing ball 5 mm", 100, 100),
        Line(3, "30", "GER-0020", "Brass gear, 20 teeth", 4, 0, outstanding_reason="to be made"),
    ),
    packages=(
        Package("P000123", 412, ((1, 150), (2, 100)), (200, 150, 80), sscc="395200012300000425"),
        Package("P000124", 88, ((1, 50),), tracking_number="RR473124829GB"),
    ),
)


@pytest.fixture(scope="module")
def schema(tmp_path_factory) -> etree.XMLSchema:
    """The OASIS schema of the despatch advice."""
    folder = tmp_path_factory.mktemp("ubl")
    with zipfile.ZipFile(ARCHIVE) as archive:
        archive.extractall(folder)
    return etree.XMLSchema(etree.parse(folder / "maindoc" / "UBL-DespatchAdvice-2.1.xsd"))


def texts(parent: etree._Element, aggregate: str, basic: str) -> list[str | None]:
    """The text of `basic` in each `aggregate` right below `parent`."""
    return [element.findtext(f"{CBC}{basic}") for element in parent.findall(f"{CAC}{aggregate}")]


def test_a_full_advice_is_valid(schema):
    """Every field filled, two packages, one line split, one line short."""
    schema.assertValid(etree.fromstring(ubl.write(FULL)))


def test_a_bare_advice_is_valid(schema):
    """No optional field, nothing despatched yet."""
    line = Line(1, "1", "SCR-0016", "Cap screw", 5, 0)
    bare = replace(
        FULL, lines=(line,), packages=(), buyer=None, customer_reference="", service="", note="", consignee=FULL.seller
    )

    schema.assertValid(etree.fromstring(ubl.write(bare)))


def test_the_schema_does_find_faults(schema):
    """A document in the wrong order, one without lines and one with an unknown element are invalid."""
    for damage in ("swap", "no lines", "unknown"):
        root = etree.fromstring(ubl.write(FULL))
        if damage == "swap":
            root.insert(0, root.find(f"{CBC}IssueDate"))
        elif damage == "no lines":
            for line in root.findall(f"{CAC}DespatchLine"):
                root.remove(line)
        else:
            etree.SubElement(root, f"{CBC}Colour").text = "blue"

        assert not schema.validate(root)


def test_the_document_says_what_the_advice_says():
    """Read back by lxml: lines, packages, masses and pieces."""
    root = etree.fromstring(ubl.write(FULL))
    units = root.findall(f"{CAC}Shipment/{CAC}TransportHandlingUnit")

    assert root.tag == "{urn:oasis:names:specification:ubl:schema:xsd:DespatchAdvice-2}DespatchAdvice"
    assert root.findtext(f"{CBC}IssueDate") == "2026-03-02"
    assert root.findtext(f"{CBC}IssueTime") == "16:05:09+00:00"
    assert root.findtext(f"{CBC}LineCountNumeric") == "3"
    assert root.findtext(f"{CAC}OrderReference/{CBC}CustomerReference") == "Glockenspiel & Söhne <2>"
    assert root.findtext(f"{CAC}Shipment/{CBC}GrossWeightMeasure") == "0.500"
    assert texts(root, "DespatchLine", "DeliveredQuantity") == ["200", "100", "0"]
    assert texts(root, "DespatchLine", "OutstandingQuantity") == ["50", None, "4"]
    assert [unit.findtext(f"{CBC}ID") for unit in units] == ["395200012300000425", "P000124"]
    assert [texts(unit, "HandlingUnitDespatchLine", "ID") for unit in units] == [["1", "2"], ["1"]]
    assert [texts(unit, "HandlingUnitDespatchLine", "DeliveredQuantity") for unit in units] == [["150", "100"], ["50"]]


def test_the_same_advice_gives_the_same_bytes():
    """No clock, no chance, no order of a set."""
    assert ubl.write(FULL) == ubl.write(replace(FULL))


TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn", "Zl", "Zp"]), min_size=1, max_size=30)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TEXT, TEXT, TEXT)
def test_any_printable_name_stays_valid_and_comes_back(schema, name, description, note):
    """Ampersands, quotes, any script."""
    lines = (Line(1, "1", "P", description, 1, 1),)
    packages = (Package("P1", 10, ((1, 1),)),)
    advice = replace(FULL, seller=replace(FULL.seller, name=name), lines=lines, packages=packages, note=note)
    root = etree.fromstring(ubl.write(advice))

    schema.assertValid(root)
    assert root.findtext(f"{CBC}Note") == note
    assert root.findtext(f"{CAC}DespatchSupplierParty/{CAC}Party/{CAC}PartyName/{CBC}Name") == name
    assert root.findtext(f"{CAC}DespatchLine/{CAC}Item/{CBC}Description") == description
