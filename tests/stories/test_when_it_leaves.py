"""A Saturday, a holiday and a second despatch, in a shop in Newfoundland: nobody is told what doesn't happen.

Everything is typed; what is shown is read as a person reads it. Friday 26 June 2026 is an ordinary day, Wednesday 1
July is Canada Day (Holidays Act of Canada), Friday 3 July the shop takes stock.
"""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from pypdf import PdfReader

from tests.stage_shop import stage_catalogue

SATURDAY_MORNING = "2026-06-27T10:40-02:30"
SATURDAY_EVENING = "2026-06-27T19:05-02:30"
TUESDAY_LATE = "2026-06-30T16:05-02:30"
HOLIDAY = "2026-07-01T11:00-02:30"


class Person:
    """Types commands at a moment; gives what is shown, or the facts for programs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def reads(self, at: str, *words: str, leaves: tuple[int, ...] = (0, 1)) -> str:
        """What is shown."""
        asked = ["--shop", str(self.folder / "stage.db"), "--at", at, "--by", "zanni"]
        ran = CliRunner().invoke(main, [*words, *asked], catch_exceptions=False)
        assert ran.exit_code in leaves, ran.output
        return ran.output

    def facts(self, at: str, *words: str) -> dict:
        """The facts."""
        return json.loads(self.reads(at, *words, "--json"))

    def checks(self, at: str, order: str) -> None:
        """Weighs every bag of an order that isn't checked, at the weight that is right."""
        for bag in self.facts(at, "orders", "show", order)["bags"]:
            if bag["state"] == "planned":
                told = self.reads(at, "bags", "check", bag["code"], "--gross", str(bag["target_g"]))
                assert told.startswith("PASSED"), told

    def packs(self, at: str, order: str) -> tuple[dict, str]:
        """Packs and weighs the one package of an order; the package, and what the bench was told."""
        (package,) = [
            one for one in self.facts(at, "packages", "pack", order)["packages"] if one["state"] in ("planned", "stop")
        ]
        return package, self.reads(at, "packages", "weigh", package["number"], "--gross", package["expected_g"])


@pytest.fixture
def zanni(tmp_path: Path) -> Person:
    """The shop on Friday noon: three orders are planned, released and checked; eighteen hinges are short."""
    person = Person(tmp_path)
    folder = stage_catalogue(tmp_path / "catalogue")
    noon = "2026-06-26T12:00-02:30"
    person.reads(noon, "shop", "create")
    person.reads(noon, "catalogue", "import", str(folder))
    person.reads(noon, "orders", "import", str(folder / "orders.csv"))
    person.reads(noon, "walks", "plan")
    person.reads(noon, "walks", "release", "--out", str(tmp_path / "papers"))
    for order in ("T-1", "T-2", "T-3"):
        person.checks(noon, order)
    return person


def test_rods_pots_and_eyes_lie_in_what_takes_them(zanni: Person) -> None:
    """Rods of 820 mm in the bag of 90 × 900 and the long box; pots neither in the small bag nor in the envelope.

    Of the two boxes that take the pots the larger one costs less (0.60 against 0.85) but is charged for 2 kg by its
    volume (306 × 206 × 156 mm over 5000 cm³/kg): 12.90 + 0.60 against 9.40 + 0.85. The eyes go in the envelope.
    """
    bags = {bag["part_number"]: bag["bag_type"] for order in ("T-1", "T-2", "T-3")
            for bag in zanni.facts(SATURDAY_MORNING, "orders", "show", order)["bags"]}  # fmt: skip
    assert bags == {"ROD-820": "LANCE", "HINGE-20": "NIP", "EYE-8": "NIP", "POT-59": "TILE"}
    boxes = {order: zanni.packs(SATURDAY_MORNING, order)[0]["box_type"] for order in ("T-1", "T-2", "T-3")}
    assert boxes == {"T-1": "LONG", "T-2": "SLIP", "T-3": "CUBE"}


def test_saturday_morning_the_post_comes_and_the_lorry_does_not(zanni: Person) -> None:
    """Before 11:00 a small packet leaves today; the parcel waits for Monday, and bench, desk and paper all say so."""
    _, told = zanni.packs(SATURDAY_MORNING, "T-2")
    assert "SEALED" in told
    assert "Not today" not in told
    closed = zanni.reads(SATURDAY_MORNING, "manifests", "close", "GULL", "--out", str(zanni.folder / "papers"))
    assert "Not today" not in closed

    package, told = zanni.packs(SATURDAY_EVENING, "T-3")
    monday = "no collection on a Saturday: leaves Monday 2026-06-29 at 16:00 NDT."
    assert f"Not today: {monday}" in told
    closed = zanni.reads(SATURDAY_EVENING, "manifests", "close", "COVE", "--out", str(zanni.folder / "papers"))
    assert f"Not today: {package['number']}: {monday}" in closed
    manifests = zanni.facts(SATURDAY_EVENING, "manifests", "list")["manifests"]
    papers = {one["service_code"]: zanni.folder / "papers" / f"{one['number']}-manifest.pdf" for one in manifests}
    assert "collection Mon 29 June 2026, 16:00" in PdfReader(papers["COVE"]).pages[0].extract_text()
    assert "collection 11:00" in PdfReader(papers["GULL"]).pages[0].extract_text()
    read = zanni.reads(SATURDAY_EVENING, "papers", "text", papers["COVE"].name.removesuffix("-manifest.pdf"))
    assert "collected on: 2026-06-29" in read


def test_too_late_before_a_holiday_and_a_second_despatch_on_it(zanni: Person) -> None:
    """What is sealed on Tuesday at 16:05 leaves on Thursday, and so do the hinges that are made on the holiday.

    The shop hands over twice for one order: 2 rods and 12 hinges, then 18 hinges, each on a manifest of its own.
    """
    jobs = zanni.facts(SATURDAY_EVENING, "shorts", "make")["jobs"]
    assert [(job["part_number"], job["pieces"]) for job in jobs] == [("HINGE-20", 18)]
    # Half an hour before the lorry of Monday, 16:00 in St. John's.
    assert jobs[0]["due"] == "2026-06-29T18:00:00Z"

    first, told = zanni.packs(TUESDAY_LATE, "T-1")
    thursday = "leaves Thursday 2026-07-02 at 16:00 NDT, after Canada Day; Memorial Day (CA-NL)."
    assert f"Not today: too late for today's collection at 16:00: {thursday}" in told
    closed = zanni.facts(TUESDAY_LATE, "manifests", "close", "COVE", "--out", str(zanni.folder / "papers"))
    assert closed["leaving"] == [{"at": "2026-07-02T16:00:00-02:30", "packages": [first["number"]]}]

    zanni.reads(HOLIDAY, "shorts", "book-in", jobs[0]["number"], "--counted", "18")
    zanni.reads(HOLIDAY, "walks", "release", "--out", str(zanni.folder / "papers"))
    zanni.checks(HOLIDAY, "T-1")
    second, told = zanni.packs(HOLIDAY, "T-1")
    assert second["number"] != first["number"]
    assert "Not today: Canada Day; Memorial Day (CA-NL): leaves Thursday 2026-07-02 at 16:00 NDT." in told
    again = zanni.facts(HOLIDAY, "manifests", "close", "COVE", "--out", str(zanni.folder / "papers"))
    assert again["packages"] == [second["number"]]
    assert again["manifest"]["number"] != closed["manifest"]["number"]
    shown = zanni.facts(HOLIDAY, "orders", "show", "T-1")
    assert shown["order"]["state"] == "shipped"
    assert sum(bag["pieces"] for bag in shown["bags"]) == 32


def test_the_days_ahead_are_read_like_a_calendar(zanni: Person) -> None:
    """The weekend, the holiday, the stocktaking: each with its reason, and a time only where the lorry comes."""
    told = zanni.reads(SATURDAY_MORNING, "services", "collections", "COVE", "--days", "10")
    lines = {line.split()[1]: " ".join(line.split()[3:]) for line in told.splitlines()[1:]}
    assert lines == {
        "2026-06-27": "- no collection on a Saturday",
        "2026-06-28": "- no collection on a Sunday",
        "2026-06-29": "16:00 NDT",
        "2026-06-30": "16:00 NDT",
        "2026-07-01": "- Canada Day; Memorial Day (CA-NL)",
        "2026-07-02": "16:00 NDT",
        "2026-07-03": "- the shop is closed (stocktaking)",
        "2026-07-04": "- no collection on a Saturday",
        "2026-07-05": "- no collection on a Sunday",
        "2026-07-06": "16:00 NDT",
    }


def test_one_order_that_no_bag_takes_does_not_stop_the_day(zanni: Person) -> None:
    """A rod of 950 mm is longer than the longest bag: its order is named, the other one is planned all the same."""
    saturday = SATURDAY_MORNING
    zanni.reads(saturday, "parts", "add", "ROD-950", "--description", "Control rod 950 x 6", "--family", "control rod",
                "--bulk-volume-mm3", "52000", "--longest-mm", "950", "--width-mm", "6", "--thickness-mm", "6",
                "--supply", "buy", "--price", "3.90")  # fmt: skip
    rows = "order,received_at,source,name,street,city,post_code,country,service,part,pieces,unit_price\n"
    for number, part in (("T-8", "EYE-8"), ("T-9", "ROD-950")):
        rows += (
            f"{number},2026-06-27T10:00:00-02:30,web,Brighella Sample,1 Row,Gander-Sample,A1V 0A0,CA,COVE,{part},"
            "2,1.00\n"
        )
    (zanni.folder / "late.csv").write_text(rows, encoding="utf-8")
    zanni.reads(saturday, "orders", "import", str(zanni.folder / "late.csv"))

    told = zanni.reads(saturday, "walks", "plan")

    assert "Stop: order T-9 is not planned: no bag takes ROD-950; get a larger bag (bags.csv), or cancel" in told
    assert "1 walk, 1 bag" in told
    assert [bag["part_number"] for bag in zanni.facts(saturday, "orders", "show", "T-8")["bags"]] == ["EYE-8"]
