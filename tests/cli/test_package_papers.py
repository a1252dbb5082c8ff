"""All papers of all packages by one command, in the order of the hands; a manifest waits for them."""

import json
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from tests.shipping_shop import sealed_shop

AT = "2026-03-02T16:00+00:00"
Typed = Callable[..., tuple[int, str]]


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typed:
    """Types a command at the clerk's desk; gives exit code and output."""
    sealed_shop(tmp_path / "shop.db", is_printed=False).close()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FULFIL_SHOP", str(tmp_path / "shop.db"))
    monkeypatch.setenv("FULFIL_PERSON", "clerk-1")

    def type_(*words: str) -> tuple[int, str]:
        ran = CliRunner().invoke(main, [*words, "--at", AT])
        assert ran.exception is None or isinstance(ran.exception, SystemExit), ran.exception
        return ran.exit_code, ran.output

    return type_


def pages(path: str) -> list[str]:
    """The words of each page of a file."""
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path)]


def test_two_stacks_in_the_same_order(typed: Typed) -> None:
    """The post's cut-off is first: its label and its CN 22; then road, whose parcel to Britain has an invoice."""
    code, said = typed("packages", "papers", "--all", "--out", "papers", "--json")
    assert code == 0
    facts = json.loads(said)
    assert [(one["package"], one["papers"]) for one in facts["packages"]] == [
        ("P2603020002", ["Packing list", "Package label", "CN 22"]),
        ("P2603020001", ["Packing list", "Package label"]),
        ("P2603020003", ["Packing list", "Package label", "commercial invoice"]),
        ("P2603020004", ["Packing list", "Package label"]),
    ]
    labels, sheets, *data = facts["papers"]
    assert (labels, sheets) == (
        "papers/2026-03-02-P2603020002-labels.pdf", "papers/2026-03-02-P2603020002-pages.pdf",
    )  # fmt: skip
    assert [Path(path).suffix for path in data] == [".json", ".csv"]
    printed = pages(labels)
    assert len(printed) == 5
    assert ["CN 22" in page for page in printed] == [False, True, False, False, False]
    assert [next(number for number in ("A-1", "A-2", "A-3", "A-4") if number in page) for page in pages(sheets)] == [
        "A-2", "A-1", "A-3", "A-3", "A-4",
    ]  # fmt: skip


def test_once_printed_nothing_is_printed_again_unless_asked(typed: Typed) -> None:
    """One service, then the rest, then nothing; --again prints a stack anew, byte for byte."""
    assert typed("packages", "papers", "--service", "POST", "--out", "a")[0] == 0
    assert "P2603020002" not in typed("packages", "papers", "--all", "--out", "b")[1]
    assert typed("packages", "papers", "--all", "--out", "c") == (0, "Every sealed package has its papers.\n")
    typed("packages", "papers", "--service", "POST", "--again", "--out", "d")
    (first,), (again,) = (Path(folder).glob("*-labels.pdf") for folder in ("a", "d"))
    assert first.read_bytes() == again.read_bytes()


def test_a_manifest_waits_for_its_papers(typed: Typed) -> None:
    """Refused with the command that prints them; after it the van may go; or with a reason, and the shop must act."""
    code, said = typed("manifests", "close", "POST", "--out", "papers")
    assert (code, "P2603020002 (order A-2) lacks its CN 22" in said) == (2, True)
    assert "fulfil packages papers --service POST --out papers" in said
    assert typed("packages", "papers", "--service", "POST", "--out", "papers")[0] == 0
    assert typed("manifests", "close", "POST", "--out", "papers")[0] == 0
    code, said = typed("manifests", "close", "ROAD", "--without-papers", "sent by wire", "--out", "papers")
    assert (code, "lacks its commercial invoice" in said) == (1, True)


def test_what_customs_would_turn_back_is_named_and_the_rest_is_printed(typed: Typed, tmp_path: Path) -> None:
    """A part without a commodity code keeps its order out of the stacks, no other."""
    from fulfil.records.part import Part
    from fulfil.records.revised import revised
    from fulfil.store.shop import open_shop

    with open_shop(tmp_path / "shop.db") as shop, shop.writing() as books:
        books.replace([revised(books.need(Part, "BUSH-3"), {"hs_code": ""})])
    code, said = typed("packages", "papers", "--all", "--out", "papers")
    assert (code, "hs_code" in said, said.count("A-3")) == (1, True, 0)
    assert "A-4" in said


def test_before_the_weighing_no_customs_paper_comes_out(typed: Typed) -> None:
    """It would say another mass than the scale: list and label do, and the sealing names what is due."""
    typed("packages", "reopen", "P2603020002", "--reason", "a bush was missing")
    said = json.loads(typed("packages", "pack", "A-2", "--out", "papers", "--json")[1])
    assert [Path(path).name for path in said["papers"]] == ["A-2-packing-list.pdf", "A-2-package-labels.pdf"]
    code, told = typed("packages", "pack", "A-2", "--gross", "256", "--out", "papers")
    assert (code, "A-2-customs-cn22.pdf" in told) == (0, True)
    assert typed("manifests", "close", "POST", "--out", "papers")[0] == 0


@pytest.mark.parametrize("words", [(), ("A-2", "--all"), ("--service", "POST", "--all")])
def test_one_of_the_three_is_asked_for(typed: Typed, words: tuple[str, ...]) -> None:
    """An order, a service, or all."""
    assert typed("packages", "papers", *words)[0] == 2


def test_a_later_despatch_does_not_overwrite_the_first_ones_papers(typed: Typed, tmp_path: Path) -> None:
    """The package is made void after the van left: its replacement's papers carry its own number in their names."""
    typed("packages", "papers", "A-2", "--out", "papers")
    before = {path.name: path.read_bytes() for path in Path("papers").iterdir()}
    typed("manifests", "close", "POST", "--out", "papers")
    typed("manifests", "void", "P2603020002", "--reason", "box burst on the dock")
    said = json.loads(typed("packages", "weigh", "P2603020005", "--gross", "256", "--json")[1])
    assert [one["value"] for one in said["papers_due"]] == ["CN 22"]
    assert typed("packages", "papers", "A-2", "--out", "papers")[0] == 0
    assert all(Path("papers", name).read_bytes() == content for name, content in before.items())
    assert Path("papers/A-2-P2603020005-customs-cn22.pdf").is_file()


def test_a_carriers_number_is_noted_found_and_given_out(typed: Typed) -> None:
    """By hand and by file; searched however it is written; a CSV for the web shop."""
    code, said = typed("packages", "track", "P2603020001", "zx 99-001")
    assert (code, said) == (0, "Package P2603020001 is tracked by ZX99001.\n")
    assert typed("packages", "track", "P2603020002", "ZX99001")[0] == 2
    Path("numbers.csv").write_text("package,number,weight\nA-3,ZX 99 003,1\n", encoding="utf-8")
    assert typed("packages", "track", "--file", "numbers.csv") == (0, "1 new number noted.\n")
    Path("bad.csv").write_text("package,number\nA-9,ZX1\n", encoding="utf-8")
    assert typed("packages", "track", "--file", "bad.csv")[0] == 1
    assert typed("packages", "track", "P2603020001")[0] == 2
    code, said = typed("packages", "find", "ZX99003", "(zx) 99001", "nobody", "--table", "out.csv", "--json")
    assert code == 1
    assert [(one["order"], one["carrier_number"]) for one in json.loads(said)["packages"]] == [
        ("A-1", "ZX99001"), ("A-3", "ZX99003"),
    ]  # fmt: skip
    assert Path("out.csv").read_text(encoding="utf-8").splitlines()[0] == (
        "order,package,service,manifest,sscc,item_number,carrier_number"
    )
    assert typed("packages", "find", "zx99001")[0] == 0
    code, said = typed("packages", "find", "zx99001", "--table", "-")
    assert (code, said.splitlines()) == (0, Path("out.csv").read_text(encoding="utf-8").splitlines()[:2])
