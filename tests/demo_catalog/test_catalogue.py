"""The catalogue files: parts, weights, bins, equipment; checked against the records and published values."""

from collections import Counter
from decimal import Decimal
from math import pi

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generator import fasteners, tables
from fulfil_demo_catalog.generator.equipment import EUROPE, SCALES
from fulfil_demo_catalog.generator.lands import LANDS
from fulfil_demo_catalog.generator.rooms import LENGTH_MM

from fulfil.files.catalogue import Catalogue, read_catalogue
from fulfil.records.part import WeightSource
from fulfil.standards import dangerous_goods, hs, iso3166, oiml_r76

Rows = list[dict[str, str]]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    """The demo shop as the package reads it."""
    read = read_catalogue(FOLDER)
    assert read.findings == ()
    assert read.notes == ()
    assert read.catalogue is not None
    return read.catalogue


def test_catalogue_is_whole(catalogue: Catalogue) -> None:
    """The package's reader finds nothing wrong: 10,000 parts, 10,400 bins, four scales, three services."""
    assert len(catalogue.parts) == 10_000
    assert len(catalogue.bins) == 10_400
    assert (len(catalogue.scales), len(catalogue.bag_types), len(catalogue.box_types)) == (4, 5, 7)
    assert [service.kind.value for service in catalogue.services].count("postal") == 1
    assert "nvented" in catalogue.settings.shop_name


def test_part_numbers_are_short_and_awkward_where_wanted(part_rows: Rows) -> None:
    """At most 12 printable ASCII characters, unique in either case; leading zeros, signs and a leading 99 occur."""
    numbers = [row["part"] for row in part_rows]

    assert len({number.casefold() for number in numbers}) == len(numbers)
    assert all(len(number) <= 12 and number.isascii() and number.isprintable() for number in numbers)
    assert {"-M3W", "+M3N", "=M4N", "1E05", "99", "990015", "0012"} <= set(numbers)
    assert sum(number.startswith("0") for number in numbers) > 50


def test_most_weights_are_sampled(catalogue: Catalogue) -> None:
    """Some 96 in 100 parts were sampled with 20 to 200 pieces and may accept bags; a handful has no weight."""
    sources = Counter(weight.source for weight in catalogue.unit_weights)

    assert 9_500 <= sources[WeightSource.SAMPLED] <= 9_800
    assert {source for source in WeightSource if sources[source]} == set(WeightSource)
    assert 5 <= 10_000 - len(catalogue.unit_weights) <= 20
    for weight in catalogue.unit_weights:
        assert weight.may_accept == (weight.source is WeightSource.SAMPLED)
        assert (20 <= weight.sample_pieces <= 200) == weight.may_accept


@pytest.mark.parametrize(
    ("family", "low", "high"),
    [
        ("bearing steel ball", 0.001, 0.003),
        ("bush", 0.003, 0.008),
        ("cap screw", 0.005, 0.010),
        ("plain washer", 0.010, 0.020),
        ("compression spring", 0.010, 0.020),
        ("plastic gear", 0.003, 0.010),
    ],
)
def test_pieces_spread_as_their_family_does(part_rows: Rows, family: str, low: float, high: float) -> None:
    """The piece s.d. lies in the family's range, common practice; two digits of rounding allowed."""
    spreads = [
        float(row["piece_sd_g"]) / float(row["unit_weight_g"])
        for row in part_rows
        if row["family"] == family and row["weight_source"] == "sampled"
    ]

    assert len(spreads) > 20
    assert all(low * 0.94 <= spread <= high * 1.06 for spread in spreads)


def test_steel_balls_agree_with_a_published_table(part_rows: Rows) -> None:
    """Pieces per kilogram of a public trade table of ISO 3290 balls, within 1 % (its own figures are within 0.5 %)."""
    listed = {
        f"{float(row['diameter_mm']):g}": float(row["pieces_per_kg"]) for row in tables.read("iso_3290_balls.csv")
    }
    ours = {
        row["size"]: float(row["unit_weight_g"])
        for row in part_rows
        if row["family"] == "bearing steel ball" and row["unit_weight_g"]
    }
    both = sorted(listed.keys() & ours.keys())

    assert len(both) >= 10
    for size in both:
        assert 1000 / ours[size] == pytest.approx(listed[size], rel=0.01)


def test_cap_screws_and_washers_agree_with_published_tables(part_rows: Rows) -> None:
    """Zinc cap screws (ISO 4762, trade table) and plain washers (ISO 7089, dimensions) lie within 5 % of the listed."""
    compared = 0
    for row in part_rows:
        if row["finish"] != "zinc" or not row["unit_weight_g"]:
            continue
        if row["family"] == "cap screw" and not row["size"].startswith("M1.6"):
            thread, length_mm = row["size"].split(" x ")
            listed_g = fasteners.socket_cap_screw_g(thread, int(length_mm))
        elif row["family"] == "plain washer" and row["size"] in ("M5", "M6", "M8"):
            listed_g = fasteners.washer_g(row["size"])
        else:
            continue
        compared += 1
        assert float(row["unit_weight_g"]) == pytest.approx(listed_g, rel=0.05)

    assert compared > 50


def test_dowel_pins_are_cylinders(part_rows: Rows) -> None:
    """A pin weighs density times πd²L/4, computed here apart from the package (steel 7.85, stainless 7.9 mg/mm³)."""
    pins = [row for row in part_rows if row["family"] == "dowel pin" and row["unit_weight_g"]]

    assert len(pins) > 150
    for row in pins:
        across_mm, length_mm = (float(part) for part in row["size"].split(" x "))
        cylinder_g = pi / 4 * across_mm**2 * length_mm * (7.9e-3 if row["finish"] == "stainless" else 7.85e-3)
        assert float(row["unit_weight_g"]) == pytest.approx(cylinder_g, rel=0.01)


def test_look_alikes_exist(part_rows: Rows) -> None:
    """Zinc and black cap screws of a size differ by less than 3 % by weight, so only an eye tells them."""
    weights = {
        (row["size"], row["finish"]): float(row["unit_weight_g"])
        for row in part_rows
        if row["family"] == "cap screw" and row["unit_weight_g"]
    }
    pairs = [(weights[size, "zinc"], weights[size, "black"]) for size, finish in weights if finish == "zinc"
             and (size, "black") in weights]  # fmt: skip

    assert len(pairs) > 50
    assert all(zinc == pytest.approx(black, rel=0.05) for zinc, black in pairs)


def test_customs_and_hazard_words_are_in_order(part_rows: Rows) -> None:
    """HS codes have their shape, origins are assigned, hazards are known words, descriptions say more than 'parts'."""
    for row in part_rows:
        hs.validate(row["hs_code"])
        iso3166.validate(row["origin"])
        assert dangerous_goods.parse(row["hazards"]) or row["hazards"] == ""
        assert len(row["customs_description"].split()) >= 2
    used = Counter(word for row in part_rows for word in row["hazards"].split())
    assert set(used) == set(dangerous_goods.HAZARD_WORDS)
    assert used["lithium-battery"] <= 5


@pytest.mark.parametrize("row", SCALES[1:], ids=[row[0] for row in SCALES[1:]])
def test_scales_keep_their_class(row: tuple[str, ...]) -> None:
    """e, d, Min and Max/e keep OIML R 76-1:2006, 3.2, Table 3 and d < e <= 10 d (3.4.2) or d = e."""
    accuracy_class, e_g, d_g, max_g, min_g = row[1], *map(Decimal, row[2:6])
    limits = oiml_r76.class_limits(accuracy_class, e_g)  # type: ignore[arg-type]

    assert min_g == limits.minimum_load_e * e_g
    assert limits.fewest_intervals <= max_g / e_g <= (limits.most_intervals or max_g / e_g)
    assert oiml_r76.is_scale_interval(d_g)
    assert d_g <= e_g <= 10 * d_g


def test_every_part_has_a_bin(part_rows: Rows, bin_rows: Rows) -> None:
    """Each part lies in one bin or two, each place is used once, the code says where it is."""
    held = Counter(row["part"] for row in bin_rows)

    assert set(held) == {row["part"] for row in part_rows}
    assert Counter(held.values()) == {1: 9_600, 2: 400}
    assert len({row["bin"] for row in bin_rows}) == len(bin_rows)
    for row in bin_rows:
        assert (
            row["bin"][:-1]
            == f"{int(row['aisle']):02d}{row['side'][0].upper()}-{int(row['section']):02d}-{row['level']}"
        )
        assert int(row["y_mm"]) == 600 * int(row["section"]) - 300
        assert 0 < int(row["y_mm"]) < LENGTH_MM


def test_often_ordered_parts_lie_nearer(bin_rows: Rows, week_rows: dict[str, Rows]) -> None:
    """Bins of the week's parts lie nearer to the bench than the mean bin, but not all of them do."""
    way_mm = {row["part"]: abs(int(row["aisle"]) - 6) * 2400 + int(row["y_mm"]) for row in bin_rows}
    ordered = [way_mm[row["part"]] for rows in week_rows.values() for row in rows]
    mean_mm = sum(way_mm.values()) / len(way_mm)

    assert sum(ordered) / len(ordered) < 0.8 * mean_mm
    assert sum(way > mean_mm for way in ordered) > 0.1 * len(ordered)


def test_services_reach_the_customers() -> None:
    """The road service goes to European countries of the customers only, the others everywhere."""
    codes = {land.code for land in LANDS}

    assert len(codes) == 50
    assert set(EUROPE.split()) < codes
    assert {"NA", "JP", "BR", "GR", "PL", "US", "GB"} <= codes
