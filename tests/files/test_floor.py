"""Reading only a folder's room: what is off in the two files, and each bin's line."""

import pytest

from fulfil.errors import FileRefused
from fulfil.files.floor import read_floor
from fulfil.walks.room_check import check_folder

ROOM = (
    "element,name,x_mm,y_mm,length_mm\naisle,1,0,,\naisle,2,2500,,4000\ncross-aisle,front,,0,\n"
    "cross-aisle,back,,30000,\nbench,bench,0,0,\n"
)
BINS = "bin,aisle,side,section,level,y_mm,part,pieces\n"


def folder(tmp_path, room=ROOM, bins=BINS):
    """A folder with the two files."""
    (tmp_path / "room.csv").write_text(room, encoding="utf-8")
    (tmp_path / "bins.csv").write_text(bins, encoding="utf-8")
    return tmp_path


def test_each_bin_knows_its_line(tmp_path):
    """The header is line 1."""
    read = read_floor(folder(tmp_path, bins=BINS + "a,1,left,1,1,300,P,5\nb,1,left,1,1,900,Q,5\n"))

    assert read.line_of == {"a": 2, "b": 3}
    assert read.findings == ()


def test_a_missing_file_is_refused(tmp_path):
    """With what is expected in the folder."""
    with pytest.raises(FileRefused, match=r"expected a folder with room\.csv and bins\.csv"):
        read_floor(tmp_path)


def test_everything_that_is_off_is_found_with_its_line(tmp_path):
    """A dead end that is too short for its bin, an unknown aisle, two bins in one place among many."""
    bins = "".join(f"ok-{n},1,left,1,1,{n * 600},P,5\n" for n in range(1, 25))
    off = "deep,2,left,1,1,6000,P,5\nlost,7,left,1,1,600,P,5\ntwin,1,left,1,1,600,P,5\n"
    checked = check_folder(folder(tmp_path, bins=BINS + bins + off))

    assert [(finding.line, finding.says) for finding in checked.findings] == [
        (27, "is no aisle of the room, so bin lost can't be reached"),
        (26, "the bin deep lies outside the room: expected y from 0 to 4000 mm, in no closed piece of the aisle"),
        (28, "the bin is in the same place as bin ok-1"),
    ]


def test_drawers_of_one_place_are_no_finding(tmp_path):
    """Every place has two drawers: a note, not a page of findings."""
    bins = "".join(f"{n}{drawer},1,left,1,1,{n * 600},P,5\n" for n in range(1, 9) for drawer in "AB")
    checked = check_folder(folder(tmp_path, bins=BINS + bins))

    assert checked.findings == ()
    assert checked.notes == ("8 bins share their place with another: taken to be drawers of one place",)


def test_a_room_in_metres_is_seen(tmp_path):
    """Thirty millimetres long: the whole room looks like another unit."""
    room = "element,name,x_mm,y_mm\naisle,1,0,\ncross-aisle,front,,0\ncross-aisle,back,,30\nbench,bench,0,0\n"
    (finding,) = check_folder(folder(tmp_path, room=room)).findings

    assert "looks like metres" in finding.says


def test_a_room_that_can_not_be_is_one_finding(tmp_path):
    """An aisle that ends at a cross aisle nobody gave: said by the file, and why it can't be laid out."""
    room = (
        "element,name,x_mm,y_mm,to\naisle,1,0,,attic\ncross-aisle,front,,0,\ncross-aisle,back,,30000,\n"
        "bench,bench,0,0,\n"
    )
    checked = check_folder(folder(tmp_path, room=room))

    assert checked.floor is None
    assert [finding.field for finding in checked.findings] == ["to", "element"]
