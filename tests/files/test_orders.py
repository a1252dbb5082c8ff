"""Orders are read each whole or not at all; a file without a clear shape gives none."""

import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.errors import FileRefused
from fulfil.files.orders import read_orders
from fulfil.files.orders_given import OrdersRead

A1, A2 = "A-1", "A-2"


def _changed(folder: Path, old: str, new: str, name: str = "orders.csv") -> OrdersRead:
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return read_orders(path)


def _said(read: OrdersRead) -> list[str]:
    return [str(finding) for finding in read.file.findings]


def test_rows_make_orders(folder: Path) -> None:
    """Rows with one number are one order; a quoted line end in an address and a comma in a note are text."""
    read = read_orders(folder / "orders.csv")
    first, second = read.orders

    assert _said(read) == []
    assert (first.number, first.values["country"], first.values["post_code"]) == (A1, "NA", "00501")
    assert first.values["street"] == "Sample Street 1\nBack house"
    assert first.values["note_packer"] == "gift, wrap it"
    assert first.values["received_at"] - datetime(2026, 3, 2, 7, 15, tzinfo=UTC) == timedelta(0)
    assert [line.values for line in first.lines] == [
        {"line_no": 1, "part_number": "BALL-3", "pieces": 50, "unit_price": Decimal("0.02")},
        {"line_no": 2, "part_number": "GEAR-12", "pieces": 3},
    ]
    assert second.values["ship_complete"] is True
    assert second.values["name"] == "=Formula Person"
    assert second.lines[0].values == {"line_no": 1, "part_number": "00123", "pieces": 2}


def test_json_gives_the_same_as_csv(folder: Path) -> None:
    """A JSON order has the same fields; numbers keep their digits whether quoted or not."""
    read = read_orders(folder / "orders.json")

    assert _said(read) == []
    assert read.orders[0].values["ship_complete"] is True
    assert [line.values for line in read.orders[0].lines] == [
        {"line_no": 1, "part_number": "BALL-3", "pieces": 10},
        {"line_no": 2, "part_number": "GEAR-12", "pieces": 2, "unit_price": Decimal("1.40")},
    ]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("BALL-3,50", "BALL-3,0", "orders.csv, line 2, pieces '0': expected a whole number from 1 to 999999999. "),
        ("BALL-3,50", 'BALL-3,"2,5"', "orders.csv, line 2, pieces '2,5': expected a whole number from 1 to"),
        ("BALL-3,50", "BALL-3,-5", "orders.csv, line 2, pieces '-5': expected a whole number from 1 to"),
        ("BALL-3,50", "BALL-3,1e3", "orders.csv, line 2, pieces '1e3': expected a whole number from 1 to"),
        ("BALL-3,50", "BALL-3,", "orders.csv, line 2, pieces '': must not be empty."),
        ("BALL-3,50", "BALL-3,99999999999", "orders.csv, line 2, pieces '99999999999': expected a whole number"),
        ("BALL-3,50", ",50", "orders.csv, line 2, part '': must not be empty."),
        (",NA,", ",na,", "orders.csv, line 2, country 'na': expected an assigned alpha-2 code"),
        (",NA,", ",XQ,", "orders.csv, line 2, country 'XQ': expected an assigned alpha-2 code"),
        ("T08:15:00+01:00", "T08:15:00", "received_at '2026-03-02T08:15:00': expected ISO 8601 with an offset"),
        ("2026-03-02T08:15:00+01:00", "2.3.2026", "received_at '2.3.2026': expected ISO 8601 with an offset"),
        ("post,no", "post,perhaps", "orders.csv, line 2, ship_complete 'perhaps': expected yes or no."),
        ("EUR,1,", "EURO,1,", "orders.csv, line 2, currency 'EURO': expected three capitals"),
        ("50,0.02", "50,0.0.2", "orders.csv, line 2, unit_price '0.0.2': expected digits with at most one '.'"),
        (",2,GEAR-12", ",1,GEAR-12", "orders.csv, line 4, line '1': comes twice in order A-1."),
        (",2,GEAR-12", ",two,GEAR-12", "orders.csv, line 4, line 'two': expected a whole number from 1"),
        ("Invented Person,,,,,,,,,post", "Invented Person,,,,,,,,,van",
         "orders.csv, line 4, service 'van': differs from 'post' in line 2 of the same order."),
    ],
)  # fmt: skip
def test_bad_cell_keeps_its_order_out(folder: Path, old: str, new: str, says: str) -> None:
    """A cell that can't be read is a finding, its order isn't read, the other one is."""
    read = _changed(folder, old, new)

    assert says in "\n".join(_said(read))
    assert [order.number for order in read.orders] == [A2]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (",pieces,", ",amount,", "orders.csv, line 1, pieces '': is missing as a column."),
        ("A-2,", ",", "orders.csv, line 5, order '': belongs to no order, so no order of this file is taken."),
        ("00123,2,", "00123,2,,", "orders.csv, line 5: has 22 cells, the header has 21."),
        ('"gift, wrap it"', '"gift, wrap it', "is no well-formed CSV"),
    ],
)
def test_broken_shape_keeps_every_order_out(folder: Path, old: str, new: str, says: str) -> None:
    """When nobody can say whose row is broken, no order of the file is read."""
    read = _changed(folder, old, new)

    assert says in "\n".join(_said(read))
    assert read.orders == ()


def test_an_old_encoding_is_found_out_and_said(folder: Path) -> None:
    """A file in a code page is read, and a note says as what, with a word of it; named wrongly, nothing is read."""
    path = folder / "orders.csv"
    path.write_bytes(path.read_text(encoding="utf-8").replace("Sampletown", "Übungsstadt").encode("cp1252"))
    read = read_orders(path)
    assert read.orders[0].values["city"] == "Übungsstadt"
    assert read.notes == ("orders.csv: read as CP1252, as in 'Übungsstadt' (else name the encoding)",)
    assert read_orders(path, encoding="cp1252").orders[0].values["city"] == "Übungsstadt"
    assert "holds the byte DC" in _said(read_orders(path, encoding="utf-8"))[0]


def _json(folder: Path, orders: object) -> OrdersRead:
    path = folder / "some.json"
    path.write_text(orders if isinstance(orders, str) else json.dumps(orders), encoding="utf-8")
    return read_orders(path)


def test_json_findings_name_their_place(folder: Path) -> None:
    """In JSON a finding names order and line by their place in the list; only that order is kept out."""
    good = json.loads((folder / "orders.json").read_text(encoding="utf-8"))[0]
    read = _json(
        folder,
        [
            good,
            good | {"order": "J-2", "lines": [{"part": "BALL-3", "pieces": True}]},
            good | {"order": "J-3", "lines": []},
            good | {"order": "J-4", "colour": "red"},
            good | {"order": "J-5", "lines": [{"part": ["BALL-3"], "pieces": 1}, "BALL-3"]},
            good | {"order": None},
            "J-6",
        ],
    )

    assert [order.number for order in read.orders] == ["J-1"]
    assert sorted((finding.field, finding.says) for finding in read.file.findings) == [
        ("orders[1].lines[0].pieces", "expected a whole number from 1 to 999999999"),
        ("orders[2]", "is no order with a list of lines"),
        ("orders[3].colour", "is no name of this place"),
        ("orders[4].lines[0].part", "must be one value"),
        ("orders[4].lines[1]", "is no line with a part and pieces"),
        ("orders[5].order", "must not be empty"),
        ("orders[6]", "is no order with a list of lines"),
    ]


def test_order_twice_in_json(folder: Path) -> None:
    """Two orders with one number in a JSON file: neither is taken, nobody knows which one is right."""
    good = json.loads((folder / "orders.json").read_text(encoding="utf-8"))[0]
    read = _json(folder, [good, good | {"order": "J-2"}, good | {"city": "Elsewhere"}])

    assert [order.number for order in read.orders] == ["J-2"]
    assert [finding.says for finding in read.file.findings] == ["is there already, in orders[0]"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[{]", "some.json, line 1: is no well-formed JSON"),
        ('{"order": "J-1"}', "some.json: is no list of orders."),
        ('[{"order": "J-1", "order": "J-2"}]', "some.json: is no well-formed JSON (one object names order twice)."),
        ("[" * 100_000, "some.json: is no well-formed JSON"),
    ],
)
def test_broken_json(folder: Path, text: str, says: str) -> None:
    """JSON that can't be read is one finding."""
    (said,) = _said(_json(folder, text))

    assert says in said


def test_what_a_file_is_its_bytes_say(folder: Path) -> None:
    """A table under another name is read as the table that it is; a file that isn't there is refused."""
    (folder / "orders.txt").write_bytes((folder / "orders.csv").read_bytes())
    (folder / "orders.dat").write_bytes((folder / "orders.json").read_bytes())
    expected = [order.number for order in read_orders(folder / "orders.csv").orders]
    assert [order.number for order in read_orders(folder / "orders.txt").orders] == expected
    assert [order.number for order in read_orders(folder / "orders.dat").orders] == ["J-1"]
    with pytest.raises(FileRefused, match="a file that can be read"):
        read_orders(folder / "none.csv")
