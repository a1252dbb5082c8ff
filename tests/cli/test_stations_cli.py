"""``fulfil people`` and ``fulfil stations``: who may work here, which tablet is which, and how the pages are opened."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_cli.station_server import Listening

from fulfil.bench.devices import pair_station
from fulfil.bench.people import prove_person
from fulfil.records.bench import Station
from fulfil.store.shop import open_shop
from tests.bench_shop import AT


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """An empty shop."""
    open_shop(tmp_path / "shop.sqlite", create=True).close()
    return tmp_path / "shop.sqlite"


def run(path: Path, *words: str, typed: str = "", code: int = 0) -> str:
    """What a command says."""
    asked = [*words, "--shop", str(path), "--at", AT.isoformat(), "--by", "mara"]
    ran = CliRunner().invoke(main, asked, input=typed)
    assert ran.exit_code == code, ran.output
    return ran.output


def test_people_come_change_and_go(path):
    """The PIN is asked for unseen, and never shown."""
    added = run(path, "people", "add", "anna", "--role", "check", "--role", "owner", typed="4071\n4071\n")
    run(path, "people", "add", "ben", "--role", "pack", "--pin", "9264")
    changed = run(path, "people", "change", "ben", "--role", "pick", "--new-pin", typed="7035\n7035\n")
    gone = run(path, "people", "retire", "ben")
    listed = json.loads(run(path, "people", "list", "--json"))

    assert "anna may check owner." in added
    assert "4071" not in added
    assert "ben may pick, with a new PIN." in changed
    assert "can sign in nowhere" in gone
    assert listed["people"] == [
        {"name": "anna", "roles": ["check", "owner"], "is_retired": False},
        {"name": "ben", "roles": ["pick"], "is_retired": True},
    ]
    with open_shop(path) as shop:
        assert prove_person(shop, "anna", "4071", bench="check-1", at=AT).name == "anna"


def test_what_is_missing_is_said(path):
    """No role, nothing to change, a PIN that is guessed first, the last owner."""
    assert "Say what anna may do" in run(path, "people", "add", "anna", "--pin", "4071", code=2)
    assert "no run, no single digit" in run(path, "people", "add", "anna", "--role", "owner", "--pin", "1234", code=2)
    run(path, "people", "add", "anna", "--role", "owner", "--pin", "4071")
    assert "Say what changes" in run(path, "people", "change", "anna", code=2)
    assert "another owner first" in run(path, "people", "retire", "anna", code=2)


def test_a_station_is_set_up_paired_listed_and_taken_away(path):
    """Its code makes one tablet this station."""
    code = json.loads(run(path, "stations", "add", "check-1", "--kind", "check", "--json"))["code"]
    with open_shop(path) as shop:
        pair_station(shop, code, "a-token", at=AT)
    listed = json.loads(run(path, "stations", "list", "--json"))["stations"]
    run(path, "stations", "retire", "check-1")

    assert listed == [{"station": "check-1", "kind": "check", "has_device": True, "person": ""}]
    assert json.loads(run(path, "stations", "list", "--json"))["stations"] == []
    with open_shop(path) as shop, shop.reading() as books:
        assert books.need(Station, "check-1").token_digest == ""
    assert "another name" in run(path, "stations", "add", "wall-1", "--kind", "wall") + run(
        path, "stations", "add", "wall-1", "--kind", "pack", code=2
    )


def test_the_shops_own_authority_is_made_by_a_command(path, tmp_path):
    """Its files and what to do with each; without a name it asks for one."""
    told = run(path, "stations", "certify", "--out", str(tmp_path / "certificates"), "--name", "shop.test")

    assert "Install" in told
    assert sorted(one.name for one in (tmp_path / "certificates").iterdir()) == [
        "authority-key.pem", "authority.pem", "server-key.pem", "server.pem",
    ]  # fmt: skip
    assert "--name shop.local" in run(path, "stations", "certify", "--out", str(tmp_path / "other"), code=2)


def test_a_scale_is_set_up_beside_its_bench(path):
    """Of any other kind of station nothing stands beside."""
    run(path, "stations", "add", "check-1", "--kind", "check")
    run(path, "stations", "add", "scale-1", "--kind", "scale", "--beside", "check-1")

    with open_shop(path) as shop, shop.reading() as books:
        assert books.need(Station, "scale-1").serves == "check-1"
    assert "--beside BENCH" in run(path, "stations", "add", "scale-2", "--kind", "scale", code=2)


def test_the_server_is_called_by_the_names_that_it_was_told():
    """By this computer's own names in any case."""
    here = Listening("127.0.0.1", 8019, (), None, None).hosts
    there = Listening("192.0.2.7", 8019, ("bench.example",), None, None).hosts

    assert here == {"127.0.0.1", "localhost", "[::1]"}
    assert there == here | {"192.0.2.7", "bench.example"}
    assert "[2001:db8::1]" in Listening("2001:db8::1", 8019, (), None, None).hosts


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--bind", "999.1.1.1"), "an address of this computer and a port that nobody has"),
        (("--bind", "xn--ü"), "an address of this computer"),
        (("--certificate", __file__), "a certificate and its key as PEM"),
    ],
)
def test_an_address_or_certificate_that_is_none_is_said(tmp_path: Path, words: tuple[str, str], says: str) -> None:
    """Before anything listens, in words, as wrong use."""
    shop = tmp_path / "shop.sqlite"
    open_shop(shop, create=True).close()
    ran = CliRunner().invoke(main, ["stations", "open", *words, "--shop", str(shop)])
    assert (ran.exit_code, says in ran.output) == (2, True), ran.output
