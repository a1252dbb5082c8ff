"""The first evening of an invented kite shop, every answer in every way that people write it, word for word."""

from pathlib import Path
from typing import Any

import pytest

from fulfil.shop.conversation import Conversation
from fulfil.stock.starting.evening import evening_script, is_there, missing_after
from fulfil.stock.starting.part_list import part_list_script
from fulfil.stock.starting.room import Floor
from tests.chronicle.telling import RECORDS, Chronicle, lines_of
from tests.stock.starting.test_evening import ANSWERS

MORE = {
    "phone": "+351 210 000 000",
    "email": "kites@example.org",
    "scale 1 d": "0,01 g",
    "scale 1 min": "0,5 g",
    "scale 1 use": "b",
    "scale 2": "CHAO",
    "scale 2 class": "IV",
    "scale 2 e": "5 g",
    "scale 2 max": "30 kg",
    "scale 2 use": "pack",
    "bag 2": "G",
    "bag 2 size": "100 x 150",
    "bag 2 tare": "1,85",
    "bag 2 load": "0,5 kg",
    "box 2": "C2",
    "box 2 size": "300x220x150 mm",
    "box 2 tare": "236 g",
    "box 2 load": "5",
    "service 1 kind": "post",
    "service 1 countries": "Portugal; Spain",
    "service 2": "AR",
    "service 2 name": "By air",
    "service 2 countries": "everywhere",
    "service 2 cut-off": "4:30pm",
    "service 2 weight": "20 kg",
    "aisle distance": "3 m",
    "section width": "1,2 m",
    "bench": "2",
    "part 1 supply": "made",
    "part 2": "FIO",
    "part 2 name": "Line 100 m",
    "part 2 longest": "12 cm",
    "part 2 price": "8.5",
    "part 3": "",
}
WRONG = {
    "shop name": ["", "---"],
    "country": ["Atlantis"],
    "post code": ["12"],
    "time zone": ["Mars", "UTC"],
    "currency": ["XXQ"],
    "paper": ["A3"],
    "scale 1": ["", "MÉSA", "x" * 41],
    "scale 1 class": ["V", ""],
    "scale 1 e": ["ten", "0"],
    "scale 1 d": ["5 stone"],
    "scale 1 use": ["trucks", "bags of flour"],
    "bag 1 size": ["60", "6 x 8 x 9"],
    "bag 1 tare": ["3/0", "-2"],
    "bag 1 load": ["0"],
    "box 1 size": ["16x11", "a x b x c"],
    "service 1 kind": ["boat", "p"],
    "service 1 countries": ["Atlantis"],
    "service 1 cut-off": ["noon", "25:00", "13 pm", "0 am", "9:61"],
    "aisles": ["0", "41", "two"],
    "bench": ["3"],
    "part 1 supply": ["stolen"],
    "part 1 price": ["dear"],
    "part 1 pieces": ["many"],
}
MOST_QUESTIONS = 200
"""More than any evening asks."""


def enter_until(talked: Conversation[Any], key: str) -> None:
    """Enter to every question before one; a question that comes again and again is a fault."""
    for _ in range(MOST_QUESTIONS):
        if talked.question is None or talked.question.key == key:
            return
        talked.enter("")
    raise AssertionError(f"{talked.question} is asked again and again: {talked.trouble}")


def recorded(name: str, lines: list[str]) -> None:
    """Compares lines with their record."""
    told = Chronicle.__new__(Chronicle)
    told.name, told.lines = name, lines
    told.is_as_recorded()
    assert RECORDS.is_dir()


@pytest.mark.parametrize("name", ["least", "more"])
def test_every_question_and_what_its_answer_becomes(tmp_path: Path, name: str) -> None:
    """Only what is needed, then everything: questions with their defaults, and the rows of every file."""
    answers = ANSWERS | (MORE if name == "more" else {})
    talked = Conversation(lambda: evening_script(tmp_path))
    lines = []
    for _ in range(MOST_QUESTIONS):
        asked = talked.question
        if asked is None:
            break
        lines.append(f"{asked.key}: {asked.asks} [{talked.suggestion()}] {' / '.join(asked.shows)}".rstrip())
        said = answers.get(asked.key, "")
        talked.enter(said)
        if talked.question is asked:
            lines.append(f"  {said} → {talked.trouble}")
            talked.enter(said)
    assert talked.result is not None
    made = talked.result
    lines += [f"wrote {path.name}" for path in made.write(tmp_path)]
    for file, rows in made.rows.items():
        lines += [file, *(f"  {lines_of(row)[0] if len(lines_of(row)) == 1 else row}" for row in rows[:9])]
    lines += [
        *made.notes,
        *missing_after(tmp_path),
        str([is_there(tmp_path, one) for one in ("room.csv", "zones.csv")]),
    ]
    recorded(f"evening/{name}", lines)


@pytest.mark.parametrize("key", [*WRONG])
def test_what_can_not_be_meant_is_said_and_asked_again(tmp_path: Path, key: str) -> None:
    """Each wrong answer with its sentence; nothing else is lost."""
    lines = []
    for said in WRONG[key]:
        before = {one: text for one, text in ANSWERS.items() if one != key}
        talked = Conversation(lambda: evening_script(tmp_path), before)
        enter_until(talked, key)
        talked.enter(said)
        lines += [f"{key} '{said}': {talked.trouble}", *(f"  {one[:160]}" for one in talked.offered)]
    recorded(f"evening/wrong/{key.replace(' ', '-')}", lines)


def test_a_second_one_of_a_name_is_refused(tmp_path: Path) -> None:
    """Scales, bags, boxes, services and parts, in letters of either case."""
    lines = []
    for key, said in (
        ("scale 2", "mesa"),
        ("bag 2", "p"),
        ("box 2", "c1"),
        ("service 2", "rota-x"),
        ("part 2", "vara-80"),
    ):
        answers = {one: text for one, text in ANSWERS.items() if one != key}
        talked = Conversation(lambda: evening_script(tmp_path), answers)
        enter_until(talked, key)
        talked.enter(said)
        lines.append(f"{key} '{said}': {talked.trouble}")
    recorded("evening/twice", lines)


def test_sheets_of_parts(tmp_path: Path) -> None:
    """Whole, with columns that nobody knows, with faults, with too many parts, with none."""
    sheets = {
        "whole": "part;description;family;longest_mm;supply;price;currency;bin;pieces\n"
        "A;First one;kite;10;buy;1,00;;2R-01-1;5\n"
        "B;Second one;kite;10,4;make;2,00;GBP;;7\nC;Third one;kite;10;buy;1,50;EUR;2r-01-1;\n",
        "unknown": "Item no.;What;Weight (g);Made\nA;Lamp wick 10 mm;1,25;buy\nB;Glass chimney;84,5;make\n",
        "faults": "part;description;family;longest_mm;supply;price;pieces\n"
        "A;First;kite;ten;buy;1,00;x\nA;Next;kite;9;steal;1;2\n",
        "many": "part;description;family;longest_mm;supply;price\n"
        + "".join(f"P{no};Part;kite;10;buy;1,00\n" for no in range(9)),
        "none": "part;description\n",
        "ragged": "part;description\nA;First;more\n",
    }
    lines = []
    floor = Floor(2, 2400, 2, 900, 1, 2)
    for name, text in sheets.items():
        path = tmp_path / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        talked = Conversation(lambda: part_list_script("EUR", floor.places()), {"parts table": str(path)})
        lines += ["", f"== {name}"]
        for said in ("", "What", "first word", "", "12 cm", "colour", "Made", "Weight (g)", "4,20", ""):
            if talked.question is None:
                break
            lines.append(f"{talked.question.key}: {talked.question.asks} {' / '.join(talked.question.shows)}")
            talked.enter(said)
            if talked.trouble:
                lines += [
                    f"  '{said}': {talked.trouble}".replace(str(tmp_path), "FOLDER"),
                    *(f"    {one}" for one in talked.offered),
                ]
        if talked.result is not None:
            lines += lines_of(talked.result)
    recorded("evening/sheets", lines)


@pytest.mark.parametrize("there", ["room.csv", "parts.csv", "bins.xlsx", "services.csv"])
def test_what_is_there_already_is_not_asked_and_what_is_missing_after_is_said(tmp_path: Path, there: str) -> None:
    """With a room nothing is placed; with parts or bins no list is asked for: both are made by other ways then."""
    (tmp_path / there).write_text("element,name\n", encoding="utf-8")
    asked = {key: text for key, text in ANSWERS.items() if not key.startswith("service" if "service" in there else "-")}
    made, faults = Conversation(lambda: evening_script(tmp_path), asked).at_once()
    assert faults == []
    assert made is not None
    stem = there.partition(".")[0]
    whole = ["settings", "scales", "bags", "boxes", "services", "room", "parts", "bins"]
    left = {"room": ["room", "parts", "bins"], "parts": ["parts", "bins"], "bins": ["parts", "bins"]}.get(stem, [stem])
    assert [name.partition(".")[0] for name in made.rows] == [name for name in whole if name not in left]
    missing = {"parts": ("bins.csv",), "bins": ("parts.csv",)}.get(stem, ("parts.csv", "bins.csv"))
    assert missing_after(tmp_path) == missing
