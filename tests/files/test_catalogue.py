"""A catalogue is read whole, or not at all with every finding by file and line."""

from collections.abc import Callable
from decimal import Decimal
from math import sqrt
from pathlib import Path

import pytest

from fulfil.errors import FileRefused
from fulfil.files.catalogue import FILES, MAY_BE_MISSING, Catalogue, read_catalogue
from fulfil.records.part import Supply, WeightSource
from fulfil.records.place import ElementKind
from fulfil.records.settings import Settings


def _change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def _catalogue(folder: Path) -> Catalogue:
    read = read_catalogue(folder)
    assert read.findings == ()
    assert read.catalogue is not None
    return read.catalogue


def _findings(folder: Path) -> list[str]:
    read = read_catalogue(folder)
    assert read.catalogue is None
    return [str(finding) for finding in read.findings]


def test_tiny_catalogue(folder: Path) -> None:
    """Every file of the tiny catalogue becomes its records."""
    catalogue = _catalogue(folder)

    assert [part.number for part in catalogue.parts] == ["BALL-3", "GEAR-12", "00123"]
    assert [(place.code, place.pieces) for place in catalogue.bins][:2] == [("01L-01-1", 40), ("01R-01-1", 200)]
    assert [element.kind for element in catalogue.room].count(ElementKind.AISLE) == 2
    assert [scale.use for scale in catalogue.scales] == ["bags", "packages"]
    assert [service.code for service in catalogue.services] == ["post", "van"]
    assert catalogue.services[1].reaches("NA")
    assert not catalogue.services[1].reaches("FR")
    assert catalogue.settings == Settings(
        shop_name="The invented shop", country="AT", time_zone="Europe/Vienna", risk_pass=0.0005
    )


def test_money_is_in_minor_units_of_its_currency(folder: Path) -> None:
    """Prices are major units in the file, whole minor units in the record: 2 digits for EUR, 0 for JPY, 3 for KWD."""
    _change(folder / "parts.csv", "0.02,EUR", "120,JPY")
    _change(folder / "parts.csv", "1.50,EUR", "1.505,KWD")

    assert [part.price_minor for part in _catalogue(folder).parts] == [120, 1505, 490]


def test_unit_weights(folder: Path) -> None:
    """A sampled mean has u = s / sqrt(n); a computed one 5 %; a part without a weight has none at all."""
    sampled, computed = _catalogue(folder).unit_weights

    assert sampled.part_number == "BALL-3"
    assert sampled.u_g == pytest.approx(0.0002 / sqrt(100))
    assert sampled.may_accept
    assert (computed.source, computed.u_g, computed.sample_pieces) == (WeightSource.GEOMETRY, 0.05 * 2.4, 0)
    assert not computed.may_accept


def test_what_is_missing_is_estimated_and_said(folder: Path) -> None:
    """A missing bulk volume is estimated from the weight and noted; a missing bag volume from its flat size."""
    read = read_catalogue(folder)
    assert read.catalogue is not None

    assert read.catalogue.parts[1].bulk_volume_mm3 == pytest.approx(2.4 / 7.85e-3 / 0.55)
    assert read.notes == ("bulk volume of 1 parts estimated from weight and longest side; measure 100 pieces of each",)
    assert [bag.usable_volume_mm3 for bag in read.catalogue.bag_types] == [30_000, 203_973]


def test_texts_survive(folder: Path) -> None:
    """Leading zeros, printed HS codes and exact scale intervals are kept for what they are."""
    catalogue = _catalogue(folder)

    assert catalogue.parts[2].number == "00123"
    assert [part.hs_code for part in catalogue.parts] == ["848291", "848390", "320890"]
    assert catalogue.parts[1].supply is Supply.MAKE
    assert catalogue.scales[0].d_g == Decimal("0.01")


def test_settings_may_be_missing(folder: Path) -> None:
    """Without settings.csv the house rules hold, without tariffs no charge is made; every other file is needed."""
    for name in FILES:
        (folder / name).unlink(missing_ok=True)
    findings = _findings(folder)

    assert len(findings) == len(FILES) - len(MAY_BE_MISSING)
    assert findings[0] == (
        "parts.csv: is missing in the folder. Do: add the file with the columns "
        "part, description, family, longest_mm, supply, price, currency."
    )


def test_house_rules_without_settings(folder: Path) -> None:
    """A catalogue without settings.csv has the default settings."""
    (folder / "settings.csv").unlink()

    assert _catalogue(folder).settings == Settings()


def test_no_folder(tmp_path: Path) -> None:
    """A folder that isn't there is refused."""
    with pytest.raises(FileRefused, match="expected a folder with"):
        read_catalogue(tmp_path / "none")


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("parts.csv", "GEAR-12,", "ball-3,", "parts.csv, line 3, part 'ball-3': is there already, in line 2. "),
        ("parts.csv", "0.1109,", "-0.1109,", "line 2, unit_weight_g '-0.1109': expected digits with at most"),
        ("parts.csv", "0.1109,", "0,", "parts.csv, line 2, unit_weight_g '0': must be greater than 0. "),
        ("parts.csv", "0.1109,", "110900,", "parts.csv, line 2, unit_weight_g '110900': is absurd, above 50000 g."),
        ("parts.csv", "0.1109,", "110.9,", "unit_weight_g '110.9': is more than any metal of 3 mm weighs."),
        ("parts.csv", "0.0002,", "0.2,", "parts.csv, line 2, piece_sd_g '0.2': is not below the unit weight."),
        ("parts.csv", "0.0002,", ",", "parts.csv, line 2, piece_sd_g '': is needed for a sampled unit weight."),
        ("parts.csv", "100,sampled", ",sampled", "sample_pieces '': is needed for a sampled unit weight."),
        ("parts.csv", "sampled", "guessed", "weight_source 'guessed': must be 'sampled', 'geometry', 'handbook' or"),
        ("parts.csv", "0.1109,", ",", "parts.csv, line 2, piece_sd_g '0.0002': has no unit_weight_g beside it."),
        ("parts.csv", ",24,3,", ",24000,3,", "line 2, bulk_volume_mm3 '24000': is absurd for a part of 3 mm."),
        ("parts.csv", ",24,3,", ",0.024,3,", "bulk_volume_mm3 '0.024': is too small for the unit weight."),
        ("parts.csv", ",24,3,", ",24,9999,", "parts.csv, line 2, longest_mm '9999': is absurd, above 5000 mm."),
        ("parts.csv", ",24,3,", ",24,3.5,", "parts.csv, line 2, longest_mm '3.5': expected whole millimetres from 0"),
        ("parts.csv", ",3,buy", ",3,find", "parts.csv, line 2, supply 'find': must be 'make' or 'buy'."),
        ("parts.csv", ",flammable", ",flameable", "parts.csv, line 4, hazards 'flameable': has the unknown word"),
        ("parts.csv", "8482.91", "84", "parts.csv, line 2, hs_code '84': expected 6, 8, 9 or 10 digits."),
        ("parts.csv", ",AT,0.02", ",ZZ,0.02", "parts.csv, line 2, origin 'ZZ': expected an assigned alpha-2 code"),
        ("parts.csv", "0.02,EUR", "0.02,EUX", "parts.csv, line 2, currency 'EUX': expected three capitals of a"),
        ("parts.csv", "0.02,EUR", "0.025,EUR", "price '0.025': expected at most 2 decimals in EUR."),
        ("parts.csv", "0.02,EUR", "free,EUR", "parts.csv, line 2, price 'free': expected digits with at most"),
        ("parts.csv", "Bearing ball 3 mm,", ",", "parts.csv, line 2, description '': must not be empty."),
        ("parts.csv", "BALL-3,", "BALL\u20113,", "parts.csv, line 2, part 'BALL\u20113': must match pattern"),
        ("parts.csv", "Bearing ball 3", "Bearing\x07ball 3", "holds the control character U+0007."),
        ("bins.csv", "02L-03-2,2", "02L-03-2,7", "bins.csv, line 4, aisle '7': is no aisle of the room, so bin"),
        ("bins.csv", ",4200,", ",42000,", "bins.csv, line 4, y_mm '42000': lies outside aisle 2."),
        ("bins.csv", "GEAR-12,,12", "GEAR-13,,12", "bins.csv, line 4, part 'GEAR-13': is no part of parts.csv."),
        ("bins.csv", ",,40", ",,-40", "bins.csv, line 2, pieces '-40': expected a whole number from 0 to"),
        ("bins.csv", ",,40", ",,4_0", "bins.csv, line 2, pieces '4_0': expected a whole number from 0 to"),
        ("bins.csv", ",,40", ",,\u0664\u0660", "expected a whole number from 0 to 999999999."),
        ("bins.csv", "01R-01-1", "01L-01-1", "bins.csv, line 3, bin '01L-01-1': is there already, in line 2."),
        ("bins.csv", "1,left", "1,top", "bins.csv, line 2, side 'top': must be 'left' or 'right'."),
        ("room.csv", "bench,bench,0,0,,,,\n", "", "room.csv, element '': has 0 benches."),
        ("room.csv", "cross-aisle,back,,10000,,,,\n", "", "room.csv, element '': has fewer than two cross aisles."),
        ("room.csv", "2,2400", "2,0", "room.csv, element '': has two aisles at one x_mm."),
        ("room.csv", "aisle,1,0", "aisle,1,", "room.csv, line 2, x_mm '': must not be empty for aisle 1."),
        ("room.csv", "aisle,1,0", "lane,1,0", "room.csv, line 2, element 'lane': must be 'aisle', 'cross-aisle',"),
        ("room.csv", "aisle,2,2400,,,,,no", "passage,2,,,bench,c9,500,no", "to 'c9': is no corner of the room."),
        ("scales.csv", "bench-1,II", "bench-1,V", "scales.csv, line 2: accuracy_class must be I, II, III or IIII."),
        ("scales.csv", "0.1,0.01", "0.01,0.1", "scales.csv, line 2: d_g must be <= e_g, and min_g < max_g."),
        ("scales.csv", ",bags", ",cars", "scales.csv, line 2, use 'cars': expected bags or packages."),
        ("bags.csv", "30000,0.90", "30000,-0.90", "bags.csv, line 2, tare_g '-0.90': expected digits with"),
        ("bags.csv", "M,100", "M,0", "bags.csv, line 3, width_mm '0': must be greater than 0."),
        ("boxes.csv", ",0.7", ",1.7", "boxes.csv, line 2, fill_fraction '1.7': must be less than or equal to 1."),
        ("services.csv", "AT DE NA", "AT DE XQ", "countries 'AT DE XQ': expected an assigned alpha-2 code"),
        ("services.csv", "16:30", "25:30", "services.csv, line 2, cut_off '25:30': must be in a valid time format"),
        ("services.csv", "flammable pressurised", "spiky", "refuses 'spiky': expected one of lead,"),
        ("services.csv", "postal", "pigeon", "services.csv, line 2, kind 'pigeon': must be 'parcel' or 'postal'."),
        ("settings.csv", "risk_pass", "risk_of_rain", "settings.csv, line 5, setting 'risk_of_rain': is no setting."),
        ("settings.csv", "0.0005", "0.9", "settings.csv, line 5, value '0.9': risk_pass must be less than"),
        ("settings.csv", "country,AT", "country,XQ", "settings.csv, line 3, value 'XQ': expected an assigned"),
        ("settings.csv", "Europe/Vienna", "Vienna", "value 'Vienna': expected a name such as Europe/Vienna."),
        ("settings.csv", "risk_pass,0.0005", "risk_pass,", "value '': must not be empty for risk_pass."),
        ("settings.csv", "risk_pass", "country", "setting 'country': is there already, in line 3."),
    ],
)  # fmt: skip
def test_bad_cells(folder: Path, file: str, old: str, new: str, says: str) -> None:
    """Each fault of a cell is a finding with file, line, column and value, and there is no catalogue."""
    _change(folder / file, old, new)

    assert [finding for finding in _findings(folder) if says in finding] != []


@pytest.mark.parametrize(
    ("break_it", "expected"),
    [
        (lambda text: text.replace(",longest_mm", ",breadth", 1).encode(), 2),
        (lambda text: b"\xef\xbb\xbf" + text.replace("Bearing ball", "Zahnräder").encode("cp1252"), 1),
        (lambda text: text.encode() + b"one,cell,short\n", 1),
        (lambda text: text.replace("part,", "part,part,", 1).encode(), 1),
    ],
)
def test_broken_parts_file_is_not_blamed_on_the_bins(
    folder: Path, break_it: Callable[[str], bytes], expected: int
) -> None:
    """When parts.csv can't be read, its bins aren't called unknown on top."""
    path = folder / "parts.csv"
    path.write_bytes(break_it(path.read_text(encoding="utf-8")))
    findings = _findings(folder)

    assert len(findings) == expected
    assert all(finding.startswith("parts.csv, line ") for finding in findings)


def test_bad_part_is_not_blamed_on_its_bin(folder: Path) -> None:
    """A part with a bad cell is still known to the bins file: one fault, one finding."""
    _change(folder / "parts.csv", "0.02,EUR", "x,EUR")

    assert len(_findings(folder)) == 1


def test_all_findings_come_at_once(folder: Path) -> None:
    """Faults in several files and lines come together, file by file and by line."""
    _change(folder / "parts.csv", "0.02,EUR", "x,EUR")
    _change(folder / "parts.csv", "4.90,EUR", "4.90,XXX")
    _change(folder / "bins.csv", ",,12", ",,dozen")
    _change(folder / "boxes.csv", "box-1", "")
    _change(folder / "settings.csv", "0.0005", "none")
    starts = [finding.split(" '")[0] for finding in _findings(folder)]

    assert starts == [
        "parts.csv, line 2, price", "parts.csv, line 4, currency", "bins.csv, line 4, pieces",
        "boxes.csv, line 2, box_type", "settings.csv, line 5, value",
    ]  # fmt: skip


def test_named_encoding(folder: Path) -> None:
    """A whole catalogue in a code page is read when the code page is named."""
    path = folder / "parts.csv"
    text = path.read_text(encoding="utf-8").replace("Gear 12 teeth", "Zahnräder")
    path.write_bytes(text.encode("cp1252"))
    read = read_catalogue(folder, encoding="cp1252")

    assert read.catalogue is not None
    assert read.catalogue.parts[1].description == "Zahnräder"


def test_room_of_corners_and_passages(folder: Path) -> None:
    """An odd room is given by corners and passages; its bins lie along a passage, no further than it is long."""
    (folder / "room.csv").write_text(
        "element,name,x_mm,y_mm,from,to,length_mm,one_way\n"
        "bench,bench,0,0,,,,\ncorner,c1,5000,0,,,,\npassage,1,,,bench,c1,5000,\npassage,2,,,c1,bench,9000,yes\n",
        encoding="utf-8",
    )
    assert [element.is_one_way for element in _catalogue(folder).room] == [False, False, False, True]
    _change(folder / "bins.csv", ",9000,", ",9001,")
    assert _findings(folder) == [
        "bins.csv, line 5, y_mm '9001': lies outside aisle 2. Do: measure from the front of the room."
    ]
