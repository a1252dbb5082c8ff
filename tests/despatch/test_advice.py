"""Despatch advices of a manifest: valid UBL for each order, DESADV in the alphabet of its letters, always the same."""

import zipfile
from pathlib import Path

import pytest
from lxml import etree
from pydifact.parser import Parser

from fulfil.despatch.advice import AdviceFormat, write_advices
from fulfil.despatch.ship import close_manifest, void_package
from fulfil.errors import StateRefused
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order
from fulfil.shop.package_numbers import note_number
from fulfil.standards import edifact
from tests.shipping_shop import DAY, NOW, sealed_shop

TESTS = Path(__file__).parents[1]
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"

pytestmark = pytest.mark.filterwarnings("ignore::pydifact.exceptions.MissingImplementationWarning")


@pytest.fixture(scope="module")
def schema(tmp_path_factory):
    """The OASIS schema of the despatch advice (tests/published/ubl-2.1/SOURCE.md)."""
    folder = tmp_path_factory.mktemp("ubl")
    with zipfile.ZipFile(TESTS / "published" / "ubl-2.1" / "xsd.zip") as archive:
        archive.extractall(folder)
    return etree.XMLSchema(etree.parse(folder / "maindoc" / "UBL-DespatchAdvice-2.1.xsd"))


@pytest.fixture
def shop(tmp_path):
    """Three parcels by road on a closed manifest."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        close_manifest(opened, "ROAD", day=DAY, at=NOW, person="clerk-1")
        yield opened


def test_every_order_has_an_advice_that_the_schema_takes(shop, tmp_path, schema):
    """Three files, valid, with the packages and pieces of their order."""
    written, findings = write_advices(shop, "M2603020001", AdviceFormat.UBL, tmp_path / "ubl")

    assert findings == []
    assert [path.name for path in written] == [f"M2603020001-00{place}.xml" for place in (1, 2, 3)]
    for path in written:
        schema.assertValid(etree.parse(path))
    root = etree.parse(written[0]).getroot()
    assert root.findtext(f".//{CBC}DeliveredQuantity") == "200"
    assert root.findtext(f".//{CBC}GrossWeightMeasure") == "0.300"


def test_each_consignee_gets_an_interchange_of_its_own(shop, tmp_path):
    """Nobody reads of another's order; the alphabet is the consignee's; every UNT counts its segments (ISO 9735)."""
    written, findings = write_advices(shop, "M2603020001", AdviceFormat.EDIFACT, tmp_path)

    assert findings == []
    references: list[str] = []
    assert [path.name for path in written] == [f"M2603020001-00{place}.edi" for place in (1, 2, 3)]
    names = ("Erfundene Person 1", "Invented Person 3", "M2603020001003")
    for path, encoding, name in zip(written, ("iso8859-1", "iso8859-1", "iso8859-7"), names, strict=True):
        text = path.read_bytes().decode(encoding)
        assert text.count("UNH+") == 1
        assert text.endswith(f"UNZ+1+{text.rsplit('+', 1)[1]}")
        assert name in text.split("UNH+")[0]
        for message in text.split("UNH+")[1:]:
            body = "UNH+" + message.split("UNZ+")[0]
            segments = list(Parser().parse(body))
            assert segments[-1].elements[0] == str(len(segments))
            assert edifact.count_segments(body) == len(segments)
            assert str(segments[0].elements[0]) == str(segments[-1].elements[1])
            references.append(str(segments[0].elements[0]))
    assert references == ["1", "1", "1"]
    assert "Επινοημένος Πελάτης 4" in written[2].read_bytes().decode("iso8859-7")


def test_two_orders_of_one_consignee_share_an_interchange(tmp_path):
    """Same name and address: two messages, numbered 1 and 2."""
    with sealed_shop(tmp_path / "two.db") as other:
        with other.writing() as books:
            first = books.need(Order, "A-1").model_dump(include={"name", "city", "post_code", "country"})
            books.replace([books.need(Order, "A-4").model_copy(update=first)])
        close_manifest(other, "ROAD", day=DAY, at=NOW, person="clerk-1")
        written, _ = write_advices(other, "M2603020001", AdviceFormat.EDIFACT, tmp_path)

    texts = [path.read_bytes().decode("iso8859-1") for path in written]
    assert [text.count("UNH+") for text in texts] == [2, 1]


def test_times_are_those_of_the_shops_clock(shop, tmp_path):
    """Closed at 15:00 UTC, 16:00 in Luxembourg: a time without a zone is local time (ISO 9735, from memory)."""
    written, _ = write_advices(shop, "M2603020001", AdviceFormat.EDIFACT, tmp_path)

    text = written[0].read_bytes().decode("iso8859-1")
    assert "DTM+137:202603021600:203'" in text
    assert "+260302:1600+" in text


def test_the_carriers_own_number_is_advised(tmp_path):
    """Noted before the manifest is closed; an S10 number comes before it."""
    with sealed_shop(tmp_path / "track.db") as other:
        note_number(other, "P2603020001", "ZX 99-001", at=NOW, person="clerk-1")
        close_manifest(other, "ROAD", day=DAY, at=NOW, person="clerk-1")
        written, _ = write_advices(other, "M2603020001", AdviceFormat.UBL, tmp_path)

    assert "ZX99001" in written[0].read_text(encoding="utf-8")


def test_letters_of_two_scripts_in_one_order_are_named_not_lost(shop, tmp_path):
    """Greek and Cyrillic in one address fit no alphabet: the order is a finding, the others are written."""
    with sealed_shop(tmp_path / "two.db") as other:
        with other.writing() as books:
            books.replace([books.need(Order, "A-4").model_copy(update={"city": "Примерово"})])
        close_manifest(other, "ROAD", day=DAY, at=NOW, person="clerk-1")
        written, findings = write_advices(other, "M2603020001", AdviceFormat.EDIFACT, tmp_path)

    assert [path.name for path in written] == ["M2603020001-001.edi", "M2603020001-002.edi"]
    assert [finding.source for finding in findings] == ["order A-4"]


def test_advices_stay_as_the_manifest_was_closed(shop, tmp_path):
    """A void afterwards, or another name, changes nothing in what was advised."""
    first = [path.read_bytes() for path in write_advices(shop, "M2603020001", AdviceFormat.UBL, tmp_path)[0]]
    void_package(shop, "P2603020001", "burst", at=NOW, person="c")
    with shop.writing() as books:
        books.replace([books.need(Order, "A-1").model_copy(update={"name": "Somebody else"})])

    assert [path.read_bytes() for path in write_advices(shop, "M2603020001", AdviceFormat.UBL, tmp_path)[0]] == first


def test_an_open_manifest_advises_nothing(shop, tmp_path):
    """What hasn't left isn't advised."""
    from fulfil.despatch.ship import open_manifest

    number = open_manifest(shop, "POST", day=DAY, at=NOW, person="c").number
    with pytest.raises(StateRefused, match="a closed manifest"):
        write_advices(shop, number, AdviceFormat.UBL, tmp_path)


def test_names_that_edifact_has_no_room_for_are_told_otherwise(tmp_path):
    """A long service by its code, a region's name among the address lines, a typographic apostrophe as typed."""
    with sealed_shop(tmp_path / "other.db") as shop:
        with shop.writing() as books:
            service = books.need(Service, "ROAD")
            books.replace([service.model_copy(update={"name": "Road parcel with a name of forty letters (invented)"})])
            order = books.need(Order, "A-1")
            books.replace([order.model_copy(update={"region": "Co. Kildare", "street": "1 rue de l\u2019Exemple"})])
        close_manifest(shop, "ROAD", day=DAY, at=NOW, person="clerk-1")
        written, findings = write_advices(shop, "M2603020001", AdviceFormat.EDIFACT, tmp_path)

    text = written[0].read_bytes().decode("iso8859-1")
    assert findings == []
    assert "TDT+20++++:::ROAD'" in text
    assert "NAD+CN++Co. Kildare+Erfundene Person 1+1 rue de l?'Exemple+Musterstadt++10115+DE'" in text
