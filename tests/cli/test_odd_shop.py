"""A shop unlike the demo's, as its clerk types: catalogue in and out, one part and bin, orders shown, the journal."""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli import columns
from fulfil_cli.main import main

from tests.odd_shop import odd_catalogue

AT = "2026-03-02T10:00+09:00"
ORDER = ("orders", "add", "--number", "T-1", "--name", "Вымышленный, \"Иван\"", "--company", "Invented Works",
         "--street", "Sample Street 5; back door", "--city", "Sampletown", "--post-code", "100-0001", "--country", "JP",
         "--phone", "+81 0", "--email", "ivan@example.org", "--service", "fast", "--note-picker", "oldest lot",
         "--note-packer", "gift", "--new-line", "=M4:60", "--new-line", "0012:40", "--new-line", "1E05:2")  # fmt: skip
Say = Callable[..., dict]


@pytest.fixture
def typed(tmp_path: Path) -> Iterator[Callable[..., str]]:
    """Types `fulfil …` on the odd shop's file and gives what people read; in the end both books must add up."""

    def told(*words: str, leaves: int = 0, at: str = AT, by: str = "aki") -> str:
        more = ["--shop", str(tmp_path / "odd.sqlite"), "--at", at, "--by", by]
        ran = CliRunner().invoke(main, [*words, *more], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return ran.output

    told("shop", "create")
    told("catalogue", "import", str(odd_catalogue(tmp_path / "catalogue")))
    yield told
    assert told("shop", "verify").startswith(
        "Both books add up: every piece has one place; nothing recorded was altered."
    )


@pytest.fixture
def say(typed: Callable[..., str]) -> Say:
    """The same, for programs."""
    return lambda *words, leaves=0, at=AT: json.loads(typed(*words, "--json", leaves=leaves, at=at))


def test_a_catalogue_comes_again_and_says_what_it_left_alone(typed, say: Say, tmp_path: Path) -> None:
    """Levels of known bins stay, with a note of what to type; asked for by name they are counted."""
    folder = str(tmp_path / "catalogue")
    say("stock", "adjust", "K1", "--change", "-20", "--reason", "sold")
    printed = typed("catalogue", "import", folder)
    assert f"{folder} holds nothing new; the shop is unchanged." in printed
    assert "\nNote: the level of 1 bin stays as in the books (K1: 480 in the books, 500 in the file); book a" in printed
    assert "fulfil catalogue import FOLDER --with-stock." in printed
    done = say("catalogue", "import", folder, "--with-stock")
    assert done["counts"]["levels"] == {"new": 0, "changed": 1, "retired": 0}
    assert say("stock", "ledger", "K1")["level"] == 500


def test_what_goes_out_comes_in_elsewhere(typed, say: Say, tmp_path: Path) -> None:
    """Export, import into an empty shop, export: the same bytes; what is there already isn't written over."""
    say("parts", "add", "PIN-2", "--description", "Pin", "--family", "pin", "--longest-mm", "8", "--supply", "buy",
        "--price", "7")  # fmt: skip
    out, again = tmp_path / "out", tmp_path / "again"
    assert "bins.csv" in typed("catalogue", "export", str(out))
    other = str(tmp_path / "other.sqlite")
    for words in (("shop", "create"), ("catalogue", "import", str(out)), ("catalogue", "export", str(again))):
        ran = CliRunner().invoke(main, [*words, "--shop", other, "--at", AT], catch_exceptions=False)
        assert ran.exit_code == 0, ran.output
    assert {path.name: path.read_bytes() for path in out.iterdir()} == {
        path.name: path.read_bytes() for path in again.iterdir()
    }
    assert not say("catalogue", "import", str(out))["changed"]
    say("stock", "receive", "K3", "9", "--source", "delivery 1")
    stock = out / "bins.csv"
    assert "expected a file that isn't there yet, or --replace" in typed("stock", "export", str(stock), leaves=2)
    written = say("stock", "export", str(stock), "--replace")
    assert (written["file"], written["rows"]) == (str(stock), 4)
    assert "K3,back way,left,1,1,2000,1E05,,9" in stock.read_text(encoding="utf-8")


def test_a_part_and_a_bin_typed_at_the_counter_are_sold_the_same_day(typed, say: Say, tmp_path: Path) -> None:
    """Added, ordered, planned, released, weighed and passed at once; the shop's currency is the part's."""
    added = say("parts", "add", "PIN-2", "--description", "Pin ⌀2", "--family", "pin", "--longest-mm", "8", "--supply",
                "buy", "--price", "7", "--unit-weight-g", "0.196", "--piece-sd-g", "0.001", "--sample-pieces", "80",
                "--bulk-volume-mm3", "60")  # fmt: skip
    assert (added["part"]["currency"], added["part"]["price_minor"]) == ("JPY", 7)
    place = ("--aisle", "back way", "--side", "left", "--section", "3", "--level", "1", "--y-mm", "3000")
    assert say("bins", "add", "K9", *place, "--part", "PIN-2", "--pieces", "200")["bin"]["pieces"] == 200
    say("orders", "add", "--number", "T-9", "--name", "Invented Person", "--street", "Street 1", "--city", "Town",
        "--country", "JP", "--service", "fast", "--new-line", "PIN-2:50")  # fmt: skip
    assert say("walks", "plan")["bags"] == 1
    say("walks", "release", "--out", str(tmp_path / "papers"))
    (bag,) = say("orders", "show", "T-9")["bags"]
    assert bag["bin_code"] == "K9"
    changed = typed("bins", "change", "K9", "--section", "5", "--y-mm", "5000", leaves=1)
    assert f"The pick list of {bag['walk_number']} shows the old place: tell the picker." in changed
    assert say("bags", "check", bag["code"], "--gross", bag["target_g"])["verdict"] == "passed"
    assert say("stock", "ledger", "K9")["level"] == 150
    assert "Cannot retire the bin 'K9'" in typed("bins", "retire", "K9", leaves=2)
    assert typed("parts", "change", "PIN-2", "--price", "8").splitlines()[:2] == [
        "Part PIN-2 is changed.", "column  before  now",
    ]  # fmt: skip
    assert typed("parts", "change", "PIN-2", "--price", "8") == "Part PIN-2 stays as it was.\n"
    assert "Its pieces stay in their bins: K9 (150)." in typed("parts", "retire", "PIN-2", leaves=1)
    refused = typed("parts", "add", "X", "--description", "x", "--family", "x", "--longest-mm", "1.5", leaves=1)
    assert refused.startswith("Part X was not added:\n  part X, longest_mm '1.5': expected whole millimetres")


def test_an_order_is_shown_whole(typed, say: Say, monkeypatch: pytest.MonkeyPatch) -> None:
    """Street, telephone, e-mail, notes, prices in yen without decimals, cancelled, short, held reason, sums."""
    monkeypatch.setattr(columns, "WIDTH", 200)
    typed(*ORDER)
    say("walks", "plan", leaves=1)
    say("orders", "lines", "T-1", "--change-line", "1:45", "--reason", "called")
    say("walks", "plan", leaves=1)
    say("orders", "hold", "T-1", "--reason", "address unclear")

    printed = typed("orders", "show", "T-1")

    assert printed.splitlines()[:12] == [
        "Order T-1 is held: address unclear.",
        "Received 2026-03-02 10:00 JST (phone).",
        'To Вымышленный, "Иван"',
        "   Invented Works",
        "   Sample Street 5; back door",
        "   100-0001 Sampletown",
        "   Japan (JP)",
        "Phone +81 0",
        "E-mail ivan@example.org",
        "By fast (Fast round (invented)).",
        "Picker, note: oldest lot",
        "Packer, note: gift",
    ]
    assert [re.split(r"\s{2,}", line.strip()) for line in printed.splitlines()[12:16]] == [
        ["no", "part", "what", "wanted", "cancelled", "short", "price JPY", "sum JPY", "where", "why"],
        ["1", "=M4", 'Screw "M4", long; short', "60", "15", "0", "12", "540", "45 held, 15 cancelled"],
        [
            "2",
            "0012",
            "Τροχός 12",
            "40",
            "0",
            "5",
            "340",
            "13600",
            "5 short, 35 held",
            "5 of 40 short: 35 were free at its turn; nobody was served before",
        ],
        [
            "3",
            "1E05",
            "Ёлочная пружина",
            "2",
            "0",
            "2",
            "55",
            "110",
            "2 short",
            "2 of 2 short: 0 were free at its turn; nobody was served before",
        ],
    ]
    assert "Sum of what is still wanted: JPY 14250." in printed
    shown = say("orders", "show", "T-1")
    names = {"order", "lines", "bags", "packages", "charges", "sums", "service_name", "received_local"}
    assert names | {"fulfil"} == set(shown)
    first = shown["lines"][0]
    assert [first[key] for key in ("line_no", "pieces", "short_pieces", "cancelled_pieces", "unit_price", "sum")] == [
        1, 60, 0, 15, "12", "540",
    ]  # fmt: skip
    for line in shown["lines"]:
        assert sum(at["pieces"] for at in line["places"]) == line["pieces"]
    assert shown["sums"] == {"currency": "JPY", "goods": "14250", "charges": "0", "total": "14250"}
    assert shown["order"]["street"] == "Sample Street 5; back door"


def test_the_journal_says_who_did_what_when(typed, say: Say, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An order's journal has its bags, packages, walks; a person's and a time's are by the shop's clock."""
    monkeypatch.setattr(columns, "WIDTH", 200)
    typed(*ORDER)
    typed(
        "orders",
        "lines",
        "T-1",
        "--change-line",
        "2:35",
        "--change-line",
        "3:0",
        "--reason",
        "called",
        at="2026-03-02T10:05+09:00",
    )
    typed("walks", "plan", at="2026-03-02T10:10+09:00")
    typed("walks", "release", "--out", str(tmp_path / "papers"), at="2026-03-02T10:11+09:00")
    bags = say("orders", "show", "T-1")["bags"]
    walk = bags[0]["walk_number"]
    typed("walks", "begin", walk, at="2026-03-02T10:12+09:00")
    for bag in bags:
        how = ("--counted", str(bag["pieces"])) if bag["target_g"] is None else ("--gross", str(bag["target_g"]))
        typed("bags", "check", bag["code"], *how, at="2026-03-02T10:20+09:00", by="mio")
    (package,) = say("packages", "pack", "T-1", "--out", str(tmp_path / "papers"), at="2026-03-02T11:00+09:00")[
        "packages"
    ]
    weight = ("packages", "weigh", package["number"], "--gross", str(round(float(package["expected_g"]))))
    typed(*weight, at="2026-03-02T23:59:30+09:00")

    printed = typed("journal", "show", "--order", "T-1")

    says = [re.split(r"\s{2,}", line, maxsplit=2) for line in printed.splitlines()[1:-1]]
    assert says[0] == ["2026-03-02 10:00 JST", "aki", "took in order T-1 from phone: 3 lines, 102 pieces"]
    assert says[1][2] == "changed order T-1, line 2 from 40 to 35, line 3 from 2 to 0: called"
    assert says[2] == ["2026-03-02 10:11 JST", "aki", f"released walk {walk} with orders T-1"]
    assert says[3][2] == f"began walk {walk}"
    assert {one[2].partition(":")[0] for one in says[4:-1]} >= {f"checked bag {bag['code']}" for bag in bags}
    assert says[-1][0] == "2026-03-02 23:59 JST"
    assert says[-1][2].startswith(f"sealed package {package['number']}: passed")
    assert printed.splitlines()[-1] == "Times are those of Asia/Tokyo."

    def events(*words: str) -> list[str]:
        return [one["event"] for one in say("journal", "show", *words)["entries"]]

    assert events("--bag", bags[0]["code"]) == ["bag checked"]
    assert events("--package", package["number"]) == ["bag checked"] * len(bags) + ["package sealed"]
    assert set(events("--walk", walk)) == {"walk released", "walk begun", "bag checked"}
    assert events("--about", "T-1") == ["order received", "order changed", "boxes chosen", "papers printed"]
    assert events("--since", "2026-03-02T10:11", "--until", "2026-03-02T10:12") == ["walk released", "walk begun"]
    assert events("--since", "2026-03-02T10:12", "--until", "2026-03-02T01:12+00:00") == ["walk begun"]
    assert events("--until", "2026-03-02")[-1] == "package sealed"
    assert events("--until", "2026-03-01") == []
    assert events("--person", "aki", "--since", "2026-03-02T23:59:31") == []
    latest = say("journal", "show", "--person", "aki", "--most", "1")
    assert (latest["has_more"], [one["event"] for one in latest["entries"]]) == (True, ["package sealed"])
    assert latest["notes"][0].startswith("from 2026-01-30 10:00 JST on; --since reads further back")
    assert latest["entries"][0]["local"] == "2026-03-02 23:59 JST"
    assert latest["entries"][0]["at"] == "2026-03-02T14:59:30Z"
    assert events("--person", "nobody") == []
    assert "expected a day or a time on the shop's clock" in typed("journal", "show", "--since", "tomorrow", leaves=2)
    assert "Cannot find the bag 'B9999999999'" in typed("journal", "show", "--bag", "B9999999999", leaves=2)
    assert "expected one of them at a time" in typed("journal", "show", "--bag", "a", "--order", "b", leaves=2)
    assert "expected a time after 2026-03-03" in typed(
        "journal", "show", "--since", "2026-03-03", "--until", "2026-03-01", leaves=2
    )


def test_a_retired_bin_leaves_the_books_and_papers_say_so(typed, say: Say, tmp_path: Path) -> None:
    """Tied while its bag may come back; when all of it has left it goes, and its old pick list isn't printed wrong."""
    papers = str(tmp_path / "papers")
    say("orders", "add", "--number", "T-3", "--name", "Invented Person", "--street", "Street 1", "--city", "Town",
        "--country", "JP", "--service", "fast", "--new-line", "0012:35")  # fmt: skip
    typed("walks", "plan")
    typed("walks", "release", "--out", papers)
    (bag,) = say("orders", "show", "T-3")["bags"]
    assert "35 pieces by the books" in typed("bins", "retire", "K2", leaves=2)
    typed("bags", "check", bag["code"], "--gross", bag["target_g"])
    refused = typed("bins", "retire", "K2", leaves=2)
    assert f"pieces of it are in bags that may come back: {bag['code']}; ship these bags, or put them back" in refused
    (package,) = say("packages", "pack", "T-3", "--out", papers)["packages"]
    say("packages", "weigh", package["number"], "--gross", str(round(float(package["expected_g"]))))
    say("manifests", "close", "fast", "--out", papers)
    assert say("bins", "retire", "K2")["bin"]["part_number"] == "0012"
    for words in (("papers", "show", bag["walk_number"], "--out", str(tmp_path / "again.png")), ("walks", "prove"),
                  ("walks", "compare")):  # fmt: skip
        assert "expected bins that the shop still has; K2 is retired" in typed(*words, leaves=2)
    assert "retired bin K2" in typed("journal", "show", "--about", "K2")
    assert say("catalogue", "export", str(tmp_path / "out"))["rows"]["bins.csv"] == 3
