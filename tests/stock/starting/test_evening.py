"""What the first evening writes is what a catalogue reads, whatever was answered; what it lacks is said."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from babel.core import get_global
from babel.numbers import get_territory_currencies
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.files.catalogue import read_catalogue
from fulfil.shop.conversation import Conversation
from fulfil.standards import iso3166
from fulfil.stock.starting.address import home_of, zone_named
from fulfil.stock.starting.evening import Evening, evening_script
from fulfil.stock.starting.measures import length_mm, mass_g, sides_mm
from fulfil.stock.starting.part_list import part_list_script
from fulfil.stock.starting.room import Floor
from fulfil.walks.room_check import check_folder

ANSWERS = {
    "shop name": "Invented Kites", "country": "Portugal", "street": "Rua Exemplo 1", "post code": "1000-001",
    "city": "Lisboa-Exemplo", "time zone": "Lisbon", "scale 1": "MESA", "scale 1 class": "2", "scale 1 e": "0,1 g",
    "scale 1 max": "6 kg", "bag 1": "P", "bag 1 size": "6 x 8 cm", "bag 1 tare": "12,4/20", "bag 1 load": "120 g",
    "box 1": "C1", "box 1 size": "16x11x6 cm", "box 1 tare": "58", "box 1 load": "2 kg", "service 1": "ROTA-X",
    "service 1 cut-off": "16h30", "service 1 weight": "30 kg", "aisles": "2", "sections": "3", "levels": "2",
    "part 1": "VARA-80", "part 1 name": "Vara de carbono 80 cm", "part 1 longest": "80 cm", "part 1 price": "4,20",
    "part 1 pieces": "35", "part 2": "",
}  # fmt: skip
"""What can't be left out; all else has its default."""


def evening(folder: Path, answers: dict[str, str] = ANSWERS) -> tuple[Evening | None, list[tuple[str, str, str]]]:
    """All answers at once."""
    return Conversation(lambda: evening_script(folder), answers).at_once()


def test_answers_become_files_that_are_read_without_findings(tmp_path: Path) -> None:
    """Units, commas, classes in Arabic figures: exact cells in the files; the room can be walked."""
    made, faults = evening(tmp_path)
    assert faults == []
    assert made is not None
    made.write(tmp_path)
    read = read_catalogue(tmp_path)

    assert read.findings == ()
    catalogue = read.catalogue
    assert catalogue is not None
    assert (catalogue.settings.country, catalogue.settings.currency) == ("PT", "EUR")
    (scale,) = catalogue.scales
    assert (scale.accuracy_class, scale.e_g, scale.d_g, scale.max_g) == ("II", Decimal("0.1"), Decimal("0.1"), 6000)
    assert (catalogue.bag_types[0].tare_g, catalogue.bag_types[0].width_mm) == (Decimal("0.62"), 60)
    assert catalogue.parts[0].longest_mm == 800
    assert [(place.part_number, place.pieces) for place in catalogue.bins] == [("VARA-80", 35)]
    assert check_folder(tmp_path).findings == ()


def test_all_faults_are_said_at_once(tmp_path: Path) -> None:
    """A file of answers is corrected in one go."""
    wrong = {
        "country": "Atlantis",
        "scale 1 class": "V",
        "bag 1 size": "60",
        "service 1 cut-off": "noon",
        "aisles": "0",
    }
    made, faults = evening(tmp_path, ANSWERS | wrong)
    assert made is None
    assert {key for key, _, _ in faults} >= wrong.keys()
    assert [*tmp_path.iterdir()] == []


@pytest.mark.parametrize(
    ("key", "least", "most"), [("aisles", 1, 40), ("sections", 1, 99), ("levels", 1, 9), ("bench", 1, 2)]
)
def test_the_room_takes_its_least_and_its_most_and_nothing_beyond(
    tmp_path: Path, key: str, least: int, most: int
) -> None:
    """One level of bins is a room, too; the bench stands before one of the two aisles."""
    for said, is_taken in ((least - 1, False), (least, True), (most, True), (most + 1, False)):
        _, faults = evening(tmp_path, ANSWERS | {key: str(said)})
        assert [name for name, _, _ in faults] == ([] if is_taken else [key]), said


def test_a_file_that_is_there_is_not_asked_about(tmp_path: Path) -> None:
    """Somebody wrote scales.csv by hand: it stays, byte for byte."""
    path = tmp_path / "scales.csv"
    path.write_text("scale,accuracy_class,e_g,d_g,max_g,min_g\nOLD,II,0.1,0.1,600,2\n", encoding="utf-8")
    before = path.read_bytes()
    made, faults = evening(tmp_path, {key: text for key, text in ANSWERS.items() if not key.startswith("scale")})
    assert (faults, made is not None and "scales.csv" in made.rows) == ([], False)
    assert path.read_bytes() == before


@settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(aisles=st.integers(1, 12), sections=st.integers(1, 20), levels=st.integers(1, 5), apart=st.integers(1200, 5000),
       width=st.integers(200, 2000), data=st.data())  # fmt: skip
def test_every_bin_of_any_such_room_is_reached_once(
    tmp_path: Path, aisles: int, sections: int, levels: int, apart: int, width: int, data: st.DataObject
) -> None:
    """Codes are unique, bins lie between the cross aisles, and the first place is in the bench's own aisle."""
    floor = Floor(aisles, apart, sections, width, levels, data.draw(st.integers(1, aisles)))
    places = floor.places()
    assert len({place.code for place in places}) == len(places) == 2 * aisles * sections * levels
    assert all(0 < place.y_mm < floor.back_mm for place in places)
    assert places[0].aisle == str(floor.bench_aisle)


def test_a_sheet_s_places_are_kept_and_the_others_filled(tmp_path: Path) -> None:
    """A column of places names the room's codes; two parts never share a bin."""
    path = tmp_path / "parts.csv"
    path.write_text(
        "part;description;family;longest_mm;supply;price;bin;stock\n"
        "A;First;kite;10;buy;1,00;2R-01-1;5\nB;Second;kite;10;buy;1,00;;7\nC;Third;kite;10;buy;1,50;2r-01-1;\n",
        encoding="utf-8",
    )
    floor = Floor(2, 2400, 1, 900, 1, 1)
    talked = Conversation(lambda: part_list_script("EUR", floor.places()), {"parts table": str(path)})
    assert talked.question is not None
    assert not any("room" in line for line in talked.question.shows), "every place named is there"
    made, faults = talked.at_once()
    assert faults == []
    assert [(row["bin"], row["part"], row["pieces"]) for row in made.bins] == [
        ("2R-01-1", "A", "5"), ("1L-01-1", "B", "7"), ("1R-01-1", "C", "0"),
    ]  # fmt: skip


def test_a_sheet_with_faults_names_them_and_more_parts_than_bins_are_refused(tmp_path: Path) -> None:
    """Corrected in the sheet, the same answer is taken."""
    path = tmp_path / "parts.csv"
    head = "part;description;family;longest_mm;supply;price\n"
    path.write_text(head + "A;First;kite;ten;buy;1,00\nA;Second;kite;10;steal;1,00\n", encoding="utf-8")
    floor = Floor(1, 2400, 1, 900, 1, 1)
    talked = Conversation(lambda: part_list_script("EUR", floor.places()), {"parts table": str(path)})
    talked.enter("yes")
    assert "got 2; correct them there" in talked.trouble
    assert any("longest_mm 'ten'" in line for line in talked.offered)
    path.write_text(head + "".join(f"P{no};Part;kite;10;buy;1,00\n" for no in range(3)), encoding="utf-8")
    talked.enter("yes")
    assert "expected at most 2, or a larger room" in talked.trouble
    path.write_text(head + "A;First;kite;10;buy;1,00\n", encoding="utf-8")
    talked.enter("yes")
    assert talked.result is not None


@pytest.mark.parametrize(
    ("country", "currency", "paper", "zone"),
    [("US", "USD", "Letter", "America/Chicago"), ("JP", "JPY", "A4", "Asia/Tokyo"),
     ("CH", "CHF", "A4", "Europe/Zurich"), ("NZ", "NZD", "A4", "Pacific/Auckland"),
     ("ZA", "ZAR", "A4", "Africa/Johannesburg")],
)  # fmt: skip
def test_what_is_usual_in_a_country(country: str, currency: str, paper: str, zone: str) -> None:
    """ISO 4217 currencies and IANA time zones, by the Unicode CLDR."""
    home = home_of(country)
    assert (home.currency, home.paper) == (currency, paper)
    assert zone in home.zones
    assert zone_named(home.zones, zone.rpartition("/")[2]) == zone


def test_the_table_of_countries_is_that_of_the_cldr() -> None:
    """Every country's currency on 1 January 2026 and its zones, row by row against babel's copy of the Unicode CLDR."""
    new_year = date(2026, 1, 1)
    for country in iso3166.codes():
        home = home_of(country)
        assert [home.currency] == (get_territory_currencies(country, new_year, new_year)[:1] or [""]), country
        assert set(home.zones) <= set(get_global("territory_zones").get(country, ())), country
    assert sum(bool(home_of(country).zones) for country in iso3166.codes()) > 240


def test_measures_as_they_stand_on_plates() -> None:
    """The pound and the inch are exact (International yard and pound agreement, 1959)."""
    assert mass_g("1 lb") == Decimal("453.59237")
    assert (mass_g("30 kg"), mass_g("0,001"), length_mm("10 in"), sides_mm("60×80", 2)) == (
        30_000,
        Decimal("0.001"),
        254,
        (60, 80),
    )
    for wrong in ("", "ten", "1,2,3", "5 stone", "3/0", "-2"):
        with pytest.raises(QuantityRefused):
            mass_g(wrong)


LAMPS = """Item no.;What;Weight (g);Longest (mm);Sell €;In stock
LW-10;Lamp wick 10 mm, flat;1,25;120;0,45;400
GL/70;Glass chimney 70;84,5;180;7,90;25
"""
"""An invented shop's sheet, one of its words known to nobody but its owner."""


def test_the_kind_of_a_part_is_the_first_word_of_whatever_column_says_what_it_is(tmp_path: Path) -> None:
    """Nobody guesses that 'What' is the description; once it is said, the kind follows from it."""
    sheet = tmp_path / "lamps.csv"
    sheet.write_text(LAMPS, encoding="utf-8")
    typed = {key: text for key, text in ANSWERS.items() if not key.startswith("part ")}
    made, faults = evening(tmp_path / "shop", typed | {"parts table": str(sheet), "column description": "What"})
    assert faults == []
    assert made is not None
    assert [(row["part"], row["family"]) for row in made.rows["parts.csv"]] == [("LW-10", "lamp"), ("GL/70", "glass")]


def test_a_sheet_that_is_not_right_says_each_of_its_findings(tmp_path: Path) -> None:
    """Without anybody at the keyboard, too: the lines to correct, not only how many."""
    sheet = tmp_path / "lamps.csv"
    sheet.write_text(LAMPS.replace("7,90", "dear").replace("120", "-4"), encoding="utf-8")
    typed = {key: text for key, text in ANSWERS.items() if not key.startswith("part ")}
    made, faults = evening(tmp_path / "shop", typed | {"parts table": str(sheet), "column description": "What"})
    assert made is None
    ((key, _, why),) = faults
    assert key == "parts are right"
    assert "line 2, longest_mm '-4'" in why
    assert "line 3, price 'dear'" in why


def test_units_stand_in_the_cells_of_a_clock_maker_s_sheet(tmp_path: Path) -> None:
    """Sizes such as '60x40 mm' and '3,8 cm', weights such as '0,412 g'; what is no length is said, < chooses anew."""
    path = tmp_path / "teile.csv"
    head = "Artikelnummer;Bezeichnung;Größe;Gewicht;Preis\n"
    good = "UR-1;Zeiger;38 mm;0,412 g;0,45\nUR-2;Werkplatte;60x40 mm;28,4 g;4,90\nUR-3;Kette;1,2 m;0,09 kg;7,50\n"
    path.write_text(head + good + "UR-4;Rad;24 Zähne;1,92 g;2,10\n", encoding="utf-8")
    floor = Floor(2, 2400, 1, 900, 2, 1)
    talked = Conversation(lambda: part_list_script("CHF", floor.places()), {"parts table": str(path)})
    for text in ("", "size", "", "yes"):
        talked.enter(text)
    assert [line for line in talked.offered if "longest_mm" in line] == [
        "teile.csv, line 5, longest_mm '24 Zähne': expected whole millimetres from 0 to 999999999, without a unit. "
        "Do: correct the cell and import again."
    ]
    path.write_text(head + good, encoding="utf-8")
    talked.enter("yes")
    assert talked.result is not None
    assert [(one["longest_mm"], one["unit_weight_g"]) for one in talked.result.parts] == [
        ("38", "0.412"), ("60", "28.4"), ("1200", "90"),
    ]  # fmt: skip


def test_places_that_the_room_does_not_have_are_said(tmp_path: Path) -> None:
    """The codes of an older room are not dropped in silence: the parts move, and that is to be known before Enter."""
    path = tmp_path / "parts.csv"
    head = "part;description;family;longest_mm;supply;price;bin\n"
    path.write_text(head + "A;First;kite;10;buy;1,00;A-1-01\nB;Second;kite;10;buy;1,00;1L-01-1\n", encoding="utf-8")
    floor = Floor(2, 2400, 1, 900, 1, 1)
    talked = Conversation(lambda: part_list_script("EUR", floor.places()), {"parts table": str(path)})
    assert talked.question is not None
    said = [line for line in talked.question.shows if "room" in line]
    assert said == ["1 place isn't in the room, such as 'A-1-01': its part gets the nearest bin that is free"]
