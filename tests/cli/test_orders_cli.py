"""The commands around orders, stock, shorts, kits and claims, as a clerk types them."""

import json
import shutil
from datetime import time
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.part import Part, Supply
from fulfil.records.place import Bin, Side
from fulfil.store.shop import open_shop


@pytest.fixture
def say(tmp_path: Path):
    """A shop of one part and one service, and a way to say `fulfil …` about it."""
    path = tmp_path / "shop.db"
    with open_shop(path, create=True) as shop, shop.writing() as books:
        books.add([
            Part(number="0012", description="Invented part", family="part", bulk_volume_mm3=10.0, longest_mm=5,
                 supply=Supply.MAKE, price_minor=10, currency="EUR"),
            Bin(code="x", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=1, part_number="0012", pieces=0),
            Service(code="post", name="Post (invented)", kind=ServiceKind.POSTAL, cut_off=time(14, 0),
                    max_weight_g=Decimal(0)),
        ])  # fmt: skip

    def told(*words: str, leaves: int = 0, given: bytes | None = None) -> dict:
        more = ["--shop", str(path), "--at", "2026-03-02T10:00+00:00", "--json"]
        ran = CliRunner().invoke(main, [*words, *more], catch_exceptions=False, input=given)
        assert ran.exit_code == leaves, ran.output
        return json.loads(ran.stdout)

    return told


def test_a_mapping_is_kept_and_its_files_come_in(say, tmp_path: Path) -> None:
    """Mapped, previewed, an unknown country asked once, dry run, rejects, and the corrected file."""
    path = tmp_path / "old.csv"
    path.write_text("Nr;At;To;Item;Count\n1;2026-03-02T08:00;Channel Islands;0012;5\n2;2026-03-02T08:00;NA;0012;x\n")
    columns = ("order=Nr", "received_at=At", "country=To", "part=Item", "pieces=Count")
    fixed = ("name=Invented Person", "street=Street", "city=Town", "service=post")
    words = [word for one in columns for word in ("--column", one)] + [w for one in fixed for w in ("--fixed", one)]
    kept = say("orders", "map", "old", *words, "--delimiter", "semicolon", "--preview", str(path), leaves=1)
    assert kept["mapping"]["columns"]["part"] == "Item"
    assert [finding["field"] for finding in kept["findings"]] == ["To", "Count"]
    say("orders", "country", "Channel Islands", "je")
    rejects = tmp_path / "rejects.csv"

    dry = say("orders", "import", str(path), "--from", "old", "--dry-run", leaves=1)
    done = say("orders", "import", str(path), "--from", "old", "--rejects", str(rejects), leaves=1)

    assert dry["new"] == done["new"] == ["1"]
    assert say("orders", "list")["orders"][0]["country"] == "JE"
    text = rejects.read_text("utf-8-sig")
    assert len(text.splitlines()) == 2
    rejects.write_text(text.replace(";x;", ";7;"))
    assert say("orders", "import", "-", "--from", "old", given=rejects.read_bytes())["new"] == ["2"]
    assert say("orders", "returns")["waiting"] == []


def test_stock_is_counted_adjusted_and_looked_at(say) -> None:
    """Every change is in the ledger, whose sum is the level."""
    assert say("bins", "count", "x", "--counted", "40")["bin"]["pieces"] == 40
    assert say("stock", "adjust", "x", "--change", "-3", "--reason", "display")["after"] == 37
    assert say("stock", "receive", "x", "10", "--source", "delivery 7")["after"] == 47
    assert say("stock", "reject", "x", "2", "--reason", "bent")["job"] == "J2603020001"
    ledger = say("stock", "ledger", "x")
    assert (ledger["sum"], ledger["level"], len(ledger["entries"])) == (45, 45, 4)
    assert say("stock", "levels", "0012")["rows"][0]["to_come"] == 2
    assert say("stock", "movement")["rows"][0]["class"] == "dead"
    assert say("stock", "reorder")["rows"] == []
    assert say("shorts", "make", leaves=1)["jobs"][0]["reason"] == "rejected: bent"
    assert say("shorts", "book-in", "J2603020001", "--counted", "2")["pieces"] == 2


def test_an_order_is_changed_and_its_reasons_shown(say) -> None:
    """Lines, address and notes by command; why a line is short; a claim; nobody else's data is forgotten."""
    say("orders", "add", "--number", "T-1", "--name", "Invented Person", "--street", "Street", "--city", "Town",
        "--country", "NA", "--service", "post", "--new-line", "0012:5")  # fmt: skip
    assert say("orders", "lines", "T-1", "--change-line", "1:8")["order"]["state"] == "received"
    assert say("orders", "address", "T-1", "--city", "Other Town")["order"]["city"] == "Other Town"
    assert say("orders", "note", "T-1", "--packer", "gift")["order"]["note_packer"] == "gift"
    assert say("orders", "why", "T-1")["lines"][0]["short_reason"] == "changed: to be planned again"
    assert say("orders", "combine")["alike"] == []
    assert say("orders", "pulled")["pulled"] == []
    assert say("orders", "evidence", "T-1")["bags"] == []
    claim = say("claims", "add", "T-1", "--line", "1", "--cause", "short", "--pieces", "2")
    assert say("claims", "report")["claims"][0]["claims"] == 1
    say("claims", "settle", claim["number"], "--told", "not sent yet")
    assert say("claims", "list", "--open")["claims"] == []
    assert say("orders", "forget", "--older-than-days", "30")["orders"] == []
    assert say("kits", "list")["kits"] == []
    say("orders", "cancel", "T-1", "--reason", "asked")
    say("orders", "lines", "T-1", "--change-line", "1:3", leaves=2)
    say("orders", "why", "T-2", leaves=2)


def _export(tmp_path: Path) -> Path:
    """A semicolon file of a German shop with a word of its own for the service."""
    path = tmp_path / "export.csv"
    path.write_text(
        "Bestellnr;Datum;Kunde;Straße;PLZ;Ort;Land;Versand;Artikel;Menge;Preis\n"
        "7;14.03.2026;Erika Erfunden;Weg 1;10115;Berlin;Deutschland;Standard;0012;5;1,50\n",
        encoding="cp1252",
    )
    return path


def test_a_source_is_mapped_by_example_at_the_keyboard(say, tmp_path: Path) -> None:
    """One question, answered wrongly first; the label is shown as it will print; then the file comes in."""
    path, shop = _export(tmp_path), str(tmp_path / "shop.db")
    words = ["orders", "map", "old", str(path), "--shop", shop, "--at", "2026-03-15T10:00+00:00"]

    ran = CliRunner().invoke(main, words, input="pigeon\npost\n", catch_exceptions=False)

    assert ran.exit_code == 0, ran.output
    assert "Which service is 'Standard'? (post): " in ran.output
    assert "'pigeon' is none of them." in ran.output
    for line in ("    Erika Erfunden", "    Weg 1", "    10115 BERLIN", "    GERMANY", "No findings."):
        assert line in ran.output.splitlines()
    assert "Order 7, 2026-03-14 00:00 UTC, by post, Post (invented)" in ran.output
    assert say("orders", "import", str(path), "--from", "old")["new"] == ["7"]


def test_without_a_keyboard_the_questions_are_listed_and_nothing_is_kept(say, tmp_path: Path) -> None:
    """Each question names the option that answers it; answered by options, nothing is asked."""
    path = _export(tmp_path)
    asked = say("orders", "map", "old", str(path), leaves=1)
    assert (asked["kept"], [one["key"] for one in asked["questions"]]) == (False, ["word standard"])

    by_answer = say("orders", "map", "old", str(path), "--answer", "word standard=post", "--dry-run")
    by_word = say("orders", "map", "old", str(path), "--word", "service:Standard=post")
    assert by_answer["mapping"] == by_word["mapping"]
    assert by_word["preview"][0]["label"] == ["Erika Erfunden", "Weg 1", "10115 BERLIN", "GERMANY"]
    assert by_word["would_come_in"] == 1


def test_a_catalogue_says_how_it_was_read(tmp_path: Path) -> None:
    """Options for what is found out; a note in the answer for people and for programs."""
    folder = Path(shutil.copytree(Path(__file__).parents[1] / "files" / "tiny_catalogue", tmp_path / "own"))
    text = (folder / "bags.csv").read_text("utf-8")
    (folder / "bags.csv").write_text(text.replace(",", ";").replace(".", ","), encoding="utf-16")
    shop = str(tmp_path / "own.db")
    with open_shop(tmp_path / "own.db", create=True):
        pass
    ran = CliRunner().invoke(main, ["catalogue", "import", str(folder), "--shop", shop], catch_exceptions=False)
    assert ran.exit_code == 0, ran.output
    assert "Note: bags.csv: read as UTF-16, cells apart by semicolons." in ran.output
    assert "Note: bags.csv: decimal comma, as in " in ran.output
    wrong = CliRunner().invoke(
        main, ["catalogue", "import", str(folder), "--shop", shop, "--encoding", "ascii"], catch_exceptions=False
    )
    assert wrong.exit_code == 1


def test_a_comma_keypad_weighs(say) -> None:
    """Seen: 49,22 was no weight; a comma on a keypad is the decimal sign."""
    from fulfil.quantities import keyed_grams

    assert str(keyed_grams(" 49,22 ")) == "49.22"
