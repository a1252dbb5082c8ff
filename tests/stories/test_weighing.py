"""README's commands from a part's first sample to its next one, typed as they stand there; and the demo's mistakes."""

import json
import re
import shlex
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

README = Path(__file__).parents[2] / "README.md"
BEGINS = datetime.fromisoformat("2026-03-02T08:00+00:00")
FILES = {
    "parts.csv": "part,description,family,size,finish,unit_weight_g,piece_sd_g,sample_pieces,weight_source,"
    "bulk_volume_mm3,longest_mm,supply,hazards,price,currency\n"
    "BELL-12,Bell 12 mm,bell,12 mm,brass,,,,,300,12,make,,0.80,EUR\n"
    "BELL-14,Bell 14 mm,bell,14 mm,brass,1.31,0.006,50,sampled,420,14,make,,0.90,EUR\n",
    "bins.csv": "bin,aisle,side,section,level,y_mm,part,pieces\n"
    "1-01,1,left,1,1,1000,BELL-12,600\n1-02,1,right,2,1,2000,BELL-14,40\n",
    "room.csv": "element,name,x_mm,y_mm\naisle,1,1000,\naisle,2,3400,\ncross-aisle,front,,0\ncross-aisle,back,,9000\n"
    "bench,bench,1000,0\n",
    "scales.csv": "scale,accuracy_class,e_g,d_g,max_g,min_g,repeatability_g,use\n"
    "FINE,II,0.01,0.001,220,0.2,0.001,bags\nBENCH,II,0.1,0.01,600,2,0.005,bags\nPACK,III,1,1,6000,20,0.3,packages\n",
    "bags.csv": "bag_type,width_mm,height_mm,usable_volume_mm3,tare_g,tare_sd_g,max_load_g\n"
    "SMALL,60,80,37500,0.62,0.008,120\nLARGE,100,150,204000,1.85,0.03,500\n",
    "boxes.csv": "box_type,length_mm,width_mm,height_mm,tare_g,tare_sd_g,max_load_g,fill_fraction\n"
    "BOX,160,110,60,58,0.9,2000,0.7\n",
    "services.csv": "service,name,kind,countries,cut_off,max_weight_g,max_longest_mm,max_length_girth_mm,refuses\n"
    "ROAD,Road parcel (invented),parcel,*,16:30,30000,,,\n",
    "settings.csv": "setting,value\nshop_name,Bell Shop (invented)\ncountry,LU\n",
    "orders.csv": "order,received_at,source,name,street,city,post_code,country,service,part,pieces\n"
    + "".join(
        f"20{number:02},2026-03-01T08:{number:02}:00+00:00,web,Invented Person {number},5 Sample Street,Sampleton,"
        f"1000,LU,ROAD,BELL-12,40\n"
        for number in range(1, 9)
    ),
}


class Typist:
    """Types `fulfil …` at one shop, a minute after the other."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        self.at = BEGINS

    def type(self, command: str, leaves: int | None = None) -> dict:
        """What the command answers; ``leaves`` is the exit code, any of done and must act when None."""
        noun, *words = shlex.split(command)
        assert noun == "fulfil"
        self.at += timedelta(minutes=1)
        told = ["--shop", str(self.shop), "--at", self.at.isoformat(), "--by", "mara", "--json"]
        ran = CliRunner().invoke(main, [*words, *told], catch_exceptions=False)
        assert ran.exit_code in ((0, 1) if leaves is None else (leaves,)), (command, ran.output)
        return json.loads(ran.stdout)


@pytest.fixture
def typist(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typist:
    """A shop with eight orders of forty bells that nobody ever weighed."""
    folder = tmp_path / "my-catalogue"
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    made = Typist(tmp_path / "my-shop.sqlite")
    made.type("fulfil shop create", 0)
    made.type("fulfil catalogue import my-catalogue", 0)
    made.type("fulfil orders import my-catalogue/orders.csv", 0)
    return made


def commands() -> list[str]:
    """The commands of README's section, comments left out."""
    found = re.search(
        r"<!-- a part from sample to sample -->\n```sh\n(.*?)```\n<!-- end -->",
        README.read_text(encoding="utf-8"),
        re.S,
    )
    assert found is not None
    return [line.partition("  #")[0].strip() for line in found[1].splitlines() if line.strip()]


def test_readme_s_part_is_sampled_counted_drifts_and_is_sampled_again(typist: Typist, tmp_path: Path) -> None:
    """Every command as README types it: what each comment there says is what happens."""
    said = [(command, typist.type(command)) for command in commands()]
    answers: dict[str, list[dict]] = {}
    for command, answer in said:
        answers.setdefault(" ".join(command.split()[1:3]), []).append(answer)

    assert answers["parts show"][0]["unit_weights"] == []
    first, against, again = answers["parts sample"]
    assert first["after"]["mean_g"] == pytest.approx(0.9)
    assert first["after"]["piece_sd_source"] == "single pieces"
    assert first["largest_counts"]["BENCH"]["before"] is None
    assert first["largest_counts"]["BENCH"]["after"] >= 40
    assert (tmp_path / "papers" / "BELL-12-unit-weight-card.pdf").read_bytes().startswith(b"%PDF")
    assert [bag["verdict"] for bag in answers["bags check"]] == ["passed"] * 8
    better, drifted, quiet = answers["parts learn"]
    assert better["learned"][0]["after"]["u_g"] < better["learned"][0]["before"]["u_g"]
    assert better["drifted"] == []
    assert [finding["source"] for finding in drifted["drifted"]] == ["part BELL-12"]
    assert all(check["has_passed"] for check in answers["scales check"])
    assert "0.9028 g by this sample, 0.9 g by the last sample of the lot" in against["findings"][0]["says"]
    assert again["after"]["mean_g"] == pytest.approx(0.90275)
    assert quiet["drifted"] == []


def test_the_drift_stands_in_the_day_report(typist: Typist, tmp_path: Path) -> None:
    """Before the bin is sampled again, the report's things to do name the part and what to try."""
    for command in commands():
        typist.type(command)
        if "B2603020008" in command:
            break

    report = typist.type("fulfil day report --out papers", 1)

    drift = [finding for finding in report["findings"] if finding["field"] == "drift"]
    assert [finding["source"] for finding in drift] == ["part BELL-12"]
    assert "sample the bin again" in drift[0]["do"]
