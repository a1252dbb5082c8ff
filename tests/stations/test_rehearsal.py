"""A rehearsal: one browser is every station, each under a name of its own; a real shop's server never does that."""

from dataclasses import replace

import pytest
from fulfil_demo_catalog.folder import claim, mark_made, mark_printed
from starlette.testclient import TestClient

from fulfil.bench.devices import add_station
from fulfil.errors import FileRefused
from fulfil.records.bench import StationKind
from fulfil.stations.server import make_server
from fulfil.store.shop import open_shop
from tests.stations.tablet import PIN, words

PAGES = {"check-1": "check", "desk-1": "clerk", "wall-1": "wall"}
WHO = {"check-1": "anna", "desk-1": "dora", "wall-1": ""}


def test_each_name_is_a_station_with_its_person(house, clock):
    """Paired and signed in at once, and again after signing out; the list names them all."""
    house = replace(house, hosts=house.hosts | {f"{name}.localhost" for name in PAGES})
    for name, kind in PAGES.items():
        add_station(house.shop, name, StationKind(kind), f"code-{name}", at=clock(), person="mara")
    house.rehearsal = {name: (f"code-{name}", WHO[name], PIN) for name in PAGES}
    house.second = ("mara", PIN)
    for name, kind in PAGES.items():
        origin = f"http://{name}.localhost"
        client = TestClient(make_server(house), base_url=origin, headers={"Origin": origin})
        page = client.get("/")
        assert page.url.path == f"/{kind}"
        assert WHO[name] in words(page.text)
        if WHO[name]:
            assert client.post("/sign-out").url.path == f"/{kind}"
    listed = TestClient(make_server(house), base_url="http://127.0.0.1").get("/rehearsal").text
    assert all(f"http://{name}.localhost:80/" in listed for name in PAGES)
    for called in ("Check bench check-1 · anna", "Desk desk-1 · dora", "Wall wall-1"):
        assert called in words(listed)
    assert f"Closing asks for a second person: mara, PIN {PIN}." in words(listed)
    assert "no station yet" not in listed


def test_the_next_rehearsal_takes_the_place_of_the_last_one_with_its_papers(tmp_path):
    """What was printed at a bench is the rehearsal's; a letter that somebody put there is not, and keeps its folder."""
    out, papers = tmp_path / "demo", tmp_path / "demo" / "papers"
    open_shop(claim(out), create=True).close()
    mark_made(out)
    papers.mkdir()
    (papers / "packing-list.pdf").write_bytes(b"%PDF")
    with pytest.raises(FileRefused, match=r"found papers/packing-list\.pdf"):
        claim(out)
    mark_printed(out, papers)
    (out / "letter.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileRefused, match=r"found letter\.txt"):
        claim(out)
    (out / "letter.txt").unlink()

    assert claim(out) == out / "shop.sqlite"
    assert not (papers / "packing-list.pdf").exists()


def test_a_shop_at_work_has_no_such_page(house):
    """Nor is a name a way in."""
    house = replace(house, hosts=house.hosts | {"check-1.localhost"})
    client = TestClient(make_server(house), base_url="http://check-1.localhost")

    assert client.get("/rehearsal").status_code == 404
    assert "Make this device a station" in client.get("/").text
