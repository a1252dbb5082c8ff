"""The demo day as a new user runs it: every paper, an honest summary, and the same papers twice, byte for byte."""

import json
import unicodedata
import zipfile
from contextlib import suppress
from datetime import UTC, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_demo_catalog.demo_day import DAY
from fulfil_demo_catalog.generator.far_towns import FAR_TOWNS
from fulfil_demo_catalog.rehearsal import REVIEW
from lxml import etree

from fulfil.documents import NAMES, document_file, sheets_of
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.papers import twin
from fulfil.records.bench import Recount
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import Manifest, Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag
from fulfil.shipping.differences import Cause
from fulfil.standards import iso3166
from fulfil.store.shop import open_shop

KEYS = {
    "parts", "orders", "lines", "pieces", "bags", "walks", "walk_m", "walk_bound_m", "one_by_one_m", "bags_checked",
    "mistakes_planted", "mistakes_caught", "false_alarms", "packages", "manifests", "short_lines", "seconds", "papers",
}  # fmt: skip


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """The folders of two runs."""
    folders = [tmp_path_factory.mktemp("demo") / name for name in ("first", "second")]
    for out in folders:
        ran = CliRunner().invoke(main, ["demo", "--out", str(out)], catch_exceptions=False)
        assert ran.exit_code == 0, ran.output
    return folders


def summary_of(out: Path) -> dict:
    """What the run says of itself."""
    return json.loads((out / "summary.json").read_text(encoding="utf-8"))


@pytest.mark.slow
def test_the_summary_tells_the_day(demo):
    """All promised keys; the shop's size; the bound below the plan; every mistake caught or named as missed."""
    summary = summary_of(demo[0])

    assert set(summary) >= KEYS
    assert (summary["parts"], summary["orders"], summary["lines"]) == (10_000, 100, 600)
    assert summary["walk_bound_m"] <= summary["walk_m"] < summary["one_by_one_m"] / 4
    assert summary["mistakes_planted"] == summary["mistakes_caught"] + len(summary["mistakes_missed"])
    sums = summary["balance"]
    assert sums["in_hand"] == 0
    assert sums["ordered"] == sums["shipped"] + sums["short"] + sums["held"] + sums["cancelled"] == summary["pieces"]


@pytest.mark.slow
def test_the_days_packages_go_to_fifty_two_countries(demo):
    """Closed manifests hold packages to all countries: where one order waits for review, another goes there."""
    with open_shop(demo[0] / "shop.sqlite") as shop, shop.reading() as books:
        shipped = books.find(Package, state=PackageState.SHIPPED)
        orders = {order.number: order for order in books.find(Order)}

        assert len({orders[package.order_number].country for package in shipped}) == 52
        assert all(package.manifest_number for package in shipped)


@pytest.mark.slow
@pytest.mark.parametrize("far", FAR_TOWNS.values(), ids=lambda far: far.land.code)
def test_a_far_town_is_on_the_papers_in_its_own_script(demo, far):
    """Packing list, label, customs paper and manifest, read by PDFium.

    The lines of the address are as they were ordered, each in logical order, with the country in Latin capitals below;
    the order was shipped.
    """
    with open_shop(demo[0] / "shop.sqlite") as shop, shop.reading() as books:
        order = books.find(Order, email=far.email)[0]
        (package,) = books.find(Package, order_number=order.number)
    country = iso3166.parse(far.land.code).label_name.upper()
    papers = demo[0] / "papers"
    names = ("packing-list", "package-labels")
    (customs,) = (papers / "orders" / "customs").glob(f"{order.number}-customs-*.pdf")
    # A CN 22 has no box for the addressee: it is stuck beside the label.
    with_address = [customs] if customs.stem.endswith("invoice") else []
    for path in (*(papers / "orders" / f"{order.number}-{name}.pdf" for name in names), *with_address):
        found = _read(path)

        for line in (far.name, far.street, far.post_code, country):
            assert _squeezed(line) in found, (path.name, line)
        assert _squeezed(far.city) in found
        assert found.index(_squeezed(far.name)) < found.index(_squeezed(country))
    assert _squeezed(far.name) in _read(papers / "manifests" / f"{package.manifest_number}-manifest.pdf")


def _read(path: Path) -> str:
    """What PDFium reads on a paper's pages, without white space."""
    document = pypdfium2.PdfDocument(path)
    return _squeezed(" ".join(page.get_textpage().get_text_range() for page in document))


def _squeezed(text: str) -> str:
    return "".join(unicodedata.normalize("NFC", text).split())


@pytest.mark.slow
def test_the_books_close_to_the_piece_the_gram_and_the_minor_unit(demo):
    """Pieces, packages, grams and, in each currency of the carriers' bills, money agree; the day is closed."""
    sums = summary_of(demo[0])["sums"]
    with open_shop(demo[0] / "shop.sqlite") as shop, shop.reading() as books:
        closed = books.get(ClosedDay, DAY)

    assert [one["label"].split(":")[0] for one in sums] == ["pieces", "packages", "grams", "money", "money"]
    assert all(one["ours"] == one["theirs"] for one in sums)
    assert closed is not None
    assert (closed.settled, closed.carried_over) == (6, 3)


@pytest.mark.slow
def test_a_mistake_of_each_kind_in_the_carriers_bills_is_found(demo):
    """Each kind that a carrier's file can have, found with its cause and money, and nothing else; the dearest first.

    Only a price that the shop's own table lacks can't be planted in a carrier's file.
    """
    summary = summary_of(demo[0])
    found = summary["bill_differences"]
    kinds = {cause.value for cause in Cause if "billed" in cause.value} - {Cause.BILLED_UNPRICED.value}

    assert summary["bill_mistakes_planted"] == summary["bill_mistakes_found"] == len(found) == len(kinds) == 9
    assert {one["cause"] for one in found} == kinds
    amounts = [abs(Decimal(one["money"].split()[1])) for one in found]
    assert amounts == sorted(amounts, reverse=True)
    assert all(one["reason"].endswith("(invented)") for one in found)
    assert "9 are open" in summary["close_refused"]


@pytest.mark.slow
def test_every_shipped_order_has_an_advice_that_the_schema_takes(demo, tmp_path):
    """One UBL despatch advice an order, each valid by the OASIS schema (tests/published/ubl-2.1/SOURCE.md)."""
    with zipfile.ZipFile(Path(__file__).parents[1] / "published" / "ubl-2.1" / "xsd.zip") as archive:
        archive.extractall(tmp_path)
    schema = etree.XMLSchema(etree.parse(tmp_path / "maindoc" / "UBL-DespatchAdvice-2.1.xsd"))
    with open_shop(demo[0] / "shop.sqlite") as shop, shop.reading() as books:
        shipped = len({package.order_number for package in books.find(Package, state=PackageState.SHIPPED)})
    advices = sorted((demo[0] / "papers" / "manifests" / "advice").glob("*.xml"))

    assert len(advices) == shipped > 90
    for path in advices:
        schema.assertValid(etree.parse(path))


@pytest.mark.slow
def test_only_what_still_stops_is_held_for_review(demo):
    """A package that was put right goes out; a held one was stopped by its last weighing too."""
    with open_shop(demo[0] / "shop.sqlite") as shop, shop.reading() as books:
        held = [order.number for order in books.find(Order, state=OrderState.HELD) if order.held_reason == REVIEW]

        assert held
        for number in held:
            assert any(package.state is PackageState.STOP for package in books.find(Package, order_number=number))


@pytest.mark.slow
def test_every_kind_of_paper_is_found_by_what_stands_on_it(demo):
    """Each is said in words and made a file again; what is asked for is what stands in its head."""
    at = datetime(2026, 3, 2, 17, tzinfo=UTC)
    with open_shop(demo[0] / "shop.sqlite") as shop:
        with shop.reading() as books:
            bag, package = books.find(Bag)[0], books.find(Package)[0]
            numbers = {
                "PickListSheet": bag.walk_number,
                "ChecklistSheet": f"C{bag.walk_number[1:]}",
                "CartCardSheet": f"K{bag.walk_number[1:]}",
                "BagLabelSheet": bag.code,
                "PackingListSheet": bag.order_number,
                "PackageLabelSheet": package.number,
                "ManifestSheet": books.find(Manifest)[0].number,
                "RecountSlipSheet": books.find(Recount)[0].number,
                "EvidenceSheet": f"V{bag.order_number}",
                "BinLabelSheet": bag.bin_code,
                "UnitWeightCardSheet": bag.part_number,
            }
            abroad = books.find(Package)
            to_us = [one for one in abroad if books.need(Order, one.order_number).country == "US"]
            numbers |= {"InvoiceSheet": f"I{to_us[0].number[1:]}"}
        # Which of them needs the larger form depends on what is in it.
        forms = {}
        for one in abroad:
            with suppress(StateRefused):  # A carrier's parcel goes without a postal form.
                forms[type(sheets_of(shop, f"G{one.number[1:]}", at=at)[0]).__name__] = f"G{one.number[1:]}"
        numbers["Cn23Sheet"] = forms["Cn23Sheet"]
        for kind, number in {**numbers, **{f"{name} of the day": name for name in NAMES}}.items():
            sheets = sheets_of(shop, number, at=at)

            assert kind in (type(sheets[0]).__name__, f"{number} of the day")
            assert kind.endswith("of the day") or number in twin.text(sheets[0]) or kind == "PackingListSheet"
            with shop.reading() as books:
                assert document_file(books, sheets).startswith(b"%PDF")
        later = datetime(2026, 3, 9, 17, tzinfo=UTC)
        assert sheets_of(shop, "D26030201", at=later) == sheets_of(shop, "Day report", at=at)
        with pytest.raises(UnknownRefused, match="'nothing': expected a number that stands on a paper"):
            sheets_of(shop, "nothing", at=at)


@pytest.mark.slow
def test_every_paper_is_there_and_a_pdf(demo):
    """The papers named in the summary are the PDF files of the folder."""
    named = summary_of(demo[0])["papers"]

    assert sorted(named) == sorted(path.relative_to(demo[0]).as_posix() for path in demo[0].rglob("*.pdf"))
    assert all((demo[0] / name).read_bytes().startswith(b"%PDF") for name in named)


@pytest.mark.slow
def test_two_runs_give_the_same_papers_byte_for_byte(demo):
    """The day is fixed and chance is seeded."""
    first, second = (
        {
            path.relative_to(out).as_posix(): sha256(path.read_bytes()).hexdigest()
            for path in [*(out / "papers").rglob("*.*"), *(out / "bills").iterdir()]
        }
        for out in demo
    )

    assert len(first) > 250
    assert first == second
