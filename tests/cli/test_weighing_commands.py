"""Scales, samples, goods and bins as they are typed: answers, exit codes, refusals; nothing half-done."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

FILES = {
    "parts.csv": "part,description,family,size,finish,unit_weight_g,piece_sd_g,sample_pieces,weight_source,"
    "bulk_volume_mm3,longest_mm,supply,hazards,price,currency\n"
    "BELL-12,Bell 12 mm,bell,12 mm,brass,0.9,0.0045,200,sampled,300,12,make,,0.80,EUR\n"
    "BELL-14,Bell 14 mm,bell,14 mm,brass,,,,,420,14,make,,0.90,EUR\n",
    "bins.csv": "bin,aisle,side,section,level,y_mm,part,pieces\n"
    "1-01,1,left,1,1,1000,BELL-12,600\n1-02,1,right,2,1,2000,BELL-14,40\n",
    "room.csv": "element,name,x_mm,y_mm\naisle,1,1000,\naisle,2,3400,\ncross-aisle,front,,0\ncross-aisle,back,,9000\n"
    "bench,bench,1000,0\n",
    "scales.csv": "scale,accuracy_class,e_g,d_g,max_g,min_g,repeatability_g,use\n"
    "FINE,II,0.01,0.001,220,0.2,0.001,bags\nBENCH,II,0.1,0.01,3000,5,0.005,bags\nPACK,III,1,1,6000,20,0.3,packages\n",
    "bags.csv": "bag_type,width_mm,height_mm,usable_volume_mm3,tare_g,tare_sd_g,max_load_g\n"
    "SMALL,60,80,37500,0.62,0.008,120\n",
    "boxes.csv": "box_type,length_mm,width_mm,height_mm,tare_g,tare_sd_g,max_load_g,fill_fraction\n"
    "BOX,160,110,60,58,0.9,2000,0.7\n",
    "services.csv": "service,name,kind,countries,cut_off,max_weight_g,max_longest_mm,max_length_girth_mm,refuses\n"
    "ROAD,Road parcel (invented),parcel,*,16:30,30000,,,\n",
    "settings.csv": "setting,value\nshop_name,Bell Shop (invented)\ncountry,LU\n",
}


@pytest.fixture
def say(tmp_path: Path):
    """A shop with two parts and three scales, and a way to type at it: `say("parts show BELL-12")`."""
    folder = tmp_path / "catalogue"
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")

    def typed(command: str, leaves: int = 0, as_json: bool = True) -> dict | str:
        told = ["--shop", str(tmp_path / "my.sqlite"), "--at", "2026-03-02T10:00+00:00", "--by", "mara"]
        told += ["--json"] if as_json else []
        ran = CliRunner().invoke(main, [*command.split(), *told], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return json.loads(ran.stdout) if as_json else ran.output

    typed("shop create")
    typed(f"catalogue import {folder}")
    return typed


def test_a_failed_scale_is_named_by_every_command_that_weighs(say):
    """Fails: exit 1; sample, goods and bins refuse it, exit 2; parts show leaves it out; passing lifts it."""
    failed = say("scales check BENCH --weight 200 --shows 200.40", 1)
    assert not failed["has_passed"]

    for command in (
        "parts sample BELL-12 --pieces 50 --gross 45.00 --scale BENCH",
        "goods in BELL-12 --gross 900.00 --tare 0.00 --scale BENCH",
        "bins count 1-01 --gross 900.00 --tare 0.00 --scale BENCH",
    ):
        assert "passed its check-weight test" in say(command, 2)["refused"]["says"]
    assert set(say("parts show BELL-12")["largest_counts"][""]) == {"FINE"}

    assert say("scales check BENCH --weight 200 --shows 200.01")["was_stopped"]
    assert set(say("parts show BELL-12")["largest_counts"][""]) == {"FINE", "BENCH"}


def test_check_weights_and_readings_come_in_pairs(say):
    """Two weights, one reading: refused; a weight known too badly to test the scale: refused."""
    one = say("scales check BENCH --weight 200 --weight 500 --shows 200.00", 2)
    rough = say("scales check BENCH --weight 200 --shows 200.00 --known-to 0.1", 2)

    assert one["refused"]["says"] == "Cannot check a scale with readings '1': expected one --shows for each of 2."
    assert "a weight known to a third of the permitted" in rough["refused"]["says"]


def test_a_sample_says_what_each_scale_counts_before_and_after(say):
    """For people: a line with the source, a table, what it takes to count the number wanted."""
    said = say("parts sample BELL-12 --pieces 50 --gross 45.03 --want 2000", as_json=False)

    assert "Unit weight 0.9006 g" in said
    assert "counted before  counts in one bag" in said
    assert "2000 on BENCH: " in said


def test_goods_in_says_the_interval_its_cost_and_the_remedy(say):
    """Two tubs, guarded by their number: the estimate is booked into the part's only bin."""
    refused = say("goods in BELL-12 --gross 2010.00 --tare 210.00 --tubs 2", 2)
    assert refused["refused"]["says"] == "Cannot count tubs '2': expected one --gross for each tub; 1 given."

    done = say("goods in BELL-12 --gross 2010.00 --gross 1920.00 --tare 210.00 --tubs 2 --source make-room")

    assert done["pieces"] == 3900
    assert done["lower"] < 3900 < done["upper"]
    assert done["bin"]["pieces"] == 4500
    assert float(done["cost_of_interval"]) == pytest.approx(0.80 * (done["upper"] - done["lower"]))


def test_a_bin_is_counted_by_weight_or_by_hand(say):
    """Fits, or off for sure: exit 0; off but not narrow enough: exit 1, nothing booked; a hand count is booked."""
    fits = say("bins count 1-01 --gross 790.00 --tare 250.00 --within 5")
    off = say("bins count 1-01 --gross 2950.00 --tare 250.00 --within 0", 1)
    sure = say("bins count 1-01 --gross 745.00 --tare 250.00 --within 0")
    by_hand = say("bins count 1-01 --counted 551 --reason breakage")

    assert [one["booked"] for one in (fits, off, sure, by_hand)] == [0, 0, -50, 1]
    assert "Count by hand." in off["says"]
    assert by_hand["bin"]["pieces"] == 551
    assert "either --counted, or --gross" in say("bins count 1-01", 2)["refused"]["says"]


@pytest.mark.parametrize(
    ("command", "says"),
    [
        ("parts sample BELL-14 --pieces 1 --gross 45.00", "a sample of at least 2, better 50; count it out by hand."),
        ("parts sample BELL-14 --pieces 50 --gross 45.00oz", "digits only; set the scale to grams."),
        ("parts sample BELL-14 --pieces 50 --gross nan", "a number; wait for a steady reading."),
        ("parts sample BELL-14 --pieces 50 --gross 45.00 --tare 46.00", "weigh the empty bag again."),
        ("goods in BELL-14 --gross 45.00 --tare 1.00", "a unit weight; sample it first:"),
        ("bins count 1-02 --gross 45.00 --tare 1.00", "a unit weight; sample it first:"),
        ("parts sample NONE --pieces 50 --gross 45.00", "one that the shop knows."),
    ],
)
def test_bad_input_is_a_sentence_with_a_remedy(say, command, says):
    """Exit code 2, and what to do at the bench."""
    assert says in say(command, 2)["refused"]["says"]


def test_papers_and_pictures_are_written(say, tmp_path):
    """The card with its picture, the wall table, and the drift charts as PNG."""
    out = tmp_path / "papers"
    card = say(f"parts card BELL-12 --out {out} --picture")["papers"]
    table = say(f"scales table --out {out}")["papers"]
    none = say(f"parts learn --out {out}")

    assert [Path(path).name for path in card] == ["BELL-12-unit-weight-card.pdf", "BELL-12-largest-count.png"]
    assert Path(card[1]).read_bytes().startswith(b"\x89PNG")
    assert Path(table[0]).read_bytes().startswith(b"%PDF")
    assert none["papers"] == []
    assert none["weighings"] == 0


@pytest.mark.parametrize("command", ["bins count 1-01", "goods in BELL-12"])
def test_a_weight_that_no_whole_number_of_pieces_has_books_nothing(say, command):
    """19.40 pieces, known to 0.02: exit 1, what to look for, and the bin as it was; the journal says so."""
    odd = say(f"{command} --gross 67.46 --tare 50.00", 1)

    assert odd["bin"]["pieces"] == 600
    assert odd["findings"][0]["value"] == "19.40"
    assert "another part" in odd["findings"][0]["do"]
    assert "weighed bin 1-01 and booked nothing" in say("journal show", as_json=False)


def test_what_no_sample_saves_and_what_no_alarm_ends(say):
    """A shop without orders has nothing to sample for; a scale without an alarm has none to act on."""
    assert say("parts to-sample")["parts"] == []
    assert "No sample would save time" in say("parts to-sample", as_json=False)
    refused = say("scales acted-on BENCH --reason adjusted", 2)["refused"]["says"]
    assert refused.endswith("expected a scale with an alarm that stands.")
