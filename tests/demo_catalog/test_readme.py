"""The README's columns and its typed example."""

import re
from pathlib import Path

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generator.chance import SEED

from fulfil.files.bill_mapping import SETTINGS, read_mapping
from fulfil.files.catalogue import FILES, read_catalogue
from fulfil.files.orders import read_orders
from fulfil.files.unit_weights import UNIT_WEIGHTS
from fulfil.records.settings import Settings

README = (FOLDER / "README.md").read_text(encoding="utf-8")
SECTIONS: dict[str, str] = dict(re.findall(r"^## (\S+\.(?:csv|json))$(.*?)(?=^## )", README, re.MULTILINE | re.DOTALL))
EXAMPLES = {name: re.findall(r"```\w+\n(.*?)```", text, re.DOTALL) for name, text in SECTIONS.items()}
CSV_FILES = sorted(name for name in SECTIONS if name.endswith(".csv"))


def test_every_file_has_one_example() -> None:
    """All sixteen files of a shop are described, each with exactly one typed example."""
    assert set(SECTIONS) == {path.name for path in FOLDER.iterdir() if path.suffix in (".csv", ".json")}
    assert {len(found) for found in EXAMPLES.values()} == {1}


@pytest.mark.parametrize("name", CSV_FILES)
def test_columns_are_those_of_the_file(name: str) -> None:
    """The example's header is the file's, and the table names each column that is read (or each setting)."""
    header = (FOLDER / name).read_text(encoding="utf-8").splitlines()[0]
    named = {
        word
        for row in re.findall(r"^\| (`.*?) \|", SECTIONS[name], re.MULTILINE)
        for word in re.findall("`(.*?)`", row)
    }

    assert EXAMPLES[name][0].splitlines()[0] == header
    if name == "settings.csv":
        assert named >= {line.split(",")[0] for line in (FOLDER / name).read_text(encoding="utf-8").splitlines()[1:]}
    else:
        read = {column.name for column in FILES[name]} if name in FILES else set(header.split(","))
        assert named == read >= set(header.split(","))


def test_every_setting_is_described() -> None:
    """The table of settings names each field of the settings record, and no other, with its default."""
    described = {}
    for row in SECTIONS["settings.csv"].splitlines():
        names, _, rest = row.removeprefix("| ").partition(" | ")
        if row.startswith("| `"):
            listed = re.findall("`(.*?)`", names)
            defaults = re.sub("`", "", rest.partition(" | ")[0]).split(", ")
            described.update(zip(listed, defaults if len(defaults) == len(listed) else [""] * len(listed), strict=True))
    fields = {name: field.default for name, field in Settings.model_fields.items()}

    assert set(described) == set(fields)
    for name, default in described.items():
        is_number = default.replace(".", "").isdigit()
        means = float(default) if is_number else {"yes": True, "no": False}.get(default, default)
        assert default in ("", "empty") or means == fields[name]
    assert sum(default not in ("", "empty") for default in described.values()) >= 12


def test_the_typed_example_is_a_whole_shop(tmp_path: Path) -> None:
    """The examples, typed into a folder, are a catalogue without a finding, and its orders name its parts."""
    for name, (example,) in EXAMPLES.items():
        (tmp_path / name).write_text(example, encoding="utf-8")
    read = read_catalogue(tmp_path)

    assert read.findings == ()
    assert read.catalogue is not None
    parts = {part.number for part in read.catalogue.parts}
    services = {service.code for service in read.catalogue.services}
    orders = [read_orders(tmp_path / name) for name in ("orders.csv", "orders_phone.json")]
    assert [found.file.findings for found in orders] == [[], []]
    given = [order for found in orders for order in found.orders]
    assert len(given) == 2
    assert {line.values["part_number"] for order in given for line in order.lines} <= parts
    assert {order.values["service_code"] for order in given} <= services


def test_the_file_of_the_shop_s_own_weights_is_described() -> None:
    """The one file that no catalogue is typed with: every column is named."""
    section = README.partition("## Again, one by one, and out")[2].partition("\n## ")[0]
    assert {column.name for column in UNIT_WEIGHTS} <= set(re.findall("`(.*?)`", section.replace("\n", " ")))


def test_the_seed_stands_there() -> None:
    """The README names the seed that the generator uses."""
    assert f"The seed is {SEED}" in README


def test_every_setting_of_a_bill_s_mapping_is_described() -> None:
    """The table names each setting that the reader takes, and no other; the example is a mapping."""
    section = README.partition("## A carrier's bill")[2].partition("\n## ")[0]
    named = {word for row in re.findall(r"^\| (`.*?) \|", section, re.MULTILINE) for word in re.findall("`(.*?)`", row)}
    mapping = read_mapping(re.findall(r"```csv\n(.*?)```", section, re.DOTALL)[0].encode(), "columns.csv")

    assert named == {*SETTINGS, "service WORD", "surcharge NAME", "kind WORD", "skip WORD"}
    assert mapping.services == {"road std": "ROAD"}
    assert mapping.surcharges == {"fuel surcharge": "Fuel EUR"}
