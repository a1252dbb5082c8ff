"""The clerk's evening, typed: quote, customs, manifests, advice, bill, settle, close; with the promised exit codes."""

import json

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from tests.shipping_shop import sealed_shop

AT = "2026-03-02T16:00+00:00"


@pytest.fixture
def typed(tmp_path, monkeypatch):
    """Types a command at the clerk's desk; gives exit code and output."""
    sealed_shop(tmp_path / "shop.db").close()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FULFIL_SHOP", str(tmp_path / "shop.db"))
    monkeypatch.setenv("FULFIL_PERSON", "clerk-1")

    def type_(*words):
        ran = CliRunner().invoke(main, [*words, "--at", AT])
        assert ran.exception is None or isinstance(ran.exception, SystemExit), ran.exception
        return ran.exit_code, ran.output

    return type_


def test_a_quote_shows_its_steps_and_the_customers_choice(typed):
    """The postal package may go by both services; the price stands at the end of each."""
    code, said = typed("services", "quote", "--package", "P2603020002")

    assert code == 0
    assert "POST  Small packet (invented): can take it (chosen by the customer)" in said
    assert "EUR 5.20" in said
    assert "zone world, up to 500 g, prices from 2026-01-01" in said


def test_what_can_t_go_says_why_and_a_service_changes_by_agreement(typed):
    """Too heavy for the post, no such country, two sides only; another service with the customer's word."""
    code, said = typed("services", "quote", "--country", "NA", "--gross", "2500", "--size", "200x100x50")
    assert code == 0
    assert "2500 g is above the service's limit of 2000 g" in said
    assert typed("services", "quote", "--country", "NA", "--gross", "25", "--size", "200x100")[0] == 2
    assert typed("services", "quote", "--country", "ZZ", "--gross", "25", "--size", "2x1x1")[0] == 2
    assert typed("orders", "send-by", "A-2", "ROAD", "--reason", "customer agreed by telephone")[0] == 1
    assert typed("packages", "pack", "A-2")[0] in (0, 1)
    code, said = typed("services", "quote", "--package", "P2603020005")
    assert "ROAD  Road parcel (invented): can take it (chosen by the customer)" in said


def test_ranges_are_taken_in_and_used(typed):
    """A postal range; its number is on the papers; nonsense is wrong use."""
    post = ("--service", "POST", "--prefix", "RR", "--country", "GB", "--first", "47312482", "--last", "47312499")
    code, said = typed("services", "range", "S1", "--kind", "s10", *post)
    assert code == 0
    assert said.startswith("Range S1 is taken in: RR473124829GB to RR")
    assert typed("services", "range", "S1", "--kind", "s10", *post)[0] == 2
    assert typed("services", "range", "G", "--kind", "sscc", "--prefix", "1", "--first", "1", "--last", "2")[0] == 2
    assert (
        typed("services", "range", "G", "--kind", "sscc", "--prefix", "952000123", "--first", "9", "--last", "2")[0]
        == 2
    )
    code, said = typed("packages", "papers", "A-2", "--out", "papers")
    assert code == 0
    assert "P2603020002 has number RR473124829GB" in said


def test_customs_papers_rates_and_reviews(typed):
    """A CN 22 is printed; an order inside the union has nothing to declare; a review needs restricted goods."""
    code, said = typed("customs", "papers", "A-2", "--out", "papers", "--for-spreadsheet")
    assert code == 0
    assert "CN 22" in said
    assert "A-2-customs-cn22.pdf" in said
    assert "crosses no customs border" in typed("customs", "papers", "A-1")[1]
    assert typed("customs", "rate", "EUR", "1.1634", "--as-of", "2026-03-02", "--source", "IMF")[0] == 0
    assert typed("customs", "rate", "EUR", "0", "--as-of", "2026-03-02")[0] == 2
    assert typed("customs", "rate", "EURO", "1", "--as-of", "2026-03-02")[0] == 2
    assert typed("customs", "review", "P2603020001", "--reason", "x")[0] == 2


def test_the_evening_from_open_manifest_to_closed_day(typed, tmp_path):
    """Open, close, advise, void, ship again, take the bill in, settle, close: and the second bench is told."""
    number = json.loads(typed("manifests", "open", "ROAD", "--json")[1])["manifest"]["number"]
    code, said = typed("manifests", "close", "ROAD", "--number", number, "--out", "papers")
    assert (code, f"Manifest {number} is closed: 3 packages, 470 g." in said) == (0, True)
    code, said = typed("manifests", "close", "ROAD", "--number", number)
    assert code == 2
    assert "clerk-1 closed it at 17:00 CET with 3 packages" in said
    assert typed("manifests", "close", "POST", "--out", "papers")[0] == 0
    assert typed("manifests", "advice", number, "--out", "advice")[0] == 0
    code, said = typed("manifests", "advice", number, "--format", "edifact", "--out", "advice")
    assert (code, said.count("wrote")) == (0, 3)

    mapping = "setting,value\npackage_column,Parcel\ncharge_column,Net\ncurrency,EUR\n"
    (tmp_path / "map.csv").write_text(mapping, encoding="utf-8")
    (tmp_path / "bill.csv").write_text("Parcel,Net,Date\nP2603020001,7.90,x\nPX,1.00,x\n", encoding="utf-8")
    (tmp_path / "bad.csv").write_text("Parcel,Net\nP2603020001,seven\n", encoding="utf-8")
    assert typed("services", "bill", "bad.csv", "--columns", "map.csv")[0] == 1
    assert typed("services", "bill", "bill.csv", "--columns", "map.csv")[0] == 0
    assert "was there already" in typed("services", "bill", "bill.csv", "--columns", "map.csv")[1]

    code, said = typed("day", "reconcile", "--json")
    differences = json.loads(said)["differences"]
    assert code == 1
    assert [one["cause"] for one in differences] == [
        "not billed", "not billed", "billed, unknown number", "billed price",
    ]  # fmt: skip
    code, said = typed("day", "close")
    assert code == 2
    assert "4 are open" in said
    for one in differences[1:]:
        assert typed("day", "settle", one["code"], "--reason", "asked the carrier")[0] == 0
    assert typed("day", "settle", differences[0]["code"], "--reason", "next bill", "--carry-over")[0] == 0
    code, said = typed("day", "close")
    assert (code, said.split(":")[0]) == (0, "2026-03-02 is closed")
    assert "3 differences settled, 1 carried over" in said
    assert typed("day", "close")[0] == 2
    code, said = typed("day", "month", "2026-03", "--json")
    (shown,) = [one for one in json.loads(said)["days"] if one["day"] == "2026-03-02"]
    assert (code, shown["packages"], shown["manifests"], shown["is_closed"]) == (0, 4, 2, True)
    assert "March 2026:" in typed("day", "month")[1]
    assert json.loads(typed("day", "month", "2026-02", "--json")[1])["days"] == []
    assert typed("day", "month", "march")[0] == 2
    code, said = typed("day", "reconcile", "--out", "papers", "--tables", "tables")
    assert code == 0
    assert typed("day", "reconcile", "--tables", "tables", "--for-spreadsheet")[0] == 0
    assert "The day is closed, by clerk-1." in said
    assert len(list((tmp_path / "tables").glob("2026-03-02-*.csv"))) == 6


def test_a_void_must_be_acted_on(typed):
    """Its content has a new number and must be weighed: exit code 1."""
    typed("manifests", "close", "ROAD", "--out", "papers")
    code, said = typed("manifests", "void", "P2603020001", "--reason", "burst")

    assert code == 1
    assert "P2603020005" in said


def test_a_carriers_bill_is_mapped_by_example_and_taken_in(typed, tmp_path):
    """Nobody to ask: the questions are listed and nothing is kept; answered, shown, kept, then taken in by name."""
    (tmp_path / "march.csv").write_text(
        "Sendung;Produkt;Netto EUR;Tracking\nP2603020001;Std;7,90;QX1\nPX;Std;1,00;QX2\n", encoding="cp1252"
    )
    assert typed("services", "bill", "march.csv")[0] == 2
    code, said = typed("services", "bill", "march.csv", "--from", "hill-road")
    assert (code, "a carrier with a mapping (none yet); fulfil services map" in said) == (2, True)
    code, said = typed("services", "map", "hill-road", "march.csv")
    assert (code, "Which service is 'Std'? One of: POST, ROAD. --answer 'word std=...'" in said) == (1, True)
    assert typed("services", "map", "hill-road")[0] == 2

    code, said = typed("services", "map", "hill-road", "march.csv", "--answer", "word std=ROAD")
    assert code == 0
    assert "march.csv: 2 lines, EUR 8.90 would come in: compare it with the bill's total." in said
    assert "1 line for numbers that aren't ours." in said
    assert json.loads(typed("services", "map", "hill-road", "--json")[1])["mapping"]["tracking_column"] == "Tracking"
    code, said = typed("services", "bill", "march.csv", "--from", "hill-road")
    assert (code, said.splitlines()[0]) == (0, "Bill march is taken in: 2 lines.")
    code, said = typed("services", "map", "hill-road", "--word", "Std=BOAT")
    assert (code, "BOAT" in said) == (2, True)
