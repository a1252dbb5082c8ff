"""Bins in one place are drawers where more than a tenth of a shop's bins are such (common practice); else a mistake."""

from pathlib import Path

import pytest

from fulfil.walks.room_check import check_folder
from tests.harbour_shop import write_catalogue

HEAD = "bin,aisle,side,section,level,y_mm,part,pieces\n"


@pytest.mark.parametrize(("bins", "findings", "notes"), [(11, 1, 0), (10, 1, 0), (9, 0, 1)])
def test_one_bin_in_ten_that_shares_its_place_is_a_finding(
    tmp_path: Path, bins: int, findings: int, notes: int
) -> None:
    """One of ten is exactly a tenth, not more; one of nine is."""
    rows = [f"T-{place},Tai,left,1,1,{800 + 100 * max(1, place)},PIN-08,3\n" for place in range(bins)]
    found = check_folder(write_catalogue(tmp_path / "shop", {"bins.csv": HEAD + "".join(rows)}))
    assert [one.says for one in found.findings if "same place" not in one.says] == []
    assert (len(found.findings), len(found.notes)) == (findings, notes)
