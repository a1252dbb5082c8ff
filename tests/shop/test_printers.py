"""Printers as settings: which paper goes where, and how it gets there."""

import socket
from pathlib import Path
from threading import Thread
from typing import Any

import pypdfium2
import pytest

from fulfil.despatch.package_papers import order_sheets
from fulfil.documents import sheets_of
from fulfil.errors import PaperRefused, StateRefused, UnknownRefused
from fulfil.papers.walk.checklist import ChecklistSheet
from fulfil.records.equipment import PrinterRecord
from fulfil.shop.calibrating import calibration_for, shift_printer
from fulfil.shop.printers import printer_for, printers_of, retire_printer, set_printer
from fulfil.shop.printing import print_papers
from fulfil.shop.sending import Destination, destination, send, to_socket
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import open_shop
from tests.harbour_shop import key, open_harbour, plan, release
from tests.odd_shop import odd_catalogue
from tests.shipping_shop import DAY, NOW, sealed_shop


def printer(name: str, **changes: Any) -> PrinterRecord:
    """A label printer, unless something else is said."""
    facts: dict[str, Any] = {"dpi": 203, "media": "100x150", "papers": "package-labels", "language": "zpl"}
    return PrinterRecord(name=name, **(facts | changes))


def test_each_paper_goes_to_its_printer(tmp_path: Path) -> None:
    """Labels as dots of their printer, lists as PDF of the general one; a printer that was retired gets nothing."""
    with sealed_shop(tmp_path / "shop.sqlite") as shop:

        def printed(out: str) -> list[str]:
            paths = print_papers(shop, tmp_path / out, lambda books: order_sheets(books, "A-1", day=DAY))
            return sorted(path.name.partition("-")[2].partition("-")[2] for path in paths)

        assert printed("before") == ["package-labels.pdf", "packing-list.pdf"]
        set_printer(shop, printer("labels"), at=NOW, person="clerk")
        set_printer(shop, printer("office", dpi=600, media="A4", papers="", language="pdf"), at=NOW, person="clerk")
        with shop.reading() as books:
            found = printers_of(books)
        assert printed("set") == ["package-labels.zpl", "packing-list.pdf"]
        assert [one.name for one in found] == ["labels", "office"]
        names = [getattr(printer_for(file, found), "name", "") for file in ("package-labels", "packing-list")]
        assert names == ["labels", "office"]

        retire_printer(shop, "labels", at=NOW, person="clerk")
        assert printed("retired") == ["package-labels.pdf", "packing-list.pdf"]
        with pytest.raises(StateRefused, match="a printer in use"):
            retire_printer(shop, "labels", at=NOW, person="clerk")
        with pytest.raises(UnknownRefused):
            retire_printer(shop, "none", at=NOW, person="clerk")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"media": "A3"}, "A4, Letter, a label as 60x40"),
        ({"papers": "love-letters"}, "bag-labels"),
        ({"papers": "packing-list"}, "a paper that is made for labels of 100x150"),
        ({"papers": "bag-labels"}, "a paper that is made for labels of 100x150"),
        ({"language": "morse"}, "pdf, picture, zpl, epl, tspl"),
        ({"sends_to": "queue -o raw"}, "folder, nobody, queue NAME, or socket HOST:PORT"),
        ({"sends_to": "queue office one-side"}, "folder, nobody, queue NAME, or socket HOST:PORT"),
        ({"sends_to": "queue --help"}, "folder, nobody, queue NAME, or socket HOST:PORT"),
        ({"sends_to": "socket here:99999"}, "folder, nobody, queue NAME, or socket HOST:PORT"),
    ],
)
def test_what_no_printer_can_be_is_refused(tmp_path: Path, changes: dict[str, str], expected: str) -> None:
    """Said before anything is kept, with what would do."""
    with sealed_shop(tmp_path / "shop.sqlite") as shop:
        with pytest.raises(PaperRefused, match=expected):
            set_printer(shop, printer("p", **changes), at=NOW, person="clerk")
        with shop.reading() as books:
            assert printers_of(books) == []


def test_a_socket_gets_every_byte_and_a_dead_one_is_said(tmp_path: Path) -> None:
    """As port 9100 of a label printer: what was written is what arrives."""
    path = tmp_path / "labels.zpl"
    path.write_bytes(bytes(range(256)) * 400)
    got: list[bytes] = []
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]

        def listen() -> None:
            line, _ = server.accept()
            with line:
                while chunk := line.recv(65_536):
                    got.append(chunk)

        thread = Thread(target=listen)
        thread.start()
        said = send(path, Destination("socket", "127.0.0.1", port))
        thread.join(10)

    assert b"".join(got) == path.read_bytes()
    assert said == f"sent to 127.0.0.1:{port}: labels.zpl"
    with pytest.raises(PaperRefused, match="an answer from"):
        to_socket("127.0.0.1", port, path)


def test_a_queue_is_asked_once_and_a_folder_says_where(tmp_path: Path) -> None:
    """The print system is handed the file; nothing else is."""
    asked: list[tuple[str, Path, bool]] = []
    path = tmp_path / "a.pdf"

    assert send(path, Destination("queue", "office"), queue=lambda *given: asked.append(given)).startswith("sent to")
    assert send(path, destination("queue office both-sides"), queue=lambda *given: asked.append(given))
    assert asked == [("office", path, False), ("office", path, True)]
    assert send(path, Destination("folder")) == f"to print: {path}"


def test_a_released_walk_is_made_for_the_printers(tmp_path: Path) -> None:
    """Its labels are the label printer's dots; the checklist, which goes to nobody, is found by its number."""
    with open_harbour(tmp_path) as shop:
        key(shop, "O-1", ("SPRING-2", 3), ("FELT-9", 4))
        set_printer(shop, printer("labels", media="60x40", papers="bag-labels"), at=NOW, person="clerk")
        unread = printer("unread", media="A4", papers="checklist", language="pdf", sends_to="nobody")
        set_printer(shop, unread, at=NOW, person="clerk")
        plan(shop)
        (walk,) = release(shop, tmp_path)
        made = sorted(path.name.removeprefix(f"{walk.number}-") for path in (tmp_path / "papers").iterdir())
        asked = sheets_of(shop, walk.number.replace("W", "C"), at=NOW)

    assert made == ["bag-labels.zpl", "cart-card.pdf", "pick-list.pdf"]
    assert [type(sheet) for sheet in asked] == [ChecklistSheet]


def test_measured_distances_move_the_dots(tmp_path: Path) -> None:
    """A 60 x 40 label has its frame 2 mm from both edges. Seen at 3.2 and 1.5 mm, it moves 1.2 to the left, 0.5 down.

    Printed so and measured again at 2.0 and 1.9, it moves by what is still missing: 0.1 down.
    """
    with sealed_shop(tmp_path / "shop.sqlite") as shop:
        set_printer(shop, printer("bags", media="60x40", papers="bag-labels"), at=NOW, person="clerk")
        first = shift_printer(shop, "bags", from_left_mm=3.2, from_top_mm=1.5, at=NOW, person="clerk")
        second = shift_printer(shop, "bags", from_left_mm=2.0, from_top_mm=1.9, at=NOW, person="clerk")
        with shop.reading() as books:
            kept = books.need(PrinterRecord, "bags")

        assert (first.right_mm, first.down_mm) == pytest.approx((-1.2, 0.5))
        assert (second.right_mm, second.down_mm) == pytest.approx((-1.2, 0.6))
        assert kept == second


@pytest.mark.parametrize(
    ("changes", "measured", "expected"),
    [
        ({"media": "A4", "papers": "", "language": "picture"}, (2.0, 2.0), "a roll of labels"),
        ({"media": "60x40", "papers": "bag-labels", "language": "pdf"}, (2.0, 2.0), "dots"),
        ({"media": "60x40", "papers": "bag-labels"}, (60.0, 2.0), "on the label"),
        ({"media": "60x40", "papers": "bag-labels"}, (2.0, -0.5), "on the label"),
    ],
)
def test_what_cant_be_measured_moves_nothing(
    tmp_path: Path, changes: dict[str, str], measured: tuple[float, float], expected: str
) -> None:
    """A frame that isn't on the label, a printer that isn't moved by dots, are refused in words."""
    with sealed_shop(tmp_path / "shop.sqlite") as shop:
        before = set_printer(shop, printer("p", **changes), at=NOW, person="clerk")
        with pytest.raises((PaperRefused, StateRefused), match=expected):
            shift_printer(shop, "p", from_left_mm=measured[0], from_top_mm=measured[1], at=NOW, person="clerk")
        with shop.reading() as books:
            assert books.need(PrinterRecord, "p") == before


def test_the_calibration_label_is_drawn_where_the_shift_puts_it(tmp_path: Path) -> None:
    """At 203 dpi (8 dots a mm) the frame begins 16 dots from the left and top; shifted by 1 mm, at dot 24."""
    bags = printer("bags", media="60x40", papers="bag-labels", language="picture")
    corners = []
    for each in (bags, bags.model_copy(update={"right_mm": 1.0, "down_mm": 1.0})):
        made = calibration_for(each)
        page = pypdfium2.PdfDocument(made.content)[0].render(scale=203.2 / 72, grayscale=True).to_numpy() < 128
        corners.append((int(page.any(axis=0).argmax()), int(page.any(axis=1).argmax())))

    assert made.name == "bags-calibration.pdf"
    assert corners[0] == pytest.approx((16, 16), abs=1)
    assert corners[1] == pytest.approx((24, 24), abs=1)


PRINTERS_FILE = """printer,dpi,media,papers,drawn_as,sends_to,shift_right_mm,shift_down_mm
bench,203,60x40,bag-labels,zpl,socket 192.0.2.7:9100,0.5,-0.25
office,600,A4,,pdf,queue office,,
"""


def test_printers_come_and_go_with_the_catalogue(tmp_path: Path) -> None:
    """A file sets them and retires what it lacks, without it they stay; what no printer can do is a finding."""
    folder = odd_catalogue(tmp_path / "files")
    file = folder / "printers.csv"
    with open_shop(tmp_path / "shop.sqlite", create=True) as shop:
        assert import_catalogue(shop, folder, at=NOW, person="ann").findings == ()
        set_printer(shop, printer("old"), at=NOW, person="ann")

        def names() -> list[str]:
            with shop.reading() as books:
                return [one.name for one in printers_of(books)]

        import_catalogue(shop, folder, at=NOW, person="ann")
        assert names() == ["old"]
        file.write_text(PRINTERS_FILE, encoding="utf-8")
        counts = import_catalogue(shop, folder, at=NOW, person="ann").counts["printers"]
        assert (counts.new, counts.changed, counts.retired) == (2, 0, 1)
        assert names() == ["bench", "office"]
        with shop.reading() as books:
            bench = books.need(PrinterRecord, "bench")
        assert (bench.right_mm, bench.down_mm, bench.language) == (0.5, -0.25, "zpl")

        for wrong, said in (("60x40,love-letters", "love-letters"), ("A3,bag-labels", "A3")):
            file.write_text(PRINTERS_FILE.replace("60x40,bag-labels", wrong), encoding="utf-8")
            (finding,) = import_catalogue(shop, folder, at=NOW, person="ann").findings
            assert (finding.source, finding.value) == ("printers.csv", said)
        assert names() == ["bench", "office"]
