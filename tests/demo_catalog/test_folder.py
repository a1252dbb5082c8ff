"""The demo's folder: what carries the demo's own mark is replaced, anything else is refused before a byte changes."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_demo_catalog.folder import claim, mark_made

from fulfil.errors import FileRefused
from fulfil.store.shop import open_shop


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder with its bytes."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def earlier_demo(folder: Path) -> None:
    """What a demo leaves, in small."""
    with open_shop(claim(folder), create=True):
        pass
    (folder / "papers" / "walks").mkdir(parents=True)
    (folder / "papers" / "walks" / "W1.pdf").write_bytes(b"paper of the demo")
    (folder / "summary.json").write_text("{}")
    mark_made(folder)


@pytest.mark.parametrize("also", ["", "summary.json", "notes.txt"])
def test_a_real_shop_is_never_taken_for_a_demo(tmp_path, also):
    """A shop that somebody made, with papers of its own, stays byte for byte, and the words say where to go."""
    with open_shop(tmp_path / "shop.sqlite", create=True):
        pass
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "contract.pdf").write_bytes(b"mine")
    if also:
        (tmp_path / also).write_text("mine")
    before = contents(tmp_path)

    ran = CliRunner().invoke(main, ["demo", "--out", str(tmp_path)])

    assert ran.exit_code == 2
    assert "expected an empty folder, or one that holds an earlier demo and nothing else" in ran.stderr
    assert contents(tmp_path) == before


@pytest.mark.parametrize("strange", ["papers/contract.pdf", "papers/walks/notes.txt", "mine.csv"])
def test_a_strange_file_among_the_demos_stops_it(tmp_path, strange):
    """One file that no demo made is named, and nothing is removed."""
    earlier_demo(tmp_path)
    (tmp_path / strange).write_bytes(b"mine")
    before = contents(tmp_path)

    with pytest.raises(FileRefused, match=f"found {strange}"):
        claim(tmp_path)

    assert contents(tmp_path) == before


def test_another_shop_in_the_demos_place_is_refused(tmp_path):
    """The list says 'shop.sqlite', but the shop itself carries no mark: somebody put their own there."""
    earlier_demo(tmp_path)
    for old in tmp_path.glob("shop.sqlite*"):
        old.unlink()
    with open_shop(tmp_path / "shop.sqlite", create=True):
        pass
    before = contents(tmp_path)

    with pytest.raises(FileRefused, match=r"found shop\.sqlite"):
        claim(tmp_path)

    assert contents(tmp_path) == before


def test_an_earlier_demo_is_replaced(tmp_path):
    """What it made goes, and only that."""
    earlier_demo(tmp_path)

    claim(tmp_path)

    assert [name for name in contents(tmp_path) if not name.startswith((".", "shop"))] == []


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    """A folder of other people's papers that was linked in is no demo's."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "theirs.pdf").write_bytes(b"theirs")
    demo = tmp_path / "demo"
    earlier_demo(demo)
    (demo / "papers" / "linked").symlink_to(outside)

    with pytest.raises(FileRefused, match="found papers/linked"):
        claim(demo)

    assert (outside / "theirs.pdf").read_bytes() == b"theirs"
